"""The arm's outline: a tapered bar from pivot to pad, and a lobe for each hole off it.

A hole whose centre lies in the bar only widens it: straight from the pivot's boss to
its own and on to the pad. One beside the bar gets a lobe of its own, braced from the
pivot where it is near, else from farther up the bar; one behind the pivot makes a lever
of both arms. The lobes are welded to the bar with round inside corners
(`solvers.plane.bars`), so every joint is smooth.

A shape, not a proof: what it bears is not known here.
"""

from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from linkage.arm.lobes import holds, root
from linkage.arm.plan import ArmPlan, arm_fault, refuse_nonsense
from linkage.faults import DesignError, Fault
from solvers.jet import value
from solvers.plane.bars import Bar, weld_bars
from solvers.plane.pieces import Contour, OutlineError

#: No piece of the outline shorter than this, mm: twice what cutting desks object to.
LEAST_PIECE = 0.2


class ArmShape(Struct, frozen=True, kw_only=True, eq=False):
    """An outline where the arm is in the car at rest.

    Attributes
    ----------
    contour : ndarray, shape (n, 3)
        x, z, bulge; anticlockwise, smooth at every joint.
    centres : dict of str to complex
        Holes, the pivot first.
    end : complex
        Centre of the rounded end at the pad.
    """

    contour: Contour
    centres: dict[str, complex]
    end: complex


def shape_arm(plan: ArmPlan) -> ArmShape:
    """Outline round pivot, pad and holes.

    Raises
    ------
    DesignError
        The numbers make no sense, or no such outline exists; says what would help.
    """
    refuse_nonsense(plan)
    end = end_of(plan)
    try:
        contour = weld_bars([*_bars(plan, end)], plan.corner, least=LEAST_PIECE)
    except OutlineError as error:
        raise DesignError([_no_outline(error)]) from error
    return ArmShape(contour=contour, centres=plan.centres, end=end)


def _no_outline(error: OutlineError) -> Fault:
    return arm_fault(
        "arm",
        f"no outline goes round these holes: {error}",
        "move a hole, or give another fillet or boss",
    )


def end_of(plan: ArmPlan) -> complex:
    """Centre of the rounded end: ahead of the face where the pad's stand is known."""
    if plan.pad_stand is None:
        return plan.pad
    along = plan.pad - plan.pivot
    ahead = 1j * along / abs(along)
    if (ahead * np.conj(plan.press)).real < 0.0:
        ahead = -ahead
    return plan.pad + ahead * (plan.boss("pad") + plan.pad_stand)


def spine_of(plan: ArmPlan, end: complex) -> Bar:
    """Return the bar from pivot to pad end."""
    return Bar(a=plan.pivot, b=end, ra=plan.boss("pivot"), rb=plan.boss("pad"))


def _bars(plan: ArmPlan, end: complex) -> Iterator[Bar]:
    spine = spine_of(plan, end)
    yield spine
    for name, at in plan.holes.items():
        boss = plan.boss(name)
        for hold in holds(spine, at, boss):
            a, radius = root(hold, spine.a, spine.b, at, spine.ra, spine.rb)
            yield Bar(a=complex(value(a)), b=at, ra=float(value(radius)), rb=boss)

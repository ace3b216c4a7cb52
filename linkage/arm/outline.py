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

from linkage.arm.plan import ArmPlan, refuse_nonsense
from linkage.faults import DesignError, Fault
from solvers.plane.bars import Bar, depth, weld_bars
from solvers.plane.pieces import Contour, OutlineError

#: A boss that stands out of the bar by less, mm, makes no bump: nobody could file it.
POKE = 0.05
#: No piece of the outline shorter than this, mm: twice what cutting desks object to.
LEAST_PIECE = 0.2
#: Holes within this part of the way to the pad are braced from the pivot itself.
NEAR = 0.45
#: Width of a lobe's root to that of the bar: less than one, so that it never stands out
#: on the bar's far side.
ROOT = 0.9


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
    return Fault(
        key="arm",
        wrong=f"no outline goes round these holes: {error};",
        right="move a hole, or give another fillet or boss",
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


def _bars(plan: ArmPlan, end: complex) -> Iterator[Bar]:
    spine = Bar(a=plan.pivot, b=end, ra=plan.boss("pivot"), rb=plan.boss("pad"))
    yield spine
    for name, at in plan.holes.items():
        if depth(spine, at) < plan.boss(name) - POKE:
            yield from _lobe(spine, at, plan.boss(name))


def _lobe(spine: Bar, at: complex, boss: float) -> Iterator[Bar]:
    """Bars that carry one hole."""
    way = spine.b - spine.a
    reach = abs(way)
    local = (at - spine.a) * way.conjugate() / reach
    brace = local.real - abs(local.imag)
    widens = bool(depth(spine, at) >= 0.0)
    beyond = local.real >= reach
    near = local.real < NEAR * reach or brace < 0.5 * spine.ra
    if not beyond and (widens or near):
        yield Bar(a=spine.a, b=at, ra=spine.ra, rb=boss)
    if beyond or (widens and local.real > 0.0):
        yield Bar(a=spine.b, b=at, ra=spine.rb, rb=boss)
    if not (beyond or widens or near):
        share = brace / reach
        width = ROOT * (spine.ra + (spine.rb - spine.ra) * share)
        yield Bar(a=spine.a + way * share, b=at, ra=width, rb=boss)

"""All holes with all bores at once: one rod, one stop, one sweep of arrays.

Rows are holes, columns are bores. What the fluid wants follows the bore alone, what the
pad does for it the hole too; so the fluid is asked once for all bores, and the pedal
carried once for all pairs. Arm, springs, rubbing and what the car weighs stay those of
the file. nan where a pair cannot have it.
"""

from typing import Any

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from linkage.car.asking import Stated, usual
from linkage.car.pistons import Piston
from linkage.car.rig import Rig, rig_of
from linkage.car.stopping import GRAVITY, RULES
from linkage.design.records import Design
from linkage.design.stock import BORES
from linkage.design.values import Value
from linkage.faults import DesignError, Fault
from linkage.footwell.clearance import clearances
from linkage.ladder.holes import Hole, holes_of
from linkage.ladder.swing import Swing
from linkage.loads.burden import area_of
from linkage.parts.cylinder import Cylinder
from linkage.quantities import laws
from solvers.jet import value
from solvers.monotone import rises_to

Floats = NDArray[np.float64]
#: N that a foot may use at a stop: FMVSS 135 S7.5 (read).
FOOT = RULES["cold"].effort[1]


class Bore(Struct, frozen=True, kw_only=True):
    """One bore, mm; its name in the trade, "" for one that is not stock."""

    name: str
    size: float
    present: bool


class Ladder(Struct, frozen=True, kw_only=True, eq=False):
    """Every pair of a hole and a bore; arrays of shape (holes, bores).

    Attributes
    ----------
    rig : Rig
        The pedal as it is.
    of, size : str, float
        The stop that is asked for.
    foot : float
        N, at which ``at_foot`` is told.
    ratio, effort, travel : ndarray
        Pad for rod, N and mm at the stop.
    pressure : ndarray
        MPa in the lines at the stop.
    used : ndarray
        Of the stroke, per cent; nan where the file does not say how long it is.
    left : ndarray
        What the pad has left until its stop, or what the pedal as it is meets first, mm.
    at_foot : ndarray
        Line pressure that the stated foot makes, MPa; as much as there is where
        pedal or cylinder ends before.
    short : ndarray of bool
        Where they do.
    dead : ndarray or None
        N for the least stop with the booster dead; None without booster or car.
    ends : ndarray of str
        Why a pair does not make the stop; "" where it does.
    """

    rig: Rig
    of: Stated
    size: float
    foot: float
    holes: tuple[Hole, ...]
    bores: tuple[Bore, ...]
    ratio: Floats
    effort: Floats
    travel: Floats
    pressure: Floats
    used: Floats
    left: Floats
    at_foot: Floats
    short: NDArray[np.bool_]
    dead: Floats | None
    ends: NDArray[np.str_]


def ladder_of(
    design: Design,
    pedal: str,
    *,
    stated: tuple[Stated, float] | None = None,
    foot: float = FOOT,
    holes: tuple[str, ...] = (),
) -> Ladder:
    """Work out every stock bore with every hole.

    Parameters
    ----------
    stated : (str, float), optional
        A pressure in MPa or a deceleration in g0; left out, the usual hard stop.
    foot : float
        N.
    holes : tuple of str
        See `linkage.ladder.holes.holes_of`.

    Raises
    ------
    DesignError
        The pedal drives no cylinder that fills circuits, or cannot stand at rest.
    """
    rig = rig_of(design, pedal)
    part, driven = rig.rest.pedal.train[-1], rig.driven
    if not isinstance(part, Cylinder) or not isinstance(driven, Piston):
        wrong = (
            "a ladder is of one cylinder, and this pedal shares its push between two."
        )
        fault = Fault(
            file=design.file, key=pedal, wrong=wrong, right="Ask footwell budget."
        )
        raise DesignError([fault])
    of, size = stated or usual(rig)
    found = holes_of(design, rig.rest, holes)
    bores = _bores(part, rig)
    piston = _bored(rig, driven, part, np.array([bore.size for bore in bores]))
    swing = Swing(rig, found)
    level = np.asarray(_level(rig, piston, of, size), float)
    pad, ends = swing.pressed(piston, level)
    dead = _dead(rig, piston, swing)
    run = swing.run(pad)
    sound = ends == ""
    at_foot, short = _at_foot(swing, piston, foot)
    return Ladder(
        rig=rig,
        of=of,
        size=size,
        foot=foot,
        holes=found,
        bores=bores,
        ratio=_where(sound, laws.ratio(run).v),
        effort=_where(sound, swing.effort(run, piston.rod(level))),
        travel=_where(sound, pad),
        pressure=_where(sound, piston.pressures(level)[0]),
        used=_where(sound, _used(piston, level)),
        left=_where(sound, _reach(rig) - pad),
        at_foot=_where(swing.swings[:, None], at_foot),
        short=short,
        dead=dead,
        ends=ends,
    )


def _reach(rig: Rig) -> float:
    """Return how far the pad gets before the pedal as it is meets something, mm."""
    try:
        near = clearances(rig.rest, rig.travel)
    except DesignError:
        near = ()
    return min([rig.travel, *(each.touch for each in near if each.touch is not None)])


def _where(sound: Any, found: Any) -> Floats:
    return np.asarray(np.where(sound, found, np.nan), float)


def _number(rig: Rig, given: Value | None) -> float:
    return float(np.ravel(value(rig.rest.places.number(given)))[0])


def _bores(part: Cylinder, rig: Rig) -> tuple[Bore, ...]:
    """Return the bores that are sold, and the present one where it is none of them."""
    here = _number(rig, part.bore)
    gland = _number(rig, part.gland)  # a rod that pulls fills the bore up to it
    found = {size: name for name, size in BORES.items() if size > gland}
    if all(abs(here - size) > 1e-6 for size in found):
        found[here] = ""
    return tuple(
        Bore(name=found[size], size=size, present=abs(size - here) <= 1e-6)
        for size in sorted(found)
    )


def _bored(rig: Rig, driven: Piston, part: Cylinder, bores: Floats) -> Piston:
    """Return the cylinder with all bores; the second piston of a stepped one stays."""
    gland, master = _number(rig, part.gland), driven.master
    stepped = part.second_bore is not None
    follows = len(driven.lines) == 2 and not stepped
    second = area_of(bores) if follows else master.second  # type: ignore[arg-type]
    first = area_of(bores, gland)  # type: ignore[arg-type]
    return replace(driven, master=replace(master, first=first, second=second))


def _level(rig: Rig, piston: Piston, of: Stated, size: float) -> Any:
    """Return the level of a stop for each bore; `UTMOST` where there is none."""
    many = np.full(np.shape(piston.master.first), size)
    if of == "pressure":
        return piston.level_for(many)
    if rig.road is None:
        wrong = "a deceleration needs the car, and the file has no [vehicle]."
        right = "State a pressure."
        file = rig.rest.places.design.file
        raise DesignError(
            [Fault(file=file, key="--deceleration", wrong=wrong, right=right)]
        )
    return rig.road.level_for(piston, many)


def _used(piston: Piston, level: Any) -> Any:
    stroke = piston.master.stroke
    return 100.0 * piston.stroke(level) / stroke if np.isfinite(stroke) else np.nan


def _at_foot(swing: Swing, piston: Piston, foot: float) -> tuple[Any, Any]:
    """Return the line pressure that a foot makes, MPa, and whether it is all there is."""
    top = swing.top(piston)

    def felt(share: Any) -> Any:
        level = share * top
        moved = sum(each.moved for each in piston.shares(level))
        return swing.effort(swing.run(swing.pad(moved)), piston.rod(level))

    share = rises_to(felt, np.full(top.shape, foot), 0.0, 1.0)
    return piston.pressures(share * top)[0], share >= 1.0


def _dead(rig: Rig, piston: Piston, swing: Swing) -> Floats | None:
    """Return the effort of the least stop with the booster dead, N."""
    if piston.booster is None or rig.road is None:
        return None
    dead = replace(piston, dead=True)
    z = RULES["booster dead"].deceleration / GRAVITY
    level = np.asarray(_level(rig, dead, "deceleration", z), float)
    pad, ends = swing.pressed(dead, level)
    return _where(ends == "", swing.effort(swing.run(pad), dead.rod(level)))

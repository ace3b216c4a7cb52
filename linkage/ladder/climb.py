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
from linkage.car.rig import UTMOST, Rig, rig_of
from linkage.car.stopping import GRAVITY, RULES
from linkage.design.records import Cartesian, Design
from linkage.design.stock import BORES
from linkage.design.values import Value
from linkage.faults import DesignError, Fault
from linkage.footwell.clearance import clearances
from linkage.ladder.holes import Hole, holes_of
from linkage.loads.burden import area_of
from linkage.loads.equilibrium import Load, forces
from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import Run, move
from linkage.parts.cylinder import Cylinder
from linkage.places import Places
from linkage.quantities import laws
from solvers.jet import value
from solvers.monotone import rises_to

Floats = NDArray[np.float64]
#: Places at which a hole's swing is looked at before anything is asked of it.
LOOKS = 65
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
    swing = _Swing(rig, found)
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
    found = {size: name for name, size in BORES.items()}
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


class _Swing:
    """One pedal with many holes, shape (holes, 1), carried all together."""

    def __init__(self, rig: Rig, holes: tuple[Hole, ...]) -> None:
        self.rig = rig
        self.whole = float(np.ravel(value(rig.rest.travel))[0])
        self.rest = _drilled(rig, np.array([[hole.at] for hole in holes]))
        looked = self._moved(
            np.broadcast_to(np.linspace(0.0, self.whole, LOOKS), (len(holes), LOOKS))
        )
        steps = np.diff(looked, axis=1)
        #: Which holes carry the pad to its stop without turning the rod back.
        self.swings = np.all(np.isfinite(looked), axis=1) & np.all(steps >= 0.0, axis=1)
        self.last = np.where(self.swings, looked[:, -1], 0.0)[:, None]

    def _moved(self, travel: Floats) -> Floats:
        with np.errstate(divide="ignore", invalid="ignore"):
            found = move(self.rest, travel).last.end().v
        return np.asarray(np.broadcast_to(found, travel.shape), float)

    def run(self, pad: Floats) -> Run:
        """Return all holes at places of the pad, shape (holes, n)."""
        with np.errstate(divide="ignore", invalid="ignore"):
            return move(self.rest, pad)

    def pad(self, moved: Any) -> Floats:
        """Return the travel of the pad for movements of the rod, mm."""
        moved = np.broadcast_to(
            moved, np.broadcast_shapes(self.last.shape, np.shape(moved))
        )
        return np.asarray(rises_to(self._moved, moved, 0.0, self.whole))

    def effort(self, run: Run, rod: Any) -> Any:
        """Return what the foot pushes with for forces in the rod, N."""
        load = Load(of="end", size=np.broadcast_to(rod, np.shape(run.travel.v)))
        return forces(run, self.rig.burden, load, hip=self.rig.hip).effort

    def pressed(self, piston: Piston, level: Any) -> tuple[Floats, NDArray[np.str_]]:
        """Return the travel of the pad at a level, and why it cannot be had."""
        level = np.asarray(level, float)
        moved = sum(share.moved for share in piston.shares(level))
        pad = self.pad(moved)
        ends = np.full(pad.shape, "", dtype="<U40")
        ends[np.broadcast_to(moved > self.last, pad.shape)] = "pedal at its end"
        full = piston.left(level) < 0.0
        ends[np.broadcast_to(full, pad.shape)] = "cylinder at its end"
        ends[np.broadcast_to(level >= UTMOST, pad.shape)] = "not on this road"
        ends[~self.swings] = "the pedal locks or turns back"
        return pad, ends

    def top(self, piston: Piston) -> Floats:
        """Return the level at which pedal or cylinder comes to its end."""
        shape = (len(self.last), np.size(piston.master.first))

        def moved(level: Any) -> Any:
            return sum(share.moved for share in piston.shares(level))

        wanted = np.broadcast_to(self.last, shape)
        by_pedal = rises_to(moved, wanted, 0.0, UTMOST)
        none = np.zeros(shape)
        by_stroke = rises_to(lambda x: -piston.left(x) + none, none, 0.0, UTMOST)
        return np.asarray(np.minimum(by_pedal, by_stroke), float)


def _drilled(rig: Rig, at: NDArray[np.complex128]) -> PedalRest:
    """Return the pedal at rest with holes in place of the present one."""
    places, pedal = rig.rest.places, rig.rest.pedal
    x, z = (Value(path=f"{pedal.name}.clevis.hole.{key}") for key in "xz")
    moved = replace(pedal, points={**pedal.points, "clevis": Cartesian(x=x, z=z)})
    design = replace(places.design, pedals={**places.design.pedals, pedal.name: moved})
    with np.errstate(divide="ignore", invalid="ignore"):
        return at_rest(Places(design, {x.path: at.real, z.path: at.imag}), moved)


def _at_foot(swing: _Swing, piston: Piston, foot: float) -> tuple[Any, Any]:
    """Return the line pressure that a foot makes, MPa, and whether it is all there is."""
    top = swing.top(piston)

    def felt(share: Any) -> Any:
        level = share * top
        moved = sum(each.moved for each in piston.shares(level))
        return swing.effort(swing.run(swing.pad(moved)), piston.rod(level))

    share = rises_to(felt, np.full(top.shape, foot), 0.0, 1.0)
    return piston.pressures(share * top)[0], share >= 1.0


def _dead(rig: Rig, piston: Piston, swing: _Swing) -> Floats | None:
    """Return the effort of the least stop with the booster dead, N."""
    if piston.booster is None or rig.road is None:
        return None
    dead = replace(piston, dead=True)
    z = RULES["booster dead"].deceleration / GRAVITY
    level = np.asarray(_level(rig, dead, "deceleration", z), float)
    pad, ends = swing.pressed(dead, level)
    return _where(ends == "", swing.effort(swing.run(pad), dead.rod(level)))

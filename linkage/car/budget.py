"""Where the pad's travel goes, cause by cause; and which guess is worth measuring."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
from msgspec import Struct

from linkage.car.drive import driven_of, vehicle_of
from linkage.car.guesses import Doubt, Ledger
from linkage.car.lines import tyres_of
from linkage.car.pistons import Piston, Share
from linkage.car.rig import Rig, pressed
from linkage.car.road import Road

#: mm of rod; so little is what a slack cable takes before anything moves.
_BARELY = 1e-9
#: mm of rod and of pad; a cause with less is left out.
_NOTHING = 1e-6


class Row(Struct, frozen=True, kw_only=True, eq=False):
    """One cause in a budget.

    Attributes
    ----------
    cause, circuit : str
    moved : float
        Of the rod, mm.
    pad : float
        Of the pad, mm: from where the cause before it left the pad.
    volume : float or None
        Of fluid, mm3.
    """

    cause: str
    circuit: str
    moved: float
    pad: float
    volume: float | None


def budget(rig: Rig, level: float) -> tuple[Row, ...]:
    """Return where the pad's travel goes at a level, in order; their sum is the travel.

    Parameters
    ----------
    rig : Rig
    level : float
        N; see `linkage.car.pistons`. At most `Rig.top`.

    Returns
    -------
    tuple of Row
        Causes that take nothing are left out.
    """
    shares = list(pressed(rig.driven, np.array([level])).shares)
    moved = [float(share.moved[0]) for share in shares]
    ends = np.cumsum([_BARELY, *moved])
    pads = rig.pad(np.maximum(ends, _BARELY))
    slack = Share(cause="cable slack", moved=np.zeros(1))
    steps = np.diff([0.0, *pads])
    rows = zip([slack, *shares], [0.0, *moved], steps, strict=True)
    return tuple(_row(*row) for row in rows if max(map(abs, row[1:])) > _NOTHING)


def _row(share: Share, moved: float, pad: float) -> Row:
    volume = share.volume
    return Row(
        cause=share.cause,
        circuit=share.circuit,
        moved=moved,
        pad=float(pad),
        volume=None if volume is None else float(volume[0]),
    )


class Sway(Struct, frozen=True, kw_only=True, eq=False):
    """What one guess sways, from one end of its range to the other.

    Attributes
    ----------
    travel : tuple of float
        Of the pad with the guess at its low and high end, mm.
    effort : tuple of float
        N, likewise.
    stop : tuple of float or None
        The deceleration that the road then lets the brakes do, g0, likewise; None
        without a car.
    lock : tuple of (float or None) or None
        The deceleration at which the first axle locks, g0, likewise; None inside where
        no axle does.
    """

    doubt: Doubt
    travel: tuple[float, float]
    effort: tuple[float, float]
    stop: tuple[float, float] | None = None
    lock: tuple[float | None, float | None] | None = None

    @property
    def travelled(self) -> float:
        """Return how much of the pad's travel rests on it, mm."""
        return abs(self.travel[1] - self.travel[0])

    @property
    def pushed(self) -> float:
        """Return how much of the effort rests on it, N."""
        return abs(self.effort[1] - self.effort[0])

    @property
    def slowed(self) -> float:
        """Return how much of the deceleration rests on it, g0."""
        return 0.0 if self.stop is None else abs(self.stop[1] - self.stop[0])

    @property
    def locked(self) -> float:
        """Return how much of the first lock's deceleration rests on it, g0."""
        low, high = self.lock or (None, None)
        return 0.0 if low is None or high is None else abs(high - low)


class _End(Struct, frozen=True, kw_only=True, eq=False):
    """What the rod and the car do with a guess at one end of its range."""

    moved: float
    rod: float
    stop: float | None = None
    lock: float | None = None


def sways(rig: Rig, level: float) -> tuple[Sway, ...]:
    """Return what each guess sways: most travel first, then effort, then locks.

    Parameters
    ----------
    rig : Rig
    level : float
        N. With a car in the file its deceleration there is kept, on endless grip: the
        same stop with other numbers; what the grip makes of it is told beside it.
        Without one the level itself is.
    """
    doubts = list(rig.doubts.values())
    if not doubts:
        return ()
    force = None if rig.road is None else sum(rig.road.brakes(rig.driven, level))
    z = None if rig.road is None else force / rig.road.vehicle.weight
    tried = [(each.path, end) for each in doubts for end in (each.low, each.high)]
    ends = [_again(rig, {path: end}, level, z) for path, end in tried]
    felt = rig.felt(
        *(np.array([getattr(e, k) for e in ends]) for k in ("moved", "rod"))
    )
    travel, effort = felt.travel.reshape(-1, 2), felt.effort.reshape(-1, 2)
    pairs = zip(ends[::2], ends[1::2], strict=True)
    found = [
        _sway(doubt, pair, x.tolist(), f.tolist())
        for doubt, pair, x, f in zip(doubts, pairs, travel, effort, strict=True)
    ]
    return tuple(sorted(found, key=_rank))


def _rank(sway: Sway) -> tuple[float, float, float, str]:
    gripped = max(sway.locked, sway.slowed)
    return -sway.travelled, -sway.pushed, -gripped, sway.doubt.path


def _sway(
    doubt: Doubt, ends: tuple[_End, _End], travel: list[float], effort: list[float]
) -> Sway:
    low, high = ends
    return Sway(
        doubt=doubt,
        travel=(travel[0], travel[1]),
        effort=(effort[0], effort[1]),
        stop=None if low.stop is None or high.stop is None else (low.stop, high.stop),
        lock=None if low.stop is None else (low.lock, high.lock),
    )


def _again(rig: Rig, values: Mapping[str, Any], level: float, z: float | None) -> _End:
    """Return what rod and car do with other numbers."""
    ledger = Ledger(rig.rest.places.moved(values))
    had = rig.driven
    driven = driven_of(
        ledger,
        rig.rest.pedal,
        dead=isinstance(had, Piston) and had.dead,
        lost=had.lost_circuit,
    )
    vehicle = rig.rest.places.design.vehicle
    road = None
    if vehicle is not None and z is not None:
        road = Road(
            vehicle=vehicle_of(ledger, vehicle), tyres=tyres_of(ledger, vehicle)
        )
        level = float(road.level_for(driven, z, endless=True))
    fluid = pressed(driven, np.array([level]))
    moved, rod = float(fluid.moved[0]), float(fluid.rod[0])
    if road is None:
        return _End(moved=moved, rod=rod)
    lock = next((each.z for each in road.locks(driven)), None)
    stop = float(road.braked(driven, level).z)
    return _End(moved=moved, rod=rod, stop=stop, lock=lock)


def measured_first(found: Sequence[Sway], share: float = 0.05) -> Iterator[Sway]:
    """Yield the guesses worth measuring: those with a share of the greatest sway."""
    most = max((sway.travelled for sway in found), default=0.0)
    yield from (sway for sway in found if sway.travelled >= share * most > 0.0)

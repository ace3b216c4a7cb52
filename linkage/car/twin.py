"""Two cylinders of one circuit each on a balance bar, both holding or one of them lost.

The *level* is the push on the bar's bearing, N. A tilt changes no share, since bearing
and rod ends stand in one line; where the bar is at its stop that ends, and so does what
is told here. What a dead cylinder's own spring and seals hold is left out.
"""

import math
from collections.abc import Iterator
from typing import Any

import numpy as np
from msgspec import Struct

from linkage.car.bar import Bar, Side, Swing, swing
from linkage.car.lines import Line
from linkage.car.pistons import Piston, Share
from solvers.monotone import rises_to

#: N in one rod; nothing pushes as hard.
_UTMOST = 1e6


class Twin(Struct, frozen=True, kw_only=True, eq=False):
    """Two cylinders of one circuit each on a balance bar, front and rear."""

    bar: Bar
    front: Piston
    rear: Piston

    @property
    def lines(self) -> tuple[Line, ...]:
        """Return the circuits, front first."""
        return self.front.lines + self.rear.lines

    @property
    def lost_circuit(self) -> str:
        """Return the name of the circuit that holds nothing: none."""
        return ""

    @property
    def sides(self) -> tuple[tuple[Any, Piston], ...]:
        """Return (share of the push, cylinder), front first."""
        share = self.bar.share
        return (share, self.front), (1.0 - share, self.rear)

    def levels(self, level: Any) -> tuple[Any, ...]:
        """Return the levels of both cylinders, front first."""
        return tuple(
            piston.level(share * np.asarray(level, float))
            for share, piston in self.sides
        )

    def rod(self, level: Any) -> Any:
        """Return the push on the bearing, N."""
        return np.asarray(level, float)

    def pressures(self, level: Any) -> tuple[Any, ...]:
        """Return the line pressures, MPa, front first."""
        front, rear = self.levels(level)
        return self.front.pressures(front) + self.rear.pressures(rear)

    def ends(self, level: Any) -> tuple[Any, Any]:
        """Return what front and rear rod have moved, mm."""
        front, rear = (
            piston.moved(own)
            for (_, piston), own in zip(self.sides, self.levels(level), strict=True)
        )
        return front, rear

    def strokes(self, level: Any) -> tuple[Any, ...]:
        """Return how far front and rear piston have gone, mm."""
        front, rear = self.levels(level)
        return self.front.stroke(front), self.rear.stroke(rear)

    def tilt(self, level: Any) -> Any:
        """Return the tilt, rad, plus with the front rod ahead."""
        return self.bar.tilted(*self.ends(level))

    def square(self, level: Any) -> Any:
        """Return by how much longer the front rod has to be for a square bar, mm."""
        return self.bar.square(*self.ends(level))

    def without(self, lost: Side) -> "Alone":
        """Return the bar without the circuit of one side."""
        held, gone = (
            (self.rear, self.front) if lost == "front" else (self.front, self.rear)
        )
        end = float(gone.play + gone.master.stroke)
        bare = swing(self.bar, lost, 0.0, math.inf).dead
        meets = rises_to(
            lambda force: held.moved(held.level(force)), end - bare, 0.0, _UTMOST
        )
        return Alone(bar=self.bar, held=held, gone=gone, lost=lost, meets=float(meets))

    def shares(self, level: Any) -> list[Share]:
        """Return what the bearing moves by, cause by cause."""
        return [
            each
            for (part, piston), own in zip(self.sides, self.levels(level), strict=True)
            for each in _shared(part, piston, own)
        ]

    def left(self, level: Any) -> Any:
        """Return what is left of the stroke of the piston nearer its end, mm."""
        front, rear = (
            piston.left(own)
            for (_, piston), own in zip(self.sides, self.levels(level), strict=True)
        )
        return np.minimum(front, rear)

    def room(self, level: Any) -> Any:
        """Return how far the bar could still turn, rad; below 0 it cannot be there."""
        turned = np.abs(self.tilt(level))
        return self.bar.tilt - np.where(np.isnan(turned), 0.5 * math.pi, turned)

    def level_for(self, pressure: Any, side: Side = "front") -> Any:
        """Return the level at which one side has a line pressure above 0, MPa."""
        share, piston = self.sides[0 if side == "front" else 1]
        return piston.rod(piston.level_for(pressure)) / share

    def knees(self) -> Iterator[float]:
        """Yield the levels at which forces at the wheels bend."""
        for share, piston in self.sides:
            yield from (piston.rod_beyond(knee) / share for knee in piston.knees())


def _shared(part: Any, piston: Piston, own: Any) -> Iterator[Share]:
    """Yield what a bearing moves by for one of its cylinders."""
    for each in piston.shares(own):
        yield Share(
            cause=each.cause,
            circuit=piston.lines[0].name,
            moved=part * each.moved,
            volume=each.volume,
        )


class Alone(Struct, frozen=True, kw_only=True, eq=False):
    """A bar of which one circuit holds nothing.

    It swings until the bar is at its stop, and the whole push goes to the rod that
    holds; then, as that goes on, until the dead piston meets its end. From there the
    live rod gets no more until its share of the push is what it has already.

    Attributes
    ----------
    held, gone : Piston
    lost : {"front", "rear"}
    meets : float
        The force in the live rod at which the dead piston meets its end, N.
    """

    bar: Bar
    held: Piston
    gone: Piston
    lost: Side
    meets: float

    @property
    def lines(self) -> tuple[Line, ...]:
        """Return the circuits, front first."""
        both = self.gone.lines, self.held.lines
        first, second = both if self.lost == "front" else both[::-1]
        return first + second

    @property
    def lost_circuit(self) -> str:
        """Return the name of the circuit that holds nothing."""
        return self.gone.lines[0].name

    @property
    def share(self) -> Any:
        """Return the live rod's share of the push once the dead piston bears its own."""
        return self.bar.share_of("rear" if self.lost == "front" else "front")

    @property
    def end(self) -> float:
        """Return what the dead rod can move, mm."""
        return float(self.gone.play + self.gone.master.stroke)

    def _live_moved(self, force: Any) -> Any:
        return self.held.moved(self.held.level(force))

    def live(self, level: Any) -> Any:
        """Return the force in the rod that holds, N."""
        level = np.asarray(level, float)
        return np.maximum(np.minimum(level, self.meets), self.share * level)

    def swung(self, level: float) -> Swing:
        """Return where the bar is at a level, N."""
        moved = float(self._live_moved(self.live(level)))
        return swing(self.bar, self.lost, moved, self.end)

    def rod(self, level: Any) -> Any:
        """Return the push on the bearing, N."""
        return np.asarray(level, float)

    def pressures(self, level: Any) -> tuple[Any, ...]:
        """Return the line pressures, MPa, front first: none in the lost one."""
        (held,) = self.held.pressures(self.held.level(self.live(level)))
        none = 0.0 * held
        return (none, held) if self.lost == "front" else (held, none)

    def shares(self, level: Any) -> list[Share]:
        """Return what the bearing moves by, cause by cause."""
        own = self.held.level(self.live(level))
        bare = swing(self.bar, self.lost, 0.0, math.inf).dead
        dead = np.minimum(self.end, self.held.moved(own) + bare)
        lost = Share(
            cause="lost circuit",
            circuit=self.lost_circuit,
            moved=(1.0 - self.share) * dead,
        )
        return [lost, *_shared(self.share, self.held, own)]

    def left(self, level: Any) -> Any:
        """Return what is left of the live piston's stroke, mm."""
        return self.held.left(self.held.level(self.live(level)))

    def level_for(self, pressure: Any) -> Any:
        """Return the level at which the circuit that holds has a pressure, MPa."""
        return self._level_of(self.held.rod(self.held.level_for(pressure)))

    def _level_of(self, force: Any) -> Any:
        """Return the least level with a force in the live rod, N."""
        force = np.asarray(force, float)
        return np.where(force <= self.meets, force, force / self.share)

    def knees(self) -> Iterator[float]:
        """Yield the levels at which forces at the wheels bend."""
        for knee in self.held.knees():
            yield float(self._level_of(self.held.rod_beyond(knee)))
        if self.meets < _UTMOST:
            yield from (self.meets, self.meets / float(self.share))


Driven = Piston | Twin | Alone

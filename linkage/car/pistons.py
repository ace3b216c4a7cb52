"""What a rod drives: one cylinder, with or without a booster.

The *level* is what all else is told from. Of one cylinder it is the push of its piston
on the fluid and its springs, N; of a bar (see `linkage.car.twin`) the push on its
bearing, N. It only rises while the pedal is pressed, and forces at the wheels are
straight in it between its knees.
"""

import math
from collections.abc import Iterator
from typing import Any

import numpy as np
from msgspec import Struct

from linkage.car.booster import Booster
from linkage.car.lines import Line
from linkage.car.master import Master


class Share(Struct, frozen=True, kw_only=True, eq=False):
    """What one cause costs of the rod's movement, mm.

    Attributes
    ----------
    cause : str
        "rod gap", "booster", "port cut-off", "lost circuit", one of `linkage.car.fluid.CAUSES`, or
        "mounting".
    circuit : str
        Empty for what belongs to none.
    moved : ndarray
        Of the rod that the pedal drives, mm.
    volume : ndarray or None
        Of fluid, mm3.
    """

    cause: str
    circuit: str = ""
    moved: Any
    volume: Any = None


class Piston(Struct, frozen=True, kw_only=True, eq=False):
    """A cylinder with all that stands between its rod and the wheels.

    Attributes
    ----------
    lines : tuple of Line
        One, or a tandem's two, nearer the pedal first.
    play : float
        Gap between rod and piston at rest, mm; below 0 the rod holds it off its ring.
    mount : float
        Stiffness of what it is bolted to, N/mm.
    seal, seal_share : float
        What its seals hold back, N, and of the piston's force.
    booster : Booster or None
    dead : bool
        True for a booster without assist.
    lost : {0, 1, 2}
        The circuit of a tandem that holds nothing, counted from the pedal; 0 for none.
    """

    master: Master
    lines: tuple[Line, ...]
    play: Any = 0.0
    mount: Any = math.inf
    seal: Any = 0.0
    seal_share: Any = 0.0
    booster: Booster | None = None
    dead: bool = False
    lost: int = 0

    @property
    def lost_circuit(self) -> str:
        """Return the name of the circuit that holds nothing; empty for none."""
        return self.lines[self.lost - 1].name if self.lost else ""

    def moved(self, level: Any) -> Any:
        """Return what its rod has moved along the axis, mm."""
        return sum(share.moved for share in self.shares(level))

    def rod(self, level: Any) -> Any:
        """Return the force in its rod along the axis, N."""
        push = np.multiply(level, 1.0 + self.seal_share)
        return self._input(np.where(np.greater(level, 0.0), push + self.seal, 0.0))

    def rod_beyond(self, level: float) -> float:
        """Return the force in its rod up to which the level is no more than this, N.

        At 0 the seals have to be overcome first, so it is more than `rod`.
        """
        return float(self._input(self.seal + (1.0 + self.seal_share) * level))

    def _input(self, push: Any) -> Any:
        if self.booster is None:
            return push
        return self.booster.input_dead(push) if self.dead else self.booster.input(push)

    def level(self, rod: Any) -> Any:
        """Return the level for a force in its rod, N: the inverse of `rod`."""
        push = np.asarray(rod, float)
        if self.booster is not None:
            booster = self.booster
            push = booster.output_dead(push) if self.dead else booster.output(push)
        return np.maximum(push - self.seal, 0.0) / (1.0 + self.seal_share)

    def pressures(self, level: Any) -> tuple[Any, ...]:
        """Return the line pressures, MPa, in the order of `lines`."""
        if not self.lost:
            return (self.master.pressure(level),) * len(self.lines)
        left = self.master.pressure_alone(level, self.lost)
        return (0.0 * left, left) if self.lost == 1 else (left, 0.0 * left)

    def level_for(self, pressure: Any) -> Any:
        """Return the level at which its lines have a pressure above 0, MPa.

        With a circuit lost, that of the other.
        """
        if self.lost == 1:
            return np.multiply(pressure, self.master.second) + self.master.spring
        return self.master.push(pressure)

    def shares(self, level: Any) -> list[Share]:
        """Return what its rod moves by, cause by cause."""
        none = 0.0 * np.asarray(level, float)
        found = [Share(cause="rod gap", moved=self.play + none)]
        if self.booster is not None:
            found.append(Share(cause="booster", moved=self.booster.lost + none))
        found.append(Share(cause="port cut-off", moved=self.master.cut_off + none))
        if self.lost:
            name = self.lines[self.lost - 1].name
            run = self.master.run_dry(self.lost) + none
            found.append(Share(cause="lost circuit", circuit=name, moved=run))
        pressures = self.pressures(level)
        for i, (line, pressure) in enumerate(
            zip(self.lines, pressures, strict=True), 1
        ):
            if i != self.lost:
                found += self._taken(line, pressure)
        found.append(Share(cause="mounting", moved=self.rod(level) / self.mount))
        return found

    def _taken(self, line: Line, pressure: Any) -> Iterator[Share]:
        for cause, volume in line.demands(pressure).items():
            moved = volume / self._area
            yield Share(cause=cause, circuit=line.name, moved=moved, volume=volume)

    @property
    def _area(self) -> Any:
        """Return the area that pushes fluid out, mm2."""
        return self.master.second if self.lost == 1 else self.master.first

    def stroke(self, level: Any) -> Any:
        """Return how far its piston has gone, mm."""
        taken = self._volumes(level)
        if self.lost:
            return self.master.travel_alone(sum(taken), self.lost)
        return self.master.travel(*taken)

    def _volumes(self, level: Any) -> tuple[Any, ...]:
        """Return what each circuit has taken, mm3: nothing where it is lost."""
        pressures = enumerate(self.pressures(level), 1)
        return tuple(
            0.0 * pressure if i == self.lost else line.taken(pressure)
            for line, (i, pressure) in zip(self.lines, pressures, strict=True)
        )

    def left(self, level: Any) -> Any:
        """Return what is left of its stroke, mm; of a tandem, of either piston's."""
        left = self.master.stroke - self.stroke(level)
        if len(self.lines) < 2:
            return left
        if self.lost == 2:
            return self.master.stroke - self.stroke(level)
        second = self.master.second_travel(self._volumes(level)[1])
        left = self.master.second_stroke - second
        if self.lost == 1:
            return left
        first = self.stroke(level) - second
        return np.minimum(left, self.master.first_stroke - first)

    def knees(self) -> Iterator[float]:
        """Yield the levels at which forces at the wheels bend."""
        for i, line in enumerate(self.lines, 1):
            if i == self.lost:
                continue
            yield from (float(self.level_for(p)) for p in line.knees())

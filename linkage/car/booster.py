"""A booster between the pedal's rod and the cylinder: output for input, N.

Up to a ``threshold`` nothing leaves it; there its output jumps (the *jump-in*) and then
rises ``gain`` times as fast as the input, until the whole assist is used (the *knee*).
Beyond, each newton in is one newton out. Without assist the input goes straight
through, less what its return spring and valve hold back.
"""

import math
from typing import Any

import numpy as np
from msgspec import Struct

from linkage.car.fluid import ATMOSPHERE


class Air(Struct, frozen=True, kw_only=True, eq=False):
    """What drives a vacuum booster, for stops with the engine dead.

    Attributes
    ----------
    area : float
        That works, mm2.
    vacuum : float
        MPa below the air outside.
    front, rear : float
        Rooms ahead of and behind the diaphragm at rest, mm3.
    """

    area: float
    vacuum: float
    front: float
    rear: float

    def after(self, moved: float, stops: int) -> tuple[float, ...]:
        """Return the vacuum that is left after each of some like stops, MPa.

        Parameters
        ----------
        moved : float
            Of the diaphragm in each, mm.
        """
        left, found = self.vacuum, []
        for _ in range(stops):
            left = float(next_vacuum(left, self.front, self.rear, self.area * moved))
            found.append(left)
        return tuple(found)


class Booster(Struct, frozen=True, kw_only=True, eq=False):
    """A booster in numbers.

    Attributes
    ----------
    assist : float
        The most that it adds, N: `assist_of` less its return spring.
    gain : float
        Newtons out for each newton in, between threshold and knee; above 1.
    threshold, jump : float
        Input at which it begins, and output that it then has at once, N.
    dead_travel, gap : float
        What the input rod moves before the valve opens, and the gap from its output
        rod to the piston, mm.
    held : float
        What it holds back where there is no assist, N.
    air : Air or None
        None where the file does not say how large its rooms are.
    """

    assist: Any
    gain: Any
    threshold: Any = 0.0
    jump: Any = 0.0
    dead_travel: Any = 0.0
    gap: Any = 0.0
    held: Any = 0.0
    air: Air | None = None

    @property
    def lost(self) -> Any:
        """Return what its input moves before the piston does, mm."""
        return self.dead_travel + self.gap

    def output(self, push: Any) -> Any:
        """Return what it hands on, N."""
        assisted = self.jump + self.gain * np.subtract(push, self.threshold)
        most = np.minimum(assisted, np.add(push, self.assist))
        return np.where(np.greater(push, self.threshold), np.maximum(most, 0.0), 0.0)

    def input(self, output: Any) -> Any:
        """Return what it has to be pushed with, N; the least where many do."""
        assisted = self.threshold + np.subtract(output, self.jump) / self.gain
        least = np.maximum(assisted, np.subtract(output, self.assist))
        least = np.maximum(least, self.threshold)
        return np.where(np.greater(output, 0.0), least, 0.0)

    def knee(self) -> tuple[Any, Any]:
        """Return (input, output) where the whole assist is used, N."""
        spare = self.assist - self.jump + self.gain * self.threshold
        push = np.maximum(spare / (self.gain - 1.0), self.threshold)
        return push, push + self.assist

    def output_dead(self, push: Any) -> Any:
        """Return what it hands on without assist, N."""
        return np.maximum(np.subtract(push, self.held), 0.0)

    def input_dead(self, output: Any) -> Any:
        """Return what it has to be pushed with, N, without assist."""
        return np.where(np.greater(output, 0.0), np.add(output, self.held), 0.0)


def diaphragm_area(diameter: Any, count: int = 1, effective: Any = 1.0) -> Any:
    """Return what air presses on, mm2.

    Parameters
    ----------
    diameter : float or ndarray
        mm.
    count : int
        Two in a tandem booster.
    effective : float or ndarray
        The share of each that works.
    """
    return count * effective * 0.25 * math.pi * np.square(diameter)


def assist_of(area: Any, pressure: Any, spring: Any = 0.0) -> Any:
    """Return the most that a booster adds, N: area x pressure, less its spring.

    Parameters
    ----------
    area : float or ndarray
        mm2.
    pressure : float or ndarray
        Vacuum, or the stated pressure of an assist, MPa.
    """
    return np.maximum(np.multiply(area, pressure) - spring, 0.0)


def next_vacuum(vacuum: Any, front: Any, rear: Any, swept: Any) -> Any:
    """Return the vacuum that is left after one full stop with the engine dead, MPa.

    Parameters
    ----------
    vacuum : float or ndarray
        Before it, MPa below the air outside.
    front, rear : float or ndarray
        Volumes before and behind the diaphragm at rest, mm3.
    swept : float or ndarray
        By the diaphragm during the stop, mm3.

    Notes
    -----
    Behind the pressed diaphragm stands air from outside; let go, it spreads over both
    rooms at an unchanged temperature (a law of gases, no brake book).
    """
    left = (np.multiply(vacuum, front) - ATMOSPHERE * swept) / np.add(front, rear)
    return np.maximum(left, 0.0)

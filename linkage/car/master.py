"""A cylinder and its one or two circuits: pressures for a push, strokes for volumes.

In a tandem the piston nearer the pedal comes *first*. Fluid between the two pistons
carries the whole push on: both circuits have the same pressure, and their strokes add.
In a stepped one the second piston is smaller; the pressures stay equal while both hold.
"""

import math
from typing import Any

import numpy as np
from msgspec import Struct


class Master(Struct, frozen=True, kw_only=True, eq=False):
    """A cylinder in numbers.

    Attributes
    ----------
    first, second : float
        Areas of the pistons, mm2; ``second`` 0 for a cylinder of one circuit.
    cut_off : float
        What the pistons move (a tandem's both together) before their ports are shut,
        mm.
    stroke, first_stroke : float
        All that the piston nearer the pedal has; what its own chamber can close up by
        (the rest belongs to the second), mm. Infinite where not known.
    spring : float
        What the springs inside hold against, N.
    """

    first: Any
    second: Any = 0.0
    cut_off: Any = 0.0
    stroke: Any = math.inf
    first_stroke: Any = math.inf
    spring: Any = 0.0

    @property
    def second_stroke(self) -> Any:
        """Return what the second piston has, mm."""
        return math.inf if self.stroke == math.inf else self.stroke - self.first_stroke

    def pressure(self, push: Any) -> Any:
        """Return the pressure of its circuits, MPa, for a push on its piston, N."""
        return np.maximum(np.subtract(push, self.spring), 0.0) / self.first

    def push(self, pressure: Any) -> Any:
        """Return the push, N, that holds a pressure above 0, MPa."""
        return np.multiply(pressure, self.first) + self.spring

    def travel(self, first: Any, second: Any = 0.0) -> Any:
        """Return how far the piston has gone, mm, for what each circuit took, mm3."""
        return self.cut_off + np.add(first, second) / self.first

    def second_travel(self, second: Any) -> Any:
        """Return how far the second piston of a tandem has gone, mm."""
        return self.cut_off + np.divide(second, self.second)

    # ------------------------------------------------------- with one circuit lost

    def pressure_alone(self, push: Any, lost: int) -> Any:
        """Return the pressure of the circuit that is left, MPa.

        Parameters
        ----------
        push : float or ndarray
            On the piston nearer the pedal, N.
        lost : {1, 2}
            Without the first, its piston pushes on the second one like a rod, on a
            smaller area where it is stepped.
        """
        area = self.second if lost == 1 else self.first
        return np.maximum(np.subtract(push, self.spring), 0.0) / area

    def run_dry(self, lost: int) -> Any:
        """Return what the piston nearer the pedal moves for a circuit that is lost, mm.

        Besides the cut-off and what the other circuit takes: see `travel_alone`.
        """
        if lost == 1:
            return self.first_stroke
        return self.second * (self.second_stroke - self.cut_off) / self.first

    def travel_alone(self, volume: Any, lost: int) -> Any:
        """Return how far the piston nearer the pedal goes with one circuit lost, mm.

        The dead chamber is used up first: the first closes up by ``first_stroke``; the
        second piston runs to its end.

        Parameters
        ----------
        volume : float or ndarray
            What the circuit that is left has taken, mm3.
        """
        area = self.second if lost == 1 else self.first
        return self.cut_off + self.run_dry(lost) + np.divide(volume, area)

"""Wheel brakes: torque for a pressure, N mm.

A fixed caliper has pistons on both sides, of which one side clamps; a floating one
clamps with all of its pistons. A drum's shoes are leading or trailing: rubbing helps
the one on and the other off.
"""

import math
from typing import Any

import numpy as np
from msgspec import Struct


def pistons_area(diameter: Any, count: Any) -> Any:
    """Return the area of all pistons of a brake, mm2."""
    return 0.25 * math.pi * np.square(diameter) * count


class Disc(Struct, frozen=True, kw_only=True, eq=False):
    """One disc with its caliper.

    Attributes
    ----------
    clamping : float
        Area that clamps, mm2: that of one side of a fixed caliper, that of all pistons
        of a floating one.
    friction, radius : float
        Of the pads; where they rub on the mean, mm.
    """

    clamping: Any
    friction: Any
    radius: Any

    @property
    def starts(self) -> float:
        """Return the pressure from which it works, MPa."""
        return 0.0

    def torque(self, pressure: Any) -> Any:
        """Return its torque, N mm: two faces rub."""
        return 2.0 * self.friction * np.multiply(pressure, self.clamping) * self.radius


class Drum(Struct, frozen=True, kw_only=True, eq=False):
    """One drum with two shoes.

    Attributes
    ----------
    area : float
        That presses on each shoe, mm2.
    factor : float
        The sum of both shoes' factors: drag on the drum / force on the shoe's end.
    radius : float
        Of the drum, mm.
    starts : float
        The pressure at which the shoes' springs give way, MPa.
    """

    area: Any
    factor: Any
    radius: Any
    starts: Any = 0.0

    def torque(self, pressure: Any) -> Any:
        """Return its torque, N mm."""
        working = np.maximum(np.subtract(pressure, self.starts), 0.0)
        return working * self.area * self.factor * self.radius

"""What a column of brake fluid gives way by: squeeze, air, hoses, and what moves.

mm3 at MPa above the air outside. Everything rises with the pressure and is 0 at none,
but for what the pistons of the wheel brakes have to move before anything is pressed.
"""

from collections.abc import Mapping
from typing import Any

import numpy as np
from msgspec import Struct

from linkage import units
from solvers.monotone import Broken, rises_to

#: MPa: the absolute pressure at gauge 0.
ATMOSPHERE = float(units.ATMOSPHERE)
#: MPa; no brake line bears as much (FMVSS 106: hoses burst from 5000 psi, 34 MPa).
BEYOND = 1000.0
#: Air that is pressed slowly keeps its temperature; at once, it keeps its heat.
SLOW, QUICK = 1.0, 1.4
#: What takes up fluid, in the order in which it does.
CAUSES = ("clearance", "pads and calipers", "hoses", "fluid", "air")


def squeezed(volume: Any, pressure: Any, bulk: Any) -> Any:
    """Return by how much fluid shrinks: V (1 - exp(-p/K)), mm3.

    Parameters
    ----------
    volume : float or ndarray
        At no pressure, mm3.
    pressure, bulk : float or ndarray
        MPa; glycol brake fluid 1500 to 2000 (from memory).
    """
    return -volume * np.expm1(-np.divide(pressure, bulk))


def squeezed_air(volume: Any, pressure: Any, exponent: float = SLOW) -> Any:
    """Return by how much free air shrinks, mm3: p V^n stays what it is.

    Parameters
    ----------
    volume : float or ndarray
        At no pressure, mm3.
    exponent : float
        `SLOW` for a foot that takes its time, `QUICK` for a stamp.
    """
    left = ATMOSPHERE / np.add(pressure, ATMOSPHERE)
    return volume * (1.0 - left ** (1.0 / exponent))


class Circuit(Struct, frozen=True, kw_only=True, eq=False):
    """All that one outlet of a cylinder fills.

    Attributes
    ----------
    clearance : float
        Of all pistons together before pads and shoes touch, mm3.
    squash : tuple of (float, Broken)
        So many calipers or drums, and what each takes up, mm3 at MPa.
    hoses : tuple of (float, Broken)
        Length, mm, and what each mm swells by, mm3 at MPa.
    fluid, bulk : float
        mm3, MPa.
    air : float
        Free in the fluid, mm3 at no pressure.
    exponent : float
        See `squeezed_air`.
    held : float
        What a residual valve keeps in the line at rest, MPa.
    """

    clearance: Any = 0.0
    squash: tuple[tuple[float, Broken], ...] = ()
    hoses: tuple[tuple[float, Broken], ...] = ()
    fluid: Any = 0.0
    bulk: Any = 1800.0
    air: Any = 0.0
    exponent: float = SLOW
    held: Any = 0.0

    def demands(self, pressure: Any) -> Mapping[str, Any]:
        """Return what each cause has taken of the cylinder's fluid, mm3, by `CAUSES`.

        Parameters
        ----------
        pressure : float or ndarray
            At the wheels, MPa. What a residual valve holds at rest is not taken anew.
        """
        now, before = self._given(pressure), self._given(self.held)
        taken = (np.maximum(a - b, 0.0) for a, b in zip(now, before, strict=True))
        return dict(zip(CAUSES, (self.clearance + 0.0 * now[0], *taken), strict=True))

    def _given(self, pressure: Any) -> tuple[Any, ...]:
        return (
            sum(
                (count * each.at(pressure) for count, each in self.squash),
                0.0 * pressure,
            ),
            sum(
                (size * each.at(pressure) for size, each in self.hoses), 0.0 * pressure
            ),
            squeezed(self.fluid, pressure, self.bulk),
            squeezed_air(self.air, pressure, self.exponent),
        )

    def taken(self, pressure: Any) -> Any:
        """Return all that it has taken at a pressure, mm3."""
        return sum(self.demands(pressure).values())

    def pressure(self, volume: Any) -> Any:
        """Return the pressure, MPa, at which it has taken ``volume``, mm3.

        0 up to the clearance. The inverse of `taken`, by halving.
        """
        return rises_to(self.taken, volume, 0.0, BEYOND)

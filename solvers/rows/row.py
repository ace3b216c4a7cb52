"""What a constraint row is: some equations on some points and numbers.

A row ties named points and named numbers (angles in rad, lengths in mm). It sees only
its own coordinates, in the order of `Row.ties`: x and z of each point, then each
number. Residuals are scaled so that a small one is a distance in mm; residual and
Jacobian stand side by side and are plain arithmetic, so complex or array coordinates
pass through them. Rows know nothing of the system that they stand in.
"""

from abc import abstractmethod
from collections.abc import Sequence
from typing import Any, ClassVar

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

Coordinates = (
    Sequence[Any] | NDArray[Any]
)  # x, z, x, z ..., then numbers; real, complex or arrays
Residual = tuple[Any, ...]
Slopes = tuple[tuple[Any, ...], ...]  # one tuple an equation, one entry a coordinate


class Row(Struct, frozen=True, kw_only=True):
    """One or two equations.

    Attributes
    ----------
    name : str
        What reports call this row; empty: made from its kind and what it ties.
    """

    POINTS: ClassVar[tuple[str, ...]] = ()
    NUMBERS: ClassVar[tuple[str, ...]] = ()
    EQUATIONS: ClassVar[int] = 1

    name: str = ""

    @property
    def points(self) -> tuple[str, ...]:
        """Return the names of the points that the row ties."""
        return tuple(getattr(self, field) for field in self.POINTS)

    @property
    def numbers(self) -> tuple[str, ...]:
        """Return the names of the numbers that the row ties."""
        return tuple(getattr(self, field) for field in self.NUMBERS)

    @property
    def ties(self) -> tuple[str, ...]:
        """Return all names, points first: the order of the row's coordinates."""
        return self.points + self.numbers

    @property
    def label(self) -> str:
        """Return what reports call this row."""
        return self.name or f"{type(self).__name__.lower()} {' '.join(self.ties)}"

    @abstractmethod
    def residual(self, p: Coordinates) -> Residual:
        """Return what is left over in each equation, mm."""

    @abstractmethod
    def jacobian(self, p: Coordinates) -> Slopes:
        """Return the derivative of each equation by each coordinate."""


def unit(direction: complex) -> complex:
    """Return the vector at length 1."""
    return direction / abs(direction)


def distance(dx: Any, dz: Any) -> Any:
    """Return the analytic length: no absolute value, so a complex step survives."""
    return np.sqrt(dx * dx + dz * dz)

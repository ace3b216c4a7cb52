"""Synthetic problems over the unit box with answers that are known beforehand."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solvers.bands import Bands

Matrix = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Smooth:
    """Rows from a function of (n, k); the derivatives by complex steps."""

    size: int
    f: Callable[[NDArray[np.complex128]], NDArray[np.complex128]]
    hole: Callable[[Matrix], NDArray[np.bool_]] | None = None

    def __call__(self, u: Matrix) -> Matrix:
        y = np.array(self.f(u.astype(complex)).real)
        if self.hole is not None:
            y[self.hole(u)] = np.nan
        return y

    def jacobian(self, u: Matrix) -> tuple[Matrix, Matrix]:
        y = self(u)
        j = np.zeros((*y.shape, self.size))
        for i in range(self.size):
            z = u.astype(complex)
            z[:, i] += 1e-30j
            j[:, :, i] = self.f(z).imag / 1e-30
        return y, j


def bands(*pairs: tuple[float, float], unit: float = 0.01) -> Bands:
    low, high = np.array(pairs, float).T
    return Bands(low=low, high=high, unit=np.full(len(pairs), unit))


def stack(*rows: NDArray[np.complex128]) -> NDArray[np.complex128]:
    return np.stack(rows, axis=-1)


def radius(u: NDArray[np.complex128]) -> NDArray[np.complex128]:
    return np.asarray((u[:, 0] - 0.5) ** 2 + (u[:, 1] - 0.5) ** 2)


RING = Smooth(size=2, f=lambda u: stack(radius(u)))
#: Two rings: the first row is zero on either of two circles about the middle.
RINGS = Smooth(
    size=2, f=lambda u: stack((radius(u) - 0.2**2) * (radius(u) - 0.45**2) * 100.0)
)

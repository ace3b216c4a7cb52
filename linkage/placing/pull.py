"""How far layouts are from where they would like to stay, as one more row."""

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from solvers.bands import Bands
from solvers.lm import Rows

Matrix = NDArray[np.float64]

#: The size of a move that counts as one: a share of a range's width.
UNIT = 0.01


class Pulled(Struct, frozen=True, kw_only=True, eq=False):
    """A problem with a last row: the distance from ``home`` in the unit box.

    Attributes
    ----------
    rows : Rows
    home : ndarray, shape (k,)
        nan for coordinates that do not care.
    """

    rows: Rows
    home: Matrix

    @property
    def size(self) -> int:
        """Number of coordinates."""
        return self.rows.size

    def away(self, u: Matrix) -> Matrix:
        """Return the distance of layouts (n, k) from home, (n,)."""
        return np.asarray(np.sqrt(np.nansum((u - self.home) ** 2, axis=1)))

    def __call__(self, u: Matrix) -> Matrix:
        """Return the rows with the distance behind them."""
        return np.hstack([self.rows(u), self.away(u)[:, None]])

    def jacobian(self, u: Matrix) -> tuple[Matrix, Matrix]:
        """Return the rows and their derivatives."""
        y, j = self.rows.jacobian(u)
        away = self.away(u)
        slope = np.nan_to_num(u - self.home) / np.maximum(away, 1e-12)[:, None]
        return np.hstack([y, away[:, None]]), np.concatenate([j, slope[:, None]], 1)

    @staticmethod
    def bands(bands: Bands) -> Bands:
        """Return bands with an open one for the distance."""

        def more(x: Matrix, last: float) -> Matrix:
            return np.concatenate([x, np.full((*x.shape[:-1], 1), last)], axis=-1)

        return Bands(
            low=more(bands.low, -np.inf),
            high=more(bands.high, np.inf),
            unit=more(bands.unit, UNIT),
        )

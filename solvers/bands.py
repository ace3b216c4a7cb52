"""What is wanted of the rows of a problem: for each a band, open at either side.

A row is met where its value lies in its band, ends in. Every row has a *unit*, the
size of a miss that counts as one; misses and margins are in these units. A row with a
band open at both sides is not looked at, whatever its value.
"""

from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

Matrix = NDArray[np.float64]


class Bands(Struct, frozen=True, kw_only=True, eq=False):
    """Bands of m rows, for all layouts alike or for each of n.

    Attributes
    ----------
    low, high : ndarray, shape (m,) or (n, m)
        Infinite where a band is open.
    unit : ndarray, shape (m,)
        Positive.
    """

    low: Matrix
    high: Matrix
    unit: Matrix

    @property
    def closed(self) -> NDArray[np.bool_]:
        """Return True for rows that are looked at."""
        return np.asarray(np.isfinite(self.low) | np.isfinite(self.high))

    def miss(self, y: Matrix) -> Matrix:
        """Return how far values lie outside, signed, in units; nan where y is nan."""
        out = np.maximum(y - self.high, 0.0) - np.maximum(self.low - y, 0.0)
        out /= self.unit
        return np.where(self.closed, out, 0.0) if np.isnan(out).any() else out

    def margin(self, y: Matrix) -> Matrix:
        """Return how far values lie inside, in units: below 0 outside, nan as -inf."""
        inside = np.minimum(y - self.low, self.high - y) / self.unit
        inside = np.where(np.isnan(inside), -np.inf, inside)
        return np.where(self.closed, inside, np.inf)

    def met(self, y: Matrix) -> NDArray[np.bool_]:
        """Return True for the layouts (rows of ``y``) that meet every band."""
        inside = ((y >= self.low) & (y <= self.high)) | ~self.closed
        return np.asarray(inside.all(axis=-1))

    def shrunk(self, by: Any) -> "Bands":
        """Return bands narrowed by ``by`` units at each closed end (below 0: widened).

        Ends that would cross meet in the middle.
        """
        shift = np.asarray(by) * self.unit
        low, high = self.low + shift, self.high - shift
        crossed = low > high
        if np.any(crossed):
            with np.errstate(invalid="ignore"):
                middle = 0.5 * (self.low + self.high)
            low, high = np.where(crossed, middle, low), np.where(crossed, middle, high)
        return Bands(low=low, high=high, unit=self.unit)

    def only(self, rows: Any) -> "Bands":
        """Return the same with only ``rows`` (a mask) looked at."""
        return Bands(
            low=np.where(rows, self.low, -np.inf),
            high=np.where(rows, self.high, np.inf),
            unit=self.unit,
        )

    def put(self, row: int, low: Any, high: Any) -> "Bands":
        """Return the same with another band for one row: numbers, or one a layout."""
        low, high = np.asarray(low, float), np.asarray(high, float)
        shape = np.broadcast_shapes(low.shape, high.shape)
        lows = np.array(np.broadcast_to(self.low, (*shape, len(self.unit))))
        highs = np.array(np.broadcast_to(self.high, (*shape, len(self.unit))))
        lows[..., row], highs[..., row] = low, high
        return Bands(low=lows, high=highs, unit=self.unit)

    def take(self, index: Any) -> "Bands":
        """Return the bands of some layouts."""
        if self.low.ndim == 1:
            return self
        return Bands(low=self.low[index], high=self.high[index], unit=self.unit)

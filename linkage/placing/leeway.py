"""How far each free value of an answer can go while the others follow."""

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.placing.layouts import Layouts
from solvers.bands import Bands
from solvers.levels import climb
from solvers.lm import Rows

Matrix = NDArray[np.float64]

#: A step of a coordinate, as a share of its range: the first, and the last.
STEP, LEAST = 0.1, 0.004
UNIT = 0.01


class Shown(Struct, frozen=True, kw_only=True, eq=False):
    """A problem with its coordinates as last rows."""

    rows: Rows

    @property
    def size(self) -> int:
        """Number of coordinates."""
        return self.rows.size

    def __call__(self, u: Matrix) -> Matrix:
        """Return the rows with the coordinates behind them."""
        return np.hstack([self.rows(u), u])

    def jacobian(self, u: Matrix) -> tuple[Matrix, Matrix]:
        """Return rows and derivatives."""
        y, j = self.rows.jacobian(u)
        own = np.broadcast_to(np.eye(self.size), (len(u), self.size, self.size))
        return np.hstack([y, u]), np.concatenate([j, own], axis=1)


def leeway(problem: Layouts, u: Matrix) -> dict[str, tuple[float, float]]:
    """Return how far each coordinate can go from a met layout, internal units.

    Parameters
    ----------
    u : ndarray, shape (k,)
        In the unit box.
    """
    size = problem.size
    rows, rules = Shown(rows=problem), len(problem.bands.unit)
    sign = np.repeat([1.0, -1.0], size)
    column = rules + np.tile(np.arange(size), 2)
    unit = np.append(problem.bands.unit, np.full(size, UNIT))
    low = np.append(problem.bands.low, np.full(size, -np.inf))
    high = np.append(problem.bands.high, np.full(size, np.inf))

    def at(index: NDArray[np.intp], level: Matrix) -> Bands:
        lows, highs = np.tile(low, (len(index), 1)), np.tile(high, (len(index), 1))
        up = sign[index] > 0.0
        lines = np.arange(len(index))
        lows[lines[up], column[index[up]]] = level[up]
        highs[lines[~up], column[index[~up]]] = -level[~up]
        return Bands(low=lows, high=highs, unit=unit)

    base = Bands(low=low, high=high, unit=unit)

    def reached(index: NDArray[np.intp], y: Matrix) -> Matrix:
        here = sign[index] * y[np.arange(len(index)), column[index]]
        return np.where(base.met(y), here, -np.inf)

    starts = np.tile(u, (2 * size, 1))
    raised = climb(rows, at, reached, starts, step=STEP, least=LEAST, rounds=24)
    ends = problem.at(np.abs(raised.level).reshape(2, size))
    return {
        free.path: (float(ends[1, i]), float(ends[0, i]))
        for i, free in enumerate(problem.frees)
        if np.isfinite(raised.level[[i, size + i]]).all()
    }

"""Inverses of functions that only rise: piecewise straight ones, and any others.

Elementwise over arrays. Nothing here needs a derivative.
"""

from collections.abc import Callable
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

Function = Callable[[NDArray[np.float64]], Any]


class Broken(Struct, frozen=True, eq=False):
    """A line from (0, 0) through points, straight between and beyond them.

    Attributes
    ----------
    x, y : tuple of float
        Both above 0 and rising; at least one point.
    """

    x: tuple[float, ...]
    y: tuple[float, ...]

    def at(self, x: Any) -> Any:
        """Return y at x from 0 up."""
        return _along(self.x, self.y, x)

    def back(self, y: Any) -> Any:
        """Return x at y from 0 up: the inverse of `at`."""
        return _along(self.y, self.x, y)


def _along(x: tuple[float, ...], y: tuple[float, ...], at: Any) -> Any:
    xs, ys = np.array([0.0, *x]), np.array([0.0, *y])
    inner = np.interp(at, xs, ys)
    slope = (ys[-1] - ys[-2]) / (xs[-1] - xs[-2])
    return inner + np.maximum(np.subtract(at, xs[-1]), 0.0) * slope


def rises_to(f: Function, level: Any, low: float, high: float) -> Any:
    """Return where a function that rises comes to ``level``, elementwise.

    Parameters
    ----------
    f : callable
        Arrays in, arrays out, never falling in [low, high].
    level : array_like
    low, high : float

    Returns
    -------
    ndarray
        The least number at which ``f`` is at ``level`` or above; ``high`` where it
        never is (nan counts as "above": something that cannot go on).
    """
    level = np.asarray(level, float)
    under, over = np.full(level.shape, low), np.full(level.shape, high)
    reached = ~(np.asarray(f(under), float) < level)
    over = np.where(reached, under, over)
    while True:
        middle = under + 0.5 * (over - under)
        if np.all((middle <= under) | (middle >= over)):
            return over
        below = np.asarray(f(middle), float) < level
        under = np.where(below, middle, under)
        over = np.where(below, over, middle)


def first_reach(x: Any, y: Any, level: float = 0.0) -> float | None:
    """Return the first x at which straight pieces through (x, y) come up to ``level``.

    Parameters
    ----------
    x, y : array_like, shape (n,)
        ``x`` rising; ``y`` straight between its points.

    Returns
    -------
    float or None
        None where it stays below.
    """
    xs, ys = np.asarray(x, float), np.asarray(y, float) - level
    there = np.flatnonzero(ys >= 0.0)
    if not len(there):
        return None
    k = int(there[0])
    if k == 0:
        return float(xs[0])
    share = ys[k - 1] / (ys[k - 1] - ys[k])
    return float(xs[k - 1] + share * (xs[k] - xs[k - 1]))

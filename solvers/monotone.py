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
        To about 1e-15 of the stretch. ``low`` where it is there from the start;
        ``high`` where it never is (nan counts as "above": something that cannot go on).

    Notes
    -----
    Chandrupatla's method (Advances in Engineering Software 28, 1997): inverse
    quadratic steps where they can be trusted, halves where not.
    """
    level = np.asarray(level, float)

    def over(x: Any) -> Any:
        return np.nan_to_num(np.asarray(f(x), float) - level, nan=_FAR)

    x1, x2 = np.full(level.shape, high), np.full(level.shape, low)
    f1, f2 = over(x1), over(x2)
    done = (f2 >= 0.0) | (f1 <= 0.0)
    x1 = np.where(f2 >= 0.0, x2, x1)
    t = np.full(level.shape, 0.5)
    least = 1e-15 * (high - low)
    while not done.all():
        x = np.where(done, x1, x1 + t * (x2 - x1))
        fx = over(x)
        same = (fx < 0.0) == (f1 < 0.0)
        x3, f3 = np.where(same, x1, x2), np.where(same, f1, f2)
        x2, f2 = np.where(same | done, x2, x1), np.where(same | done, f2, f1)
        x1, f1 = x, np.where(done, f1, fx)
        apart = np.abs(x2 - x1)
        narrow = least + 2.0 * np.finfo(float).eps * np.abs(x1)
        done = done | (f1 == 0.0) | (apart <= narrow)
        t = _step((x1, x2, x3), (f1, f2, f3), done)
        edge = np.minimum(0.5, narrow / np.where(done, 1.0, apart))
        t = np.clip(t, edge, 1.0 - edge)
    return x1


#: What stands for "gone".
_FAR = 1e300


def _step(x: tuple[Any, ...], f: tuple[Any, ...], done: Any) -> Any:
    """Return the next share of the way from x1 to x2."""
    (x1, x2, x3), (f1, f2, f3) = x, f
    with np.errstate(all="ignore"):
        across, up = (x1 - x2) / (x3 - x2), (f1 - f2) / (f3 - f2)
        trusted = (up**2 < across) & ((1.0 - up) ** 2 < 1.0 - across) & ~done
        t = f1 / (f2 - f1) * f3 / (f2 - f3) + (x3 - x1) / (x2 - x1) * f1 / (
            f3 - f1
        ) * f2 / (f3 - f2)
    return np.where(trusted & np.isfinite(t), t, 0.5)


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

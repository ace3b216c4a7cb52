"""The least value of a continuous function of one variable over a stretch.

The function is called with arrays. Where it is a least of several smooth ones it has
kinks: nothing here asks for a derivative.
"""

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

Function = Callable[[NDArray[np.float64]], Any]

#: Points of the first look and of each closer one; valleys looked into; closer looks.
LOOK, ZOOM, VALLEYS, ROUNDS = 65, 17, 3, 14
#: Looking ends where a valley is narrower than this part of the stretch.
NARROW = 1e-9


def lowest(f: Function, low: float, high: float) -> tuple[float, float]:
    """Return where ``f`` is least, and that value; the first place of equal ones.

    It is a search: valleys narrower than a sixty-fourth of the stretch may be missed,
    and a valley that can hardly be the lowest, by how it rises beside, is not looked
    into. nan is passed over; the answer is (low, nan) where there is nothing else.
    """
    x = np.linspace(low, high, LOOK)
    y = _clean(f(x))
    best = (low, np.inf)
    for k in _valleys(y):
        if _depth(y, k) < best[1]:
            best = min(best, _bottom(f, x, y, k), key=lambda at: (at[1], at[0]))
    return best if np.isfinite(best[1]) else (low, np.nan)


def _clean(y: Any) -> NDArray[np.float64]:
    y = np.asarray(y, float)
    return np.where(np.isnan(y), np.inf, y)


def _valleys(y: NDArray[np.float64]) -> list[int]:
    """Return the lowest of the points that are no higher than their neighbours."""
    wide = np.concatenate([[np.inf], y, [np.inf]])
    low = np.flatnonzero((y <= wide[:-2]) & (y <= wide[2:]) & np.isfinite(y))
    order = low[np.argsort(y[low], kind="stable")]
    return [int(k) for k in order[:VALLEYS]]


def _depth(y: NDArray[np.float64], k: int) -> float:
    """Return how low a valley may well go: as far down as it rises beside it."""
    sides = np.concatenate([y[max(k - 1, 0) : k], y[k + 1 : k + 2]])
    return float(y[k] - np.max(sides - y[k], initial=0.0))


def _bottom(
    f: Function, x: NDArray[np.float64], y: NDArray[np.float64], k: int
) -> tuple[float, float]:
    whole = float(x[-1] - x[0])
    for _ in range(ROUNDS):
        left, right = x[max(k - 1, 0)], x[min(k + 1, len(x) - 1)]
        if right - left <= NARROW * whole:
            break
        x = np.unique(np.append(np.linspace(left, right, ZOOM), x[k]))
        y = _clean(f(x))
        k = int(np.argmin(y))
    return float(x[k]), float(y[k])

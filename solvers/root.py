"""First places where a smooth function of one variable falls to zero.

The function is called with arrays and may be nan beyond its first zero (a mechanism
that cannot go on); nothing here takes a nan for an answer.
"""

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

Function = Callable[[NDArray[np.float64]], Any]

#: Points of one look. A dip narrower than about a thousandth of the stretch that
#: touches zero between two points is found by `_dips` if it shows as a low point.
LOOK = 1025
#: Points in search of the bottom of a dip.
ZOOM = 33
#: Points that narrow a zero down: so many evenly, and these parts off a guess.
EVEN = 12
_NEAR = np.concatenate([sign * 10.0 ** -np.arange(2.0, 14.0) for sign in (-1.0, 1.0)])


def first_zero(f: Function, low: float, high: float) -> float | None:
    """Return the first x in (low, high] where ``f`` falls from above 0 to 0 or below.

    Parameters
    ----------
    f : callable
        Arrays in, arrays out; above 0 just after ``low``. A nan after positive
        values counts as "gone": the zero is looked for just before it.
    low, high : float
        The stretch.

    Returns
    -------
    float or None
        Good to about 1e-14 of the stretch for a simple zero; None if there is none.
    """
    x = np.linspace(low, high, LOOK)
    return first_fall(f, x, np.asarray(f(x), float))


def first_fall(
    f: Function, x: NDArray[np.float64], y: NDArray[np.float64], close: float = 0.0
) -> float | None:
    """Return what `first_zero` does, from a look that was taken already.

    Parameters
    ----------
    f : callable
        As there.
    x, y : ndarray
        Rising places, and ``f`` at them; dips are found as finely as they lie.
    close : float
        How near to the zero is near enough; 0: the next number to it.
    """
    gone = ~(y[1:] > 0.0)
    end = int(np.argmax(gone)) + 1 if gone.any() else len(x) - 1
    for k in _dips(y[: end + 1]):
        bottom = _lowest(f, x[k - 1], x[k + 1])
        if not float(f(np.array([bottom]))[0]) > 0.0:
            return _zoom(f, float(x[k - 1]), bottom, close)
    if not gone.any():
        return None
    return _zoom(f, float(x[end - 1]), float(x[end]), close, _crossing(x, y, end))


def _dips(y: NDArray[np.float64]) -> NDArray[np.intp]:
    """Return inner low points that a smooth curve might carry through zero."""
    a, b, c = y[:-2], y[1:-1], y[2:]
    with np.errstate(invalid="ignore"):
        low = (b < a) & (b <= c)
        # A parabola through three points reaches at most this far below the middle.
        reach = (a - b) + (c - b)
        return np.flatnonzero(low & (b <= reach)) + 1


def _lowest(f: Function, low: float, high: float) -> float:
    for _ in range(12):
        x = np.linspace(low, high, ZOOM)
        y = np.asarray(f(x), float)
        y = np.where(np.isnan(y), -np.inf, y)
        k = int(np.argmin(y))
        if y[k] <= 0.0:
            return float(x[k])
        low, high = float(x[max(k - 1, 0)]), float(x[min(k + 1, ZOOM - 1)])
    return 0.5 * (low + high)


def _zoom(
    f: Function, low: float, high: float, close: float, guess: float | None = None
) -> float:
    """Narrow (above 0, not above 0] down to what is close, or to neighbours."""
    guess = 0.5 * (low + high) if guess is None else guess
    while True:
        x = _around(guess, low, high)
        y = np.asarray(f(x), float)
        above = y > 0.0
        above[0] = True
        above[-1] = False
        k = int(np.argmin(above))
        low, high, was = float(x[k - 1]), float(x[k]), high - low
        if high - low <= close or not high - low < 0.5 * was:
            return high
        guess = _crossing(x, y, k)


def _around(guess: float, low: float, high: float) -> NDArray[np.float64]:
    """Return places from low to high: evenly, and the closer the nearer to a guess."""
    near = guess + (high - low) * _NEAR
    return np.sort(
        np.clip(np.concatenate([np.linspace(low, high, EVEN), near]), low, high)
    )


def _crossing(x: NDArray[np.float64], y: NDArray[np.float64], k: int) -> float:
    """Return where samples about ``k`` fall through zero, by a cubic of x in y.

    The middle of their last two where they do not fall smoothly.
    """
    a, b = max(k - 2, 0), min(k + 2, len(x))
    at, height = x[a:b], y[a:b]
    if not (np.diff(height) < 0.0).all():
        return float(0.5 * (x[k - 1] + x[k]))
    gaps = height[:, None] - height + np.eye(len(at))
    weights = np.prod(np.where(np.eye(len(at)) > 0.0, 1.0, -height / gaps), axis=1)
    return float(np.clip(at @ weights, x[k - 1], x[k]))

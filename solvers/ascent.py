"""Levels raised exactly: from layouts near their best to the very best beside them.

Rows and bands are taken as straight about a layout, and the highest level is asked for
within a small box: the nearest point of a polyhedron to one that lies far up. Two more
steps of the kind bring the layout back into its bands. Where that wins nothing the box
is made smaller.
"""

import numpy as np
from numpy.typing import NDArray

from solvers.bands import Bands
from solvers.levels import At, Raised, Reached
from solvers.lm import Rows

Matrix = NDArray[np.float64]

#: Half the box of a step, as a share of the unit box: the first, the last, the most.
FIRST, LAST, MOST = 0.05, 1e-5, 0.25
WIDER, SMALLER = 2.0, 0.35
#: A level is pulled up from so many steps away, and moving costs so little beside it.
FAR, COST = 100.0, 0.01
#: Steps back into the bands.
BACK = 2
#: Units by which a layout is aimed inside its bands: rounding stays in them.
INSIDE = 1e-7


def ascend(
    rows: Rows,
    at: At,
    reached: Reached,
    starts: Matrix,
    *,
    step: float,
    least: float,
    top: float = np.inf,
    rounds: int = 40,
) -> Raised:
    """Raise a level from each start to the best near it.

    Parameters
    ----------
    rows, at, reached
        As for `solvers.levels.climb`; the ends of the bands go straight with the level.
    starts : ndarray, shape (n, k)
        Each must reach a finite level.
    step, least : float
        What counts as a step of the level; less than ``least`` won is nothing won.
    top : float
        No level beyond this is asked for.
    rounds : int
        At most so many steps.

    Returns
    -------
    Raised
    """
    u, y = np.array(starts), rows(starts)
    level = np.minimum(reached(np.arange(len(u)), y), top)
    size = np.full(len(u), FIRST)
    live = np.flatnonzero(np.isfinite(level) & (level < top))
    for _ in range(rounds if u.size else 0):
        if not len(live):
            break
        tried = _tried(rows, at, live, u[live], level[live], size[live], step, top)
        seen = rows(tried)
        new = np.minimum(reached(live, seen), top)
        won = new - level[live]
        better = won > 0.0
        up = live[better]
        u[up], y[up], level[up] = tried[better], seen[better], new[better]
        size[live] *= np.where(won >= least, WIDER, SMALLER)
        size[live] = np.minimum(size[live], MOST)
        live = live[(size[live] > LAST) & (level[live] < top)]
    return Raised(u=u, y=y, level=level)


def _tried(
    rows: Rows,
    at: At,
    live: NDArray[np.intp],
    starts: Matrix,
    level: Matrix,
    size: Matrix,
    step: float,
    top: float,
) -> Matrix:
    """Return layouts after a step up and the steps back into their bands."""
    u, level = starts.copy(), level.copy()
    for turn in range(1 + BACK):
        y, j = rows.jacobian(u)
        here, more = at(live, level), at(live, level + step)
        for i in range(len(live)):
            faces = _faces(here.take(i), more.take(i), y[i], j[i])
            if not np.isfinite(y[i][here.take(i).closed]).all():
                continue
            low = np.maximum(-u[i], -size[i])
            high = np.minimum(1.0 - u[i], size[i])
            room = (top - level[i]) / step
            far = FAR if turn == 0 else 0.0
            move, rise = _highest(faces, low, high, size[i], room, far)
            u[i] = np.clip(u[i] + move, 0.0, 1.0)
            level[i] += step * rise
    return u


def _faces(
    here: Bands, more: Bands, y: Matrix, j: Matrix
) -> tuple[Matrix, Matrix, Matrix]:
    """Return the bands as half spaces: a move + b rise >= c, in units."""
    low, high = np.isfinite(here.low), np.isfinite(here.high)
    unit = here.unit
    a = np.vstack([(j / unit[:, None])[low], -(j / unit[:, None])[high]])
    b = np.concatenate(
        [
            (here.low[low] - more.low[low]) / unit[low],
            (more.high[high] - here.high[high]) / unit[high],
        ]
    )
    c = np.concatenate(
        [
            (here.low[low] - y[low]) / unit[low],
            (y[high] - here.high[high]) / unit[high],
        ]
    )
    return a, b, c + INSIDE


def _highest(
    faces: tuple[Matrix, Matrix, Matrix],
    low: Matrix,
    high: Matrix,
    size: float,
    room: float,
    far: float,
) -> tuple[Matrix, float]:
    """Return the move, and the rise in steps, to the highest level within a box."""
    a, b, c = faces
    count = a.shape[1]
    scale = size / COST
    box = np.eye(count) * scale
    nothing = np.zeros((count, 1))
    g = [np.column_stack([a * scale, b]), np.hstack([box, nothing])]
    g.append(np.hstack([-box, nothing]))
    h = [c - b * far, low, -high]
    if np.isfinite(room):
        g.append(np.append(np.zeros(count), -1.0)[None])
        h.append(np.array([far - room]))
    x = nearest(np.vstack(g), np.concatenate(h))
    if x is None:
        return np.zeros(count), 0.0
    return np.clip(x[:-1] * scale, low, high), float(x[-1] + far)


def nearest(g: Matrix, h: Matrix) -> Matrix | None:
    """Return the point nearest to the origin with ``g x >= h``; None where none is.

    Notes
    -----
    Least distance programming by non-negative least squares (Lawson and Hanson,
    Solving Least Squares Problems, 1974, chapter 23; from memory).
    """
    sizes = np.linalg.norm(g, axis=1)
    solid = sizes > 1e-12
    g, h = g[solid] / sizes[solid, None], h[solid] / sizes[solid]
    e = np.vstack([g.T, h])
    f = np.append(np.zeros(g.shape[1]), 1.0)
    r = e @ _weights(e, f) - f
    if abs(r[-1]) < 1e-14:
        return None
    return np.asarray(-r[:-1] / r[-1])


def _weights(e: Matrix, f: Matrix) -> Matrix:
    """Return w >= 0 with the least ``|e w - f|``."""
    count = e.shape[1]
    w, used = np.zeros(count), np.zeros(count, bool)
    for _ in range(3 * count):
        slope = np.where(used, -np.inf, e.T @ (f - e @ w))
        best = int(np.argmax(slope))
        if slope[best] <= 1e-13:
            break
        used[best] = True
        w = _solved(e, f, w, used)
    return w


def _solved(e: Matrix, f: Matrix, w: Matrix, used: NDArray[np.bool_]) -> Matrix:
    """Return the weights of those in use; those that would fall below 0 drop out."""
    while used.any():
        new = np.zeros(len(w))
        new[used] = np.linalg.lstsq(e[:, used], f, rcond=None)[0]
        if new[used].min() > 0.0:
            return new
        bad = used & (new <= 0.0)
        share = float((w[bad] / np.maximum(w[bad] - new[bad], 1e-300)).min())
        w = w + share * (new - w)
        used &= w > 1e-15
        w = np.where(used, w, 0.0)
    return np.zeros(len(w))

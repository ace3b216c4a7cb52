"""Points spread evenly through the unit box, and the most promising of them.

The points are an additive recurrence on the generalised golden ratio: the same for the
same seed, on every machine, and good at any count.
"""

import numpy as np
from numpy.typing import NDArray

Matrix = NDArray[np.float64]


def scatter(count: int, size: int, seed: int = 0, skip: int = 0) -> Matrix:
    """Return points spread through the unit box.

    Parameters
    ----------
    count, size : int
        How many points, of how many coordinates.
    seed : int
        Shifts all of them; any seed is as good as another.
    skip : int
        Points of the row that are left out before the first.

    Returns
    -------
    ndarray, shape (count, size)
        In [0, 1).

    Notes
    -----
    The step along coordinate i is g**-i, g the positive root of g**(size + 1) = g + 1;
    size 1 gives the golden ratio, whose multiples modulo 1 are the most evenly spread
    there are (Knuth, The Art of Computer Programming, volume 3, section 6.4; from
    memory).
    """
    ratio = 2.0
    for _ in range(64):
        ratio = (1.0 + ratio) ** (1.0 / (size + 1.0))
    steps = ratio ** -np.arange(1.0, size + 1.0)
    shift = np.random.default_rng(seed).random(size) if seed else np.full(size, 0.5)
    turns = np.arange(skip + 1.0, skip + count + 1.0)
    return np.asarray((shift + steps * turns[:, None]) % 1.0)


def promising(points: Matrix, merit: Matrix, count: int) -> NDArray[np.intp]:
    """Return which points to start from: half of them the best, half spread out.

    Parameters
    ----------
    points : ndarray, shape (n, k)
    merit : ndarray, shape (n,)
        Smaller is better; nan or infinite for points that are no use.
    count : int
        At most so many.

    Returns
    -------
    ndarray of int
        Indices, the best first: the best of all, then the best of each of so many
        strips of the box, so that no far corner is forgotten.
    """
    usable = np.flatnonzero(np.isfinite(merit))
    order = usable[np.argsort(merit[usable], kind="stable")]
    if len(order) <= count:
        return order
    best = order[: count - count // 2]
    strips = count // 2 // points.shape[1] + 1
    keys = (points[order] * strips).astype(np.intp)
    spread = [
        order[np.unique(keys[:, i], return_index=True)[1]]
        for i in range(points.shape[1])
    ]
    chosen = np.concatenate([best, *spread, order])
    _, first = np.unique(chosen, return_index=True)
    return chosen[np.sort(first)][:count]

"""Which layouts belong together: those that a path of met layouts joins.

The path is tried in steps: a step towards the other layout, then back into the bands.
A path that is not found is no proof that there is none.
"""

import numpy as np
from numpy.typing import NDArray

from solvers.bands import Bands
from solvers.lm import Rows, meet

Matrix = NDArray[np.float64]

STEPS = 50
#: A step may be so much longer than its share of the straight way.
STRETCH = 4.0
#: Layouts nearer than this are one: a share of the box's diagonal.
SAME = 1e-3
#: Singular values below this share of the largest count as zero.
ZERO = 1e-6


def joined(
    rows: Rows, bands: Bands, a: Matrix, b: Matrix, steps: int = STEPS
) -> NDArray[np.bool_]:
    """Tell for each pair of met layouts whether a path of met layouts was found.

    Parameters
    ----------
    a, b : ndarray, shape (n, k)
    """
    u = np.array(a)
    stride = STRETCH * np.linalg.norm(b - a, axis=1) / steps + 1e-9
    live = np.arange(len(u))
    for left in range(steps, 0, -1):
        to = u[live] + (b[live] - u[live]) / left
        landed = meet(rows, bands.take(live), to, steps=6, aim=0.02)
        moved = np.linalg.norm(landed.u - u[live], axis=1)
        good = landed.met & (moved <= stride[live])
        live = live[good]
        u[live] = landed.u[good]
        if not len(live):
            break
    out = np.zeros(len(u), bool)
    out[live] = np.linalg.norm(b[live] - u[live], axis=1) <= stride[live]
    return out


def distinct(u: Matrix, same: float = SAME) -> NDArray[np.intp]:
    """Return the indices of layouts that differ, the first of each kind."""
    chosen: list[int] = []
    limit = same * np.sqrt(u.shape[1])
    for index in range(len(u)):
        gaps = np.linalg.norm(u[chosen] - u[index], axis=1)
        if not len(chosen) or gaps.min() > limit:
            chosen.append(index)
    return np.array(chosen, dtype=np.intp)


def families(rows: Rows, bands: Bands, u: Matrix) -> NDArray[np.intp]:
    """Sort met layouts into families.

    Parameters
    ----------
    u : ndarray, shape (n, k)
        Layouts that meet their bands.

    Returns
    -------
    ndarray of int, shape (n,)
        The number of each one's family, from 0 in order of appearance.
    """
    label = np.full(len(u), -1)
    count = 0
    while (label < 0).any():
        rest = np.flatnonzero(label < 0)
        head, others = rest[0], rest[1:]
        ways = joined(rows, bands, u[others], np.repeat(u[[head]], len(others), 0))
        label[head] = count
        label[others[ways]] = count
        count += 1
    return _merged(rows, bands, u, label)


def _merged(
    rows: Rows, bands: Bands, u: Matrix, label: NDArray[np.intp]
) -> NDArray[np.intp]:
    """Try again between the nearest members of families that look apart."""
    for one in range(label.max(initial=-1) + 1):
        for other in range(one + 1, label.max(initial=-1) + 1):
            mine, theirs = np.flatnonzero(label == one), np.flatnonzero(label == other)
            if not len(mine) or not len(theirs):
                continue
            pairs = _nearest(u, mine, theirs)
            a, b = u[pairs[:, 0]], u[pairs[:, 1]]
            if joined(rows, bands, np.vstack([a, b]), np.vstack([b, a])).any():
                label[theirs] = one
    _, first, back = np.unique(label, return_index=True, return_inverse=True)
    order = np.argsort(np.argsort(first))
    return np.asarray(order[back], dtype=np.intp)


def _nearest(
    u: Matrix, mine: NDArray[np.intp], theirs: NDArray[np.intp], count: int = 4
) -> NDArray[np.intp]:
    gaps = np.linalg.norm(u[mine][:, None] - u[theirs][None], axis=2)
    order = np.argsort(gaps, axis=None, kind="stable")[:count]
    i, j = np.unravel_index(order, gaps.shape)
    return np.stack([mine[i], theirs[j]], axis=1)


def free_directions(j: Matrix) -> int:
    """Return in how many directions a layout may move and keep its rows.

    Parameters
    ----------
    j : ndarray, shape (m, k)
        Derivatives of the rows that are held, columns scaled by range, rows by what
        counts as one.

    Returns
    -------
    int
        k less the rank.
    """
    if not len(j) or not j.shape[1]:
        return int(j.shape[1])
    sizes = np.linalg.svd(j, compute_uv=False)
    return int(j.shape[1] - np.count_nonzero(sizes > ZERO * sizes[0]))

"""What stands in the way of a box for a label: ink, other boxes, what others name.

Many places are judged at once, each by its centre, for one box. All lengths are mm on
paper; it knows no label and no words.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from linkage.sheets.box import Box


def ink_under(
    ink: NDArray[np.complex128],
    centre: NDArray[np.complex128],
    width: float,
    height: float,
) -> NDArray[np.float64]:
    """Count ink under a box at each centre, by sums over squares of a millimetre."""
    reach = complex(width, height) / 2
    if not len(ink) or not len(centre):
        return np.zeros(len(centre))
    (x0, z0), (x1, z1), (x, z) = map(_square, (centre - reach, centre + reach, ink))
    left, bottom = int(x0.min()), int(z0.min())
    columns, rows = int(x1.max()) - left + 2, int(z1.max()) - bottom + 2
    near = (
        (x >= left) & (x < left + columns - 1) & (z >= bottom) & (z < bottom + rows - 1)
    )
    cells = (x[near] - left + 1) * rows + z[near] - bottom + 1
    dots = np.bincount(cells, minlength=columns * rows)
    sums = dots.reshape(columns, rows).cumsum(axis=0).cumsum(axis=1)
    # Every square that the box touches.
    x0, z0, x1, z1 = x0 - left, z0 - bottom, x1 - left + 1, z1 - bottom + 1
    count = sums[x1, z1] - sums[x0, z1] - sums[x1, z0] + sums[x0, z0]
    return np.asarray(count, np.float64)


def _square(
    points: NDArray[np.complex128],
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return the square of a millimetre of the paper in which each point lies."""
    return np.floor(points.real).astype(np.intp), np.floor(points.imag).astype(np.intp)


def crossings(
    at: complex, centre: NDArray[np.complex128], taken: Sequence[Box]
) -> NDArray[np.float64]:
    """Count the labels that a leader to each centre runs through."""
    parts = np.linspace(0.05, 0.95, 12)
    points = at + parts * (centre[:, None] - at)
    x, z = points.real.copy(), points.imag.copy()
    hits = np.zeros(len(centre))
    for box in taken:
        inside = (x > box.left) & (x < box.right) & (z > box.bottom) & (z < box.top)
        hits += inside.any(axis=1)
    return hits


def misleading(
    at: complex,
    rivals: NDArray[np.complex128],
    centre: NDArray[np.complex128],
    width: float,
    height: float,
) -> NDArray[np.bool_]:
    """Return where a box stands nearer to what another of its kind names."""
    gaps = np.array([_reach(centre - z, width, height) for z in (at, *rivals)])
    return np.asarray((gaps[1:] < gaps[0]).any(axis=0))


def _reach(
    off: NDArray[np.complex128], width: float, height: float
) -> NDArray[np.float64]:
    """Return how far boxes are from a point, by how far their centres are off it."""
    x = np.maximum(np.abs(off.real) - width / 2, 0.0)
    return np.asarray(np.hypot(x, np.maximum(np.abs(off.imag) - height / 2, 0.0)))

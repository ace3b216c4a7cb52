"""Drawn strokes as points a millimetre apart: what a label should keep clear of."""

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from export.shapes import Arc, Circle, Contour, Line, Path, Shape, Text, Window


def ink_points(shapes: Iterable[Shape], step: float = 1.0) -> NDArray[np.complex128]:
    """Return points about ``step`` apart on all strokes of ``shapes``."""
    found = [_stroke(shape, step) for shape in shapes]
    return np.concatenate([np.zeros(0, dtype=complex), *found])


def _stroke(shape: Shape, step: float) -> NDArray[np.complex128]:
    match shape:
        case Line(a=a, b=b):
            return along([(a, b)], step)
        case Path(runs=runs, closed=closed):
            whole = [(*run, run[0]) if closed else run for run in runs]
            pairs = [pair for run in whole for pair in pairwise(run)]
            return along(pairs, step)
        case Circle(centre=c, radius=r):
            return _round(c, r, 0.0, math.tau, step)
        case Arc(centre=c, radius=r, start=start, sweep=sweep):
            return _round(c, r, start, sweep, step)
        case Contour(rows=rows):
            return np.asarray(rows[:, 0] + 1j * rows[:, 1], dtype=np.complex128)
        case Text() | Window():
            return np.zeros(0, dtype=np.complex128)


def _round(
    centre: complex, radius: float, start: float, sweep: float, step: float
) -> NDArray[np.complex128]:
    count = 2 + int(abs(radius * sweep) / step)
    turn = np.exp(1j * np.linspace(start, start + sweep, count))
    return np.asarray(centre + radius * turn, dtype=np.complex128)


def along(
    lines: Sequence[tuple[complex, complex]], step: float = 1.0
) -> NDArray[np.complex128]:
    """Return points on straight lines, both ends of each in."""
    a, b = np.array(lines, dtype=np.complex128).reshape(-1, 2).T
    count = 2 + (np.abs(b - a) / step).astype(np.intp)
    first = np.repeat(np.cumsum(count) - count, count)
    number = np.arange(len(first)) - first
    return np.repeat(a, count) + number * np.repeat((b - a) / (count - 1), count)

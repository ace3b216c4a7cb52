"""A shape in two forms: its true outlines, and convex hulls with derivatives.

*Outlines* are contours of lines and arcs, for one layout in plain numbers. *Hulls* are
what a search of many layouts looks at: they leave out round inside corners of an arm,
and an outline with hollows is cut into triangles, its arcs into chords a little within.
"""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from solvers.plane.apart import anticlockwise
from solvers.plane.hulls import Hull
from solvers.plane.measure import area
from solvers.plane.pieces import Contour, Pieces, pieces_of, turns

#: mm; how far a chord may lie from its arc where a hollow outline is cut up.
CHORD = 0.1
#: A chain that runs there and back encloses less than this part of its size squared.
THIN = 1e-9


def hulls_of(contour: Contour) -> list[Hull]:
    """Return convex hulls that together are a fixed outline."""
    contour = anticlockwise(contour)
    size = float(np.ptp(contour[:, 0]) + np.ptp(contour[:, 1]))
    if abs(area(contour)) <= THIN * size * size:
        points = _chords(contour)
        half = points[: len(points) // 2 + 1]
        return [_corners(pair) for pair in pairwise(half)]
    if np.all(contour[:, 2] >= 0.0) and np.all(turns(contour) >= -1e-9):
        return [_bulged(contour)]
    return [_corners(corners) for corners in triangles(_chords(contour))]


def _corners(points: tuple[complex, ...]) -> Hull:
    return Hull(points, (0.0,) * len(points))


def _bulged(contour: Contour) -> Hull:
    """Return a convex outline: its corners, and between them the discs of its arcs."""
    pieces = pieces_of(contour)
    centres: list[complex] = []
    radii: list[float] = []
    spans: list[tuple[float, float] | None] = []
    for k in range(len(pieces)):
        centres.append(complex(pieces.start[k]))
        radii.append(0.0)
        spans.append(None)
        if not pieces.straight[k]:
            centres.append(complex(pieces.centre[k]))
            radii.append(float(pieces.radius[k]))
            spans.append((float(pieces.begin[k]), float(pieces.sweep[k])))
    return Hull(tuple(centres), tuple(radii), tuple(spans))


def _chords(contour: Contour) -> NDArray[np.complex128]:
    """Return points round an outline, its arcs cut into chords."""
    pieces = pieces_of(contour)
    return np.concatenate([[*_cut(pieces, k)] for k in range(len(pieces))])


def _cut(pieces: Pieces, k: int) -> Iterator[complex]:
    yield complex(pieces.start[k])
    if pieces.straight[k]:
        return
    step = 2.0 * np.arccos(max(1.0 - CHORD / pieces.radius[k], 0.0))
    count = int(np.ceil(abs(pieces.sweep[k]) / step))
    for n in range(1, count):
        turn = pieces.begin[k] + pieces.sweep[k] * n / count
        yield complex(pieces.centre[k] + pieces.radius[k] * np.exp(1j * turn))


def triangles(points: NDArray[np.complex128]) -> list[tuple[complex, ...]]:
    """Cut a simple polygon, anticlockwise, into triangles: an ear at a time."""
    left = [complex(p) for p in points]
    found = []
    while len(left) > 3:
        k = next((k for k in range(len(left)) if _is_ear(left, k)), 0)
        found.append((left[k - 1], left[k], left[(k + 1) % len(left)]))
        del left[k]
    return [*found, tuple(left)]


def _is_ear(points: list[complex], k: int) -> bool:
    """Return whether a corner can be cut off: it turns left and holds no other."""
    a, b, c = points[k - 1], points[k], points[(k + 1) % len(points)]
    if _turn(a, b, c) <= 0.0:
        return False
    return not any(
        min(_turn(a, b, p), _turn(b, c, p), _turn(c, a, p)) >= 0.0
        for p in points
        if p not in (a, b, c)
    )


def _turn(a: complex, b: complex, c: complex) -> float:
    return ((b - a).conjugate() * (c - b)).imag


def outline_points(contour: Contour) -> tuple[complex, ...]:
    """Return points round an outline, for a drawing."""
    return tuple(complex(p) for p in _chords(anticlockwise(contour)))

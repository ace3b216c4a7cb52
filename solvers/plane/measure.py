"""Area, length, extents and moments of a contour, exact from its arcs."""

import numpy as np

from solvers.plane.pieces import (
    Contour,
    Floats,
    Pieces,
    Points,
    pieces_of,
    points_of,
)


def area(contour: Contour) -> float:
    """Enclosed area, positive where the contour runs anticlockwise."""
    p = points_of(contour)
    chords = 0.5 * np.sum(_cross(p, np.roll(p, -1)))
    return float(chords + np.sum(_segment_areas(contour)))


def perimeter(contour: Contour) -> float:
    """Length along the contour."""
    return float(np.sum(pieces_of(contour).length))


def centroid(contour: Contour) -> complex:
    """Centre of the enclosed area."""
    p = points_of(contour)
    origin = complex(np.mean(p))
    a, b = p - origin, np.roll(p, -1) - origin
    moment = np.sum(_cross(a, b) * (a + b)) / 6.0 + _segment_moment(contour, origin)
    return complex(origin + moment / area(contour))


def polar_moment(contour: Contour, about: complex) -> float:
    """Second moment of the enclosed area about a point, mm4: of r squared.

    A quarter of the contour integral of r squared times ``x dz - z dx``, whole on each
    straight and each arc; positive where the contour runs anticlockwise.
    """
    pieces = pieces_of(contour)
    a, b = pieces.start - about, pieces.end - about
    along = np.real(np.conj(a) * b)
    straight = _cross(a, b) * (np.abs(a) ** 2 + along + np.abs(b) ** 2) / 3.0
    arcs = pieces.take(contour[:, 2] != 0.0)
    total = np.sum(straight[pieces.straight]) + np.sum(_arc_turns(arcs, about))
    return float(0.25 * total)


def _arc_turns(arcs: Pieces, about: complex) -> Floats:
    """Contour integral of r squared times ``x dz - z dx`` on each arc."""
    c, r = np.conj(arcs.centre - about), arcs.radius
    first = np.exp(1j * arcs.begin)
    last = np.exp(1j * (arcs.begin + arcs.sweep))
    size = np.abs(c) ** 2
    once = r * np.imag(c * (last - first))
    twice = (
        0.5 * r**2 * (size * arcs.sweep + 0.5 * np.imag(c**2 * (last**2 - first**2)))
    )
    whole = (size + r**2) * r**2 * arcs.sweep
    return np.asarray(whole + (size + 3.0 * r**2) * once + 2.0 * twice)


def extents(contour: Contour) -> tuple[complex, complex]:
    """Lower left and upper right corner of the box that just holds the contour."""
    reach = np.concatenate([points_of(contour), _crests(contour)])
    low = complex(reach.real.min(), reach.imag.min())
    return low, complex(reach.real.max(), reach.imag.max())


def _cross(a: Points, b: Points) -> Floats:
    return np.imag(np.conj(a) * b)


def _lens(sweep: Floats) -> Floats:
    """Sweep less its sine; by series where the two would cancel."""
    square = sweep * sweep
    series = sweep * square / 6.0 * (1.0 - square / 20.0 * (1.0 - square / 42.0))
    return np.where(np.abs(sweep) < 0.05, series, sweep - np.sin(sweep))


def _segment_areas(contour: Contour) -> Floats:
    """Area between each arc and its chord, signed."""
    pieces = pieces_of(contour)
    radius = np.where(pieces.straight, 0.0, pieces.radius)
    return 0.5 * radius**2 * _lens(pieces.sweep)


def _segment_moment(contour: Contour, origin: complex) -> complex:
    """First moment of the arcs' segments about ``origin``."""
    arcs = pieces_of(contour).take(contour[:, 2] != 0.0)
    areas = 0.5 * arcs.radius**2 * _lens(arcs.sweep)
    outward = (arcs.middle - arcs.centre) / arcs.radius
    lever = arcs.radius**3 * np.sin(arcs.sweep / 2.0) ** 3 / 1.5
    return complex(np.sum(areas * (arcs.centre - origin) + lever * outward))


def _crests(contour: Contour) -> Points:
    """Points where an arc runs level or upright: the extremes between its ends."""
    arcs = pieces_of(contour).take(contour[:, 2] != 0.0)
    quarter = np.arange(4) * np.pi / 2.0
    ahead = np.sign(arcs.sweep)[:, None] * (quarter - arcs.begin[:, None])
    hit = np.mod(ahead, 2.0 * np.pi) < np.abs(arcs.sweep)[:, None]
    crest = arcs.centre[:, None] + arcs.radius[:, None] * np.array([1, 1j, -1, -1j])
    return np.asarray(crest[hit])

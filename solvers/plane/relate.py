"""How outlines lie to each other: inside, how far apart, crossing, touching.

All of it from the lines and arcs themselves. Two pieces meet where their least
distance is no more than the tolerance; a touch and a crossing are the same fault.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from solvers.plane.pieces import (
    Contour,
    Floats,
    Pieces,
    Points,
    pieces_of,
)

Pairs = NDArray[np.intp]
#: Part of the shorter piece next to a joint that is not told from the joint itself.
JOINT = 0.01


def inside(contour: Contour, points: ArrayLike) -> NDArray[np.bool_]:
    """Which points lie within the contour (on it: either), shape of ``points``.

    The winding number of the chords, plus the lens between each arc and its chord; both
    settle a point on a chord the same way.
    """
    p = np.asarray(points, dtype=complex)[..., None]
    pieces = pieces_of(contour)
    a, b = pieces.start, pieces.end
    side = np.imag(np.conj(b - a) * (p - a))
    up = (a.imag <= p.imag) & (p.imag < b.imag) & (side > 0.0)
    down = (b.imag <= p.imag) & (p.imag < a.imag) & (side < 0.0)
    rises = (b.imag > a.imag) | ((b.imag == a.imag) & (b.real < a.real))
    right = (side < 0.0) | ((side == 0.0) & rises)
    centre = np.where(pieces.straight, 0.0, pieces.centre)
    held = ~pieces.straight & (np.abs(p - centre) < pieces.radius)
    bow = np.where(pieces.sweep > 0.0, right, ~right) & held
    winding = np.sum(up, axis=-1) - np.sum(down, axis=-1)
    return np.asarray(winding + np.sum(bow * np.sign(pieces.sweep), axis=-1) != 0)


def gap(a: Contour, b: Contour) -> float:
    """Least distance between two contours; 0 where they cross."""
    return float(np.min(piece_gaps(pieces_of(a), pieces_of(b))))


def point_gaps(p: Points, pieces: Pieces) -> Floats:
    """Distance of points from pieces, broadcast: ``p[:, None]`` for all with all."""
    ends = np.minimum(np.abs(p - pieces.start), np.abs(p - pieces.end))
    run = pieces.end - pieces.start
    size = np.abs(run)
    local = (p - pieces.start) * np.conj(run) / np.where(size > 0.0, size, 1.0)
    beside = pieces.straight & (local.real >= 0.0) & (local.real <= size)
    line = np.where(beside, np.abs(local.imag), ends)
    centre = np.where(pieces.straight, 0.0, pieces.centre)
    radius = np.where(pieces.straight, 0.0, pieces.radius)
    facing = ~pieces.straight & within(pieces, p - centre)
    return np.where(facing, np.abs(np.abs(p - centre) - radius), line)


def piece_gaps(p: Pieces, q: Pieces) -> Floats:
    """Least distance of every piece of ``p`` to every piece of ``q``, (len p, len q)."""
    ends = [point_gaps(end[:, None], q) for end in (p.start, p.end)]
    ends += [point_gaps(end[:, None], p).T for end in (q.start, q.end)]
    best = np.minimum.reduce(ends)
    i, j = (index.ravel() for index in np.indices(best.shape))
    one, two = p.take(i), q.take(j)
    crossed = np.any(~np.isnan(crossings(one, two)), axis=0)
    near = np.where(crossed, 0.0, np.minimum(_square_on(one, two), best.ravel()))
    return near.reshape(best.shape)


def crossings(p: Pieces, q: Pieces) -> Points:
    """Points where piece i of ``p`` crosses piece i of ``q``, shape (2, n), else nan."""
    found = np.full((2, len(p)), complex(np.nan, np.nan))
    for mask, cross in (
        (p.straight & q.straight, _line_line),
        (p.straight & ~q.straight, _line_arc),
        (~p.straight & q.straight, lambda a, b: _line_arc(b, a)),
        (~p.straight & ~q.straight, _arc_arc),
    ):
        if np.any(mask):
            found[:, mask] = cross(p.take(mask), q.take(mask))
    return found


def self_meetings(contour: Contour, tolerance: float = 1e-9) -> Pairs:
    """Pairs of pieces of one contour that meet where no joint is, shape (k, 2)."""
    pieces = pieces_of(contour)
    n = len(pieces)
    i, j = np.triu_indices(n, 1)
    apart = (j - i > 1) & (j - i < n - 1)
    near = piece_gaps(pieces, pieces)[i, j] <= tolerance
    bad = np.where(apart, near, False)
    bad[~apart] = _neighbours_meet(pieces, i[~apart], j[~apart], tolerance)
    return np.column_stack([i[bad], j[bad]])


def _neighbours_meet(
    pieces: Pieces, i: Pairs, j: Pairs, tolerance: float
) -> NDArray[np.bool_]:
    """Whether adjoining pieces meet again away from the joint they share."""
    p, q = pieces.take(i), pieces.take(j)
    near = JOINT * np.minimum(p.length, q.length)
    corners = _shared_ends(p, q)
    probes = np.vstack([crossings(p, q), _far_touch(p, q, tolerance)])
    away = np.abs(probes[:, None] - corners[None])
    clear = np.where(np.isnan(corners[None]), np.inf, away) > near
    return np.asarray(np.any(np.all(clear, axis=1) & ~np.isnan(probes), axis=0))


def _shared_ends(p: Pieces, q: Pieces) -> Points:
    """Ends that piece i of both share, shape (2, n); nan where they share none."""
    nothing = complex(np.nan, np.nan)
    ahead = np.where(p.end == q.start, p.end, nothing)
    behind = np.where(p.start == q.end, p.start, nothing)
    return np.vstack([ahead, behind])


def _far_touch(p: Pieces, q: Pieces, tolerance: float) -> Points:
    """Ends and middles of one piece that lie on the other, shape (6, n), else nan."""
    found = [
        _keep(probe, point_gaps(probe, other) <= tolerance)
        for own, other in ((p, q), (q, p))
        for probe in (own.start, own.middle, own.end)
    ]
    return np.vstack(found)


def within(arcs: Pieces, direction: Points) -> NDArray[np.bool_]:
    """Whether a direction from the centre points at the arc itself; broadcasts."""
    ahead = np.sign(arcs.sweep) * (np.angle(direction) - arcs.begin)
    return np.asarray(np.mod(ahead, 2.0 * np.pi) <= np.abs(arcs.sweep))


def _keep(points: Points, *tests: NDArray[np.bool_]) -> Points:
    return np.where(np.logical_and.reduce(tests), points, complex(np.nan, np.nan))


def _line_line(p: Pieces, q: Pieces) -> Points:
    u, v, w = p.end - p.start, q.end - q.start, q.start - p.start
    det = np.imag(np.conj(u) * v)
    safe = np.where(det == 0.0, 1.0, det)
    s = np.imag(np.conj(w) * v) / safe
    t = np.imag(np.conj(w) * u) / safe
    held = (s >= 0.0) & (s <= 1.0) & (t >= 0.0) & (t <= 1.0)
    point = _keep(p.start + s * u, det != 0.0, held)
    return np.vstack([point, np.full_like(point, complex(np.nan, np.nan))])


def _line_arc(line: Pieces, arc: Pieces) -> Points:
    run = line.end - line.start
    size = np.abs(run)
    unit = run / np.where(size > 0.0, size, 1.0)
    local = (arc.centre - line.start) * np.conj(unit)
    square = (arc.radius - local.imag) * (arc.radius + local.imag)
    half = np.sqrt(np.maximum(square, 0.0))
    found = []
    for along in (local.real - half, local.real + half):
        point = line.start + along * unit
        held = (along >= 0.0) & (along <= size) & (square >= 0.0)
        found.append(_keep(point, held, within(arc, point - arc.centre)))
    return np.vstack(found)


def _arc_arc(p: Pieces, q: Pieces) -> Points:
    way = q.centre - p.centre
    d = np.abs(way)
    apart = d > 1e-12 * (p.radius + q.radius)
    unit = way / np.where(apart, d, 1.0)
    safe = np.where(apart, d, 1.0)
    # (r1 - r2)(r1 + r2), not r1^2 - r2^2: keeps the digits of nearly equal radii.
    along = 0.5 * (d + (p.radius - q.radius) * (p.radius + q.radius) / safe)
    square = (p.radius - along) * (p.radius + along)
    rise = np.sqrt(np.maximum(square, 0.0))
    found = []
    for side in (1j, -1j):
        point = p.centre + unit * (along + side * rise)
        held = within(p, point - p.centre) & within(q, point - q.centre)
        found.append(_keep(point, apart, square >= 0.0, held))
    return np.vstack(found)


def _square_on(p: Pieces, q: Pieces) -> Floats:
    """Least distance square to both pieces, inf where there is no such place."""
    best = np.full(len(p), np.inf)
    for mask, near in (
        (p.straight & ~q.straight, _line_to_arc),
        (~p.straight & q.straight, lambda a, b: _line_to_arc(b, a)),
        (~p.straight & ~q.straight, _arc_to_arc),
    ):
        if np.any(mask):
            best[mask] = near(p.take(mask), q.take(mask))
    return best


def _line_to_arc(line: Pieces, arc: Pieces) -> Floats:
    run = line.end - line.start
    size = np.abs(run)
    unit = run / np.where(size > 0.0, size, 1.0)
    local = (arc.centre - line.start) * np.conj(unit)
    foot = line.start + local.real * unit - arc.centre
    held = (local.real >= 0.0) & (local.real <= size) & within(arc, foot)
    clear = np.abs(local.imag) - arc.radius
    return np.where(held & (clear >= 0.0), clear, np.inf)


def _arc_to_arc(p: Pieces, q: Pieces) -> Floats:
    way = q.centre - p.centre
    d = np.abs(way)
    outer = d - p.radius - q.radius
    inner = np.abs(p.radius - q.radius) - d
    # Side by side they face each other; one within the other both look the same way,
    # from the wider circle's centre towards the narrower one's.
    look = np.where(p.radius > q.radius, way, -way)
    facing = within(p, way) & within(q, -way)
    nested = within(p, look) & within(q, look)
    best = np.where((outer >= 0.0) & facing, outer, np.inf)
    return np.where((inner >= 0.0) & nested & (d > 0.0), inner, best)

"""Tapered bars welded into one: the circles round which their common outline runs.

A bar is two discs and the metal between their outer tangents. The outline is that of
all bars together after a wheel of the fillet's radius has been rolled round it, so
every inside corner becomes an arc of that radius. Found by rolling: the wheel's centre
runs on the bars grown by its radius; where two grown bars cross, the wheel rests on
both, and there is a fillet. Gaps closed all round are filled.
"""

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike, NDArray

from solvers.plane.belt import belt, belt_sweeps
from solvers.plane.pieces import (
    Contour,
    Floats,
    OutlineError,
    Pieces,
    Points,
    pieces_of,
)
from solvers.plane.relate import crossings, inside

#: Fillets tried when one leaves a piece too short to cut well, of the one asked for.
EASED = (1.0, 0.97, 0.94, 0.9, 1.04, 0.86, 0.8)

#: By how much a disc grows that the outline would touch for less than the least.
SWELL = 1.04
#: A crossing nearer to the end of a tangent than this part of the radius is the graze.
GRAZE = 1e-3


class Bar(Struct, frozen=True, kw_only=True):
    """Two discs and the metal between: centres as complex numbers, radii."""

    a: complex
    b: complex
    ra: float
    rb: float


def weld_bars(bars: list[Bar], fillet: float, *, least: float = 0.0) -> Contour:
    """Outline of all bars together, its inside corners rounded by ``fillet``.

    Parameters
    ----------
    bars : list of Bar
        Each must overlap the rest.
    fillet : float
        Radius wanted; eased by up to a fifth where it would leave a scrap of a piece.
    least : float
        Shortest piece wanted. A fillet that is touched for less is left out, a disc is
        made a little larger; either way metal is added, never taken.

    Raises
    ------
    OutlineError
        The bars hang in separate parts, or no such outline exists.
    """
    for ease in EASED:
        c, r, s = _without_scraps(*_circles(bars, fillet * ease), least)
        grazed = (np.abs(belt_sweeps(c, r, s)) * r < least) & (s > 0.0)
        outline = belt(c, r, s)
        if not np.all(inside(outline, [[bar.a, bar.b] for bar in bars])):
            raise OutlineError("the bars hang in separate parts")
        if np.min(pieces_of(outline).length) >= least:
            return outline
        bars = [_swelled(bar, c[grazed]) for bar in bars]
    raise OutlineError(
        f"every outline tried leaves a piece under {least:g} long: move a hole or "
        "change a radius a little"
    )


def depth(bar: Bar, points: ArrayLike) -> Floats:
    """How deep points lie in a bar: distance to its outline, negative outside."""
    p = np.asarray(points, dtype=complex)
    way = bar.b - bar.a
    size = abs(way)
    if size <= abs(bar.ra - bar.rb):
        middle, radius = (bar.a, bar.ra) if bar.ra >= bar.rb else (bar.b, bar.rb)
        return np.asarray(radius - np.abs(p - middle))
    k = (bar.ra - bar.rb) / size
    level = np.sqrt((1.0 - k) * (1.0 + k))
    local = (p - bar.a) * np.conj(way) / size
    across = np.abs(local.imag)
    along = level * local.real - k * across
    side = bar.ra - (level * across + k * local.real)
    near = np.where(along < 0.0, bar.ra - np.abs(p - bar.a), side)
    return np.where(along > level * size, bar.rb - np.abs(p - bar.b), near)


def _without_scraps(
    c: Points, r: Floats, s: Floats, least: float
) -> tuple[Points, Floats, Floats]:
    """Leave out fillets that the outline hardly touches: a little metal more."""
    while True:
        touched = np.where(s < 0.0, np.abs(belt_sweeps(c, r, s)) * r, np.inf)
        if np.min(touched) >= least:
            return c, r, s
        rows = np.arange(len(c)) != np.argmin(touched)
        c, r, s = c[rows], r[rows], s[rows]


def _swelled(bar: Bar, grazed: Points) -> Bar:
    """Make discs that the outline hardly touches a little larger."""
    ra = bar.ra * (SWELL if bar.a in grazed else 1.0)
    rb = bar.rb * (SWELL if bar.b in grazed else 1.0)
    return Bar(a=bar.a, b=bar.b, ra=ra, rb=rb)


def _circles(bars: list[Bar], fillet: float) -> tuple[Points, Floats, Floats]:
    """Centres, radii and sides of the circles that the outline rounds, in order."""
    size = max(abs(bar.a - bars[0].a) + bar.ra + bar.rb for bar in bars)
    tolerance = 1e-9 * (size + fillet)
    grown = [
        Bar(a=bar.a, b=bar.b, ra=bar.ra + fillet, rb=bar.rb + fillet) for bar in bars
    ]
    edges = _outer_edges(grown, tolerance)
    order = _trace(edges, _leftmost(edges), tolerance)
    return _as_circles(edges.take(order), fillet)


def _outer_edges(grown: list[Bar], tolerance: float) -> Pieces:
    """Those stretches of all circles and tangents that lie in no bar."""
    whole = _all_edges(grown)
    cut = _split(whole, tolerance)
    outside = np.ones(len(cut), dtype=bool)
    for bar in grown:
        outside &= depth(bar, cut.middle) <= tolerance
    return cut.take(outside & (cut.length > tolerance))


def _all_edges(grown: list[Bar]) -> Pieces:
    """Every distinct circle, as two halves, and both tangents of every bar."""
    discs = dict.fromkeys(
        disc for bar in grown for disc in ((bar.a, bar.ra), (bar.b, bar.rb))
    )
    centre = np.repeat(np.array([c for c, _ in discs]), 2)
    radius = np.repeat(np.array([r for _, r in discs]), 2)
    begin = np.tile([0.0, np.pi], len(discs))
    halves = _arcs(centre, radius, begin, np.full(len(centre), np.pi))
    tangents = [side for bar in grown for side in _tangents(bar)]
    lines = _lines(np.array(tangents).reshape(-1, 2))
    return _joined(halves, lines)


def _tangents(bar: Bar) -> list[tuple[complex, complex]]:
    """Both outer tangents, each with the bar on its left; none where one disc holds."""
    sides = []
    for a, ra, b, rb in (
        (bar.a, bar.ra, bar.b, bar.rb),
        (bar.b, bar.rb, bar.a, bar.ra),
    ):
        size = abs(b - a)
        if size > abs(ra - rb):
            k = (rb - ra) / size
            unit = (b - a) / size * (np.sqrt((1.0 - k) * (1.0 + k)) - 1j * k)
            sides.append((a - 1j * ra * unit, b - 1j * rb * unit))
    return sides


def _split(whole: Pieces, tolerance: float) -> Pieces:
    """Cut every edge where another crosses it, and circles where a tangent leaves."""
    parts = []
    for row in range(len(whole)):
        edge, others = whole.take([row]), whole.take(np.arange(len(whole)) != row)
        parts.append(_cut_at(edge, _stops(edge, others, tolerance)))
    return _joined(*parts)


def _stops(edge: Pieces, others: Pieces, tolerance: float) -> Points:
    """Points at which one edge is cut by the others.

    A tangent grazes its own circle in two points that are rounding only; its end is
    the point meant.
    """
    own = edge.take(np.zeros(len(others), dtype=int))
    met = crossings(own, others)
    line, arcs = (own, others) if edge.straight[0] else (others, own)
    ends = np.vstack([line.start, line.end])
    mixed = line.straight & ~arcs.straight
    grazes = mixed & (np.abs(np.abs(ends - arcs.centre) - arcs.radius) <= tolerance)
    stray = np.zeros(met.shape, dtype=bool)
    for point, graze in zip(ends, grazes, strict=True):
        stray |= graze & (np.abs(met - point) < GRAZE * arcs.radius)
    points = met[~stray & ~np.isnan(met)]
    return points if edge.straight[0] else np.concatenate([points, ends[grazes]])


def _cut_at(edge: Pieces, points: Points) -> Pieces:
    """One edge as stretches between the points on it."""
    if edge.straight[0]:
        run = edge.end[0] - edge.start[0]
        share = np.real((points - edge.start[0]) / run)
        stops = edge.start[0] + run * np.unique([0.0, *share, 1.0])
        return _lines(np.column_stack([stops[:-1], stops[1:]]))
    ahead = np.mod(np.angle(points - edge.centre[0]) - edge.begin[0], 2.0 * np.pi)
    stop = np.unique([0.0, *ahead[ahead <= np.pi], np.pi])
    same = np.ones(len(stop) - 1)
    begin = edge.begin[0] + stop[:-1]
    return _arcs(edge.centre[0] * same, edge.radius[0] * same, begin, np.diff(stop))


def _leftmost(edges: Pieces) -> int:
    """Edge that holds the point farthest left: certainly on the outside."""
    return int(np.argmin(np.minimum(edges.start.real, edges.end.real)))


def _trace(edges: Pieces, first: int, tolerance: float) -> list[int]:
    """Follow the edges round from ``first`` until it comes back."""
    order = [first]
    while True:
        gaps = np.abs(edges.start - edges.end[order[-1]])
        onward = np.flatnonzero(gaps <= 100.0 * tolerance)
        if first in onward and len(order) > 1:
            return order
        fresh = [int(row) for row in onward if row not in order]
        if not fresh:
            raise OutlineError("the outline cannot be followed round its bars")
        order.append(fresh[0])


def _as_circles(edges: Pieces, fillet: float) -> tuple[Points, Floats, Floats]:
    """The rolling wheel's way as circles: arcs are bosses, inside corners fillets."""
    leave = _headings(edges, end=True)
    arrive = np.roll(_headings(edges, end=False), -1)
    corner = np.angle(arrive * np.conj(leave)) < -1e-7
    rows: list[tuple[complex, float, float]] = []
    for k in range(len(edges)):
        if not edges.straight[k]:
            boss = (complex(edges.centre[k]), float(edges.radius[k]) - fillet, 1.0)
            rows += [] if rows and rows[-1] == boss else [boss]
        if corner[k]:
            rows.append((complex(edges.end[k]), fillet, -1.0))
    if len(rows) > 1 and rows[0] == rows[-1]:
        rows.pop()
    centre, radius, side = zip(*rows, strict=True)
    return np.array(centre), np.array(radius), np.array(side)


def _headings(edges: Pieces, *, end: bool) -> Points:
    """Direction of travel at one end of each edge."""
    turn = edges.begin + np.where(end, edges.sweep, 0.0) + 0.5 * np.pi
    return np.where(edges.straight, edges.end - edges.start, np.exp(1j * turn))


def _lines(ends: NDArray[np.complex128]) -> Pieces:
    n = len(ends)
    return Pieces(
        start=ends[:, 0],
        end=ends[:, 1],
        centre=np.full(n, complex(np.nan, np.nan)),
        radius=np.full(n, np.inf),
        begin=np.zeros(n),
        sweep=np.zeros(n),
    )


def _arcs(centre: Points, radius: Floats, begin: Floats, sweep: Floats) -> Pieces:
    return Pieces(
        start=centre + radius * np.exp(1j * begin),
        end=centre + radius * np.exp(1j * (begin + sweep)),
        centre=centre,
        radius=radius,
        begin=begin,
        sweep=sweep,
    )


def _joined(*parts: Pieces) -> Pieces:
    return Pieces(
        **{
            name: np.concatenate([getattr(part, name) for part in parts])
            for name in ("start", "end", "centre", "radius", "begin", "sweep")
        }
    )

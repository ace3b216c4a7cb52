"""Signed gaps between convex things, with exact derivatives, over many layouts.

A *hull* is the convex hull of discs, given anticlockwise round it; a disc of no radius
is a corner. For two convex things and a unit vector n, what lies between them along n is
the least of n.x over one less the greatest over the other. The greatest of that over all
n is the gap: the distance where they are apart, and where they overlap minus the least
move that parts them. It is found among few n: from disc to disc, and square to the
edges.

By the envelope theorem the derivative of the gap is that of what lies between along the
very n that was found. Conventions as in `solvers.jet`.
"""

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from msgspec import Struct

from solvers.jet import Jet, Num, added, lift, value, where
from solvers.planar import dot


class Hull(Struct, frozen=True, eq=False):
    """Discs in order round a convex thing, anticlockwise.

    Attributes
    ----------
    centres : tuple of number, array or jet
        Complex; broadcast over layouts x positions.
    radii : tuple of number, array or jet
    spans : tuple of pair of float or None
        For a disc of which only an arc is meant: the direction in which it begins and
        how far it turns, rad. The ends of the arc are corners of their own.
    """

    centres: tuple[Num, ...]
    radii: tuple[Num, ...]
    spans: tuple[tuple[float, float] | None, ...] = ()


class HalfPlane(Struct, frozen=True, eq=False):
    """All that lies on one side of a line; ``out`` is a unit vector away from it."""

    at: Num
    out: complex


def gap(a: Hull, b: Hull | HalfPlane) -> Jet:
    """Return the signed gap between two convex things."""
    if isinstance(b, HalfPlane):
        return _over(a, b)
    one, two = _Discs(a), _Discs(b)
    with np.errstate(divide="ignore", invalid="ignore"):
        ways, edges = _ways(one, two)
        sizes = -two.reach(-ways) - one.reach(ways)
        sizes = np.where(np.isnan(sizes), -np.inf, sizes)
    best = np.argmax(sizes, axis=0)
    size = np.take_along_axis(sizes, best[None], 0)[0]
    return Jet.later(size, lambda: _parts(one, two, ways, edges, best))


def bound(a: Hull, b: Hull) -> Any:
    """Return a number that the gap is never below: that of circles round both."""
    (at, size), (there, wide) = _Discs(a).circle(), _Discs(b).circle()
    return np.abs(there - at) - size - wide


def least(gaps: Sequence[Jet]) -> Jet:
    """Return the least of some gaps, with the derivatives of the one that it is."""
    best = gaps[0]
    for other in gaps[1:]:
        best = lift(where(other.v < best.v, other, best))
    return best


def _over(a: Hull, plane: HalfPlane) -> Jet:
    """Return how far a hull is above the edge of a half plane."""
    heights = []
    for centre, radius in zip(a.centres, a.radii, strict=True):
        way = lift(centre - plane.at)
        high = _along(way, plane.out)
        heights.append(lift(high - radius))
    return least(heights)


def _along(z: Jet, way: complex) -> Jet:
    """Return the part of a vector along a plain unit vector."""

    def part(p: Any) -> Any:
        return None if p is None else dot(p, way)

    return Jet.later(dot(z.v, way), lambda: tuple(map(part, z.parts)))


class _Discs:
    """A hull in plain numbers, its jets beside them."""

    def __init__(self, hull: Hull) -> None:
        self.jets = [lift(centre) for centre in hull.centres]
        self.sizes = [lift(radius) for radius in hull.radii]
        self.at = [np.asarray(jet.v, complex) for jet in self.jets]
        self.r = [np.asarray(value(radius), float) for radius in hull.radii]
        self.spans = hull.spans or (None,) * len(self.at)

    def __len__(self) -> int:
        return len(self.at)

    def reach(self, n: Any) -> Any:
        """Return the greatest of n.x over the hull."""
        far: Any = -np.inf
        for disc in range(len(self)):
            far = np.maximum(far, self.along(disc, n))
        return far

    def along(self, disc: int, n: Any) -> Any:
        """Return the greatest of n.x over one disc, or over the arc that is meant."""
        far = dot(self.at[disc], n) + self.r[disc]
        span = self.spans[disc]
        if span is None:
            return far
        ahead = np.mod(np.angle(n) - span[0], 2.0 * np.pi)
        return np.where(ahead <= span[1], far, -np.inf)

    def reaching(self, n: Any) -> Any:
        """Return the disc that has the greatest of n.x."""
        each = (self.along(disc, n) for disc in range(len(self)))
        return np.argmax(np.stack(np.broadcast_arrays(*each)), axis=0)

    def circle(self) -> tuple[Any, Any]:
        """Return middle and radius of a circle that holds the hull."""
        middle = sum(self.at) / len(self)
        each = (np.abs(at - middle) + r for at, r in zip(self.at, self.r, strict=True))
        return middle, np.max(np.stack(np.broadcast_arrays(*each)), axis=0)

    def edges(self) -> Iterator[tuple[Any, int, int]]:
        """Return the outward direction of each edge, and the discs that it joins."""
        count = len(self)
        for i in range(count if count > 1 else 0):
            k = (i + 1) % count
            run = self.at[k] - self.at[i]
            size = np.abs(run)
            lean = (self.r[i] - self.r[k]) / size
            yield run / size * (lean - 1j * np.sqrt(1.0 - lean * lean)), i, k

    def touch(self, disc: int, n: Any) -> Any:
        """Return where a disc is touched from the direction ``n``."""
        return self.at[disc] + self.r[disc] * n


Edge = tuple[str, int, int]


def _ways(one: _Discs, two: _Discs) -> tuple[Any, list[Edge]]:
    """Return directions from one hull to the other, and what edge each is square to."""
    found: list[tuple[Any, Edge]] = []
    for i in range(len(one)):
        for j in range(len(two)):
            way = two.at[j] - one.at[i]
            found.append((way / np.abs(way), ("", i, j)))
    found += [(n, ("a", i, k)) for n, i, k in one.edges()]
    found += [(-n, ("b", i, k)) for n, i, k in two.edges()]
    ways = np.stack(np.broadcast_arrays(*(n for n, _ in found)))
    return ways, [edge for _, edge in found]


@np.errstate(divide="ignore", invalid="ignore")  # of discs that do not count here
def _parts(
    one: _Discs, two: _Discs, ways: Any, edges: list[Edge], best: Any
) -> tuple[Any, Any, Any]:
    """Return the derivatives of the gap: of both discs' points, along the way found."""
    first: Any = None
    rest: Any = None
    for k in np.unique(best):
        mask, edge = best == k, edges[k]
        n = np.where(np.isnan(ways[k]), 0.0, ways[k])
        for side, sign, own in ((one, -1.0, "a"), (two, 1.0, "b")):
            for disc, weight in _weights(one, two, n, edge, own):
                held = np.where(mask, weight, 0.0)
                t, g, _h = side.jets[disc].parts
                _, dr, _h = side.sizes[disc].parts
                first = added(first, None if t is None else sign * held * dot(t, n))
                rest = added(rest, None if g is None else sign * held * dot(g, n))
                rest = added(rest, None if dr is None else -held * dr)
    return first, rest, None


def _weights(
    one: _Discs, two: _Discs, n: Any, edge: Edge, side: str
) -> Iterator[tuple[int, Any]]:
    """Return the discs that the nearest point of one side hangs on, and how much."""
    kind, i, k = edge
    own, other = (one, two) if side == "a" else (two, one)
    out = n if side == "a" else -n
    if kind != side:
        disc = own.reaching(out)
        for each in np.unique(disc):
            yield int(each), disc == each
        return
    disc = other.reaching(-out)
    points = np.stack(
        np.broadcast_arrays(*(other.touch(j, -out) for j in range(len(other))))
    )
    at = np.take_along_axis(points, np.broadcast_to(disc, points.shape[1:])[None], 0)[0]
    start, end = own.touch(i, out), own.touch(k, out)
    share = np.clip(dot(at - start, end - start) / np.abs(end - start) ** 2, 0.0, 1.0)
    yield i, 1.0 - share
    yield k, share

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
        found = [_between(one, two, n, k) for n, k in _ways(one, two)]
        sizes = np.stack(np.broadcast_arrays(*(size for size, _, _ in found)))
        best = np.nanargmax(np.where(np.isnan(sizes), -np.inf, sizes), axis=0)
    size = np.take_along_axis(sizes, best[None], 0)[0]
    return Jet.later(size, lambda: _parts(one, two, found, best))


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

    def reach(self, n: Any) -> tuple[Any, Any]:
        """Return the greatest of n.x over the hull, and the disc that has it."""
        each = []
        for at, r, span in zip(self.at, self.r, self.spans, strict=True):
            far = dot(at, n) + r
            if span is not None:
                ahead = np.mod(np.angle(n) - span[0], 2.0 * np.pi)
                far = np.where(ahead <= span[1], far, -np.inf)
            each.append(far)
        sizes = np.stack(np.broadcast_arrays(*each))
        best = np.argmax(sizes, axis=0)
        return np.take_along_axis(sizes, best[None], 0)[0], best

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


def _ways(one: _Discs, two: _Discs) -> Iterator[tuple[Any, Edge]]:
    """Return directions from one hull to the other, and what edge they are square to."""
    for i in range(len(one)):
        for j in range(len(two)):
            way = two.at[j] - one.at[i]
            yield way / np.abs(way), ("", i, j)
    for n, i, k in one.edges():
        yield n, ("a", i, k)
    for n, i, k in two.edges():
        yield -n, ("b", i, k)


def _between(one: _Discs, two: _Discs, n: Any, edge: Edge) -> tuple[Any, Any, Edge]:
    far, _ = one.reach(n)
    near, _ = two.reach(-n)
    return -near - far, n, edge


def _parts(
    one: _Discs, two: _Discs, found: list[tuple[Any, Any, Edge]], best: Any
) -> tuple[Any, Any, Any]:
    """Return the derivatives of the gap: of both discs' points, along the way found."""
    first: Any = None
    rest: Any = None
    for k, (_, n, edge) in enumerate(found):
        mask = best == k
        if not mask.any():
            continue
        n = np.where(np.isnan(n), 0.0, n)
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
        _, disc = own.reach(out)
        for each in np.unique(disc):
            yield int(each), disc == each
        return
    _, disc = other.reach(-out)
    points = np.stack(
        np.broadcast_arrays(*(other.touch(j, -out) for j in range(len(other))))
    )
    at = np.take_along_axis(points, np.broadcast_to(disc, points.shape[1:])[None], 0)[0]
    start, end = own.touch(i, out), own.touch(k, out)
    share = np.clip(dot(at - start, end - start) / np.abs(end - start) ** 2, 0.0, 1.0)
    yield i, 1.0 - share
    yield k, share

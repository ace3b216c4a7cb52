"""The nearest points of two sets of lines and arcs that lie apart.

Whatever two points are compared, one on each piece, their distance is never below the
least; and the least is always among those taken here: an end and the point of the other
piece nearest to it, or the points of both on the line through an arc's centre.
"""

from collections.abc import Iterator
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from solvers.plane.pieces import Floats, Pieces, Points
from solvers.plane.relate import crossings, within


class Nearest(Struct, frozen=True, kw_only=True, eq=False):
    """Where two sets of pieces come nearest; arrays of one shape.

    Attributes
    ----------
    gap : ndarray
        Distance from ``a`` to ``b``.
    a, b : ndarray, complex
        The points on one and on the other.
    piece_a, piece_b : ndarray of int
        The pieces that they lie on.
    """

    gap: Floats
    a: Points
    b: Points
    piece_a: NDArray[np.intp]
    piece_b: NDArray[np.intp]


def nearest(a: Pieces, b: Pieces) -> Nearest:
    """Return where two sets of pieces come nearest; crossings are not looked at.

    Parameters
    ----------
    a, b : Pieces
        Arrays of shape (..., n) and (..., m); what stands before broadcasts.
    """
    one, two = paired(a, b)
    best: tuple[Floats, Points, Points] | None = None
    with np.errstate(divide="ignore", invalid="ignore"):
        for p, q in _candidates(one, two):
            p, q = np.broadcast_arrays(p, q)
            far = np.abs(q - p)
            if best is None:
                best = far, p, q
                continue
            nearer = far < best[0]
            best = tuple(  # type: ignore[assignment]
                np.where(nearer, new, old)
                for new, old in zip((far, p, q), best, strict=True)
            )
    if best is None:
        raise TypeError("there is nothing to compare")
    return _least(*best)


def _least(far: Floats, p: Points, q: Points) -> Nearest:
    """Return the nearest of all pairs of pieces, (..., n, m) to (...)."""
    count = far.shape[-1]
    k = np.argmin(far.reshape(*far.shape[:-2], -1), axis=-1)

    def taken(x: Any) -> Any:
        flat = x.reshape(*x.shape[:-2], -1)
        return np.take_along_axis(flat, k[..., None], -1)[..., 0]

    return Nearest(
        gap=taken(far),
        a=taken(p),
        b=taken(q),
        piece_a=k // count,
        piece_b=k % count,
    )


def paired(a: Pieces, b: Pieces) -> tuple[Pieces, Pieces]:
    """Set every piece of one against every piece of the other: (..., n, m)."""
    return a.take((..., slice(None), None)), b.take((..., None, slice(None)))


def _candidates(one: Pieces, two: Pieces) -> Iterator[tuple[Points, Points]]:
    """Return points of both, pair by pair; nan where a piece has no centre."""
    for end in (one.start, one.end):
        yield end, closest(end, two)
    for end in (two.start, two.end):
        yield closest(end, one), end
    facing = closest(two.centre, one)
    yield facing, closest(facing, two)
    facing = closest(one.centre, two)
    yield closest(facing, one), facing


def closest(p: Points, pieces: Pieces) -> Points:
    """Return the point of each piece that is nearest to ``p``; broadcasts."""
    run = pieces.end - pieces.start
    size = np.abs(run)
    share = (
        np.real((p - pieces.start) * np.conj(run)) / np.where(size > 0, size, 1) ** 2
    )
    on_line = pieces.start + np.clip(share, 0.0, 1.0) * run
    way = p - pieces.centre
    on_arc = pieces.centre + pieces.radius * way / np.abs(way)
    first = np.abs(p - pieces.start) <= np.abs(p - pieces.end)
    end = np.where(first, pieces.start, pieces.end)
    arc = np.where(within(pieces, way) & (way != 0.0), on_arc, end)
    return np.where(pieces.straight, on_line, arc)


def meet(a: Pieces, b: Pieces) -> NDArray[np.bool_]:
    """Return whether any piece of one meets one of the other, shape (...)."""
    one, two = paired(a, b)
    shape = np.broadcast_shapes(one.start.shape, two.start.shape)
    p, q = (
        type(x)(
            **{
                name: np.broadcast_to(getattr(x, name), shape).reshape(-1)
                for name in x.__struct_fields__
            }
        )
        for x in (one, two)
    )
    found = ~np.isnan(crossings(p, q)).all(axis=0)
    return np.asarray(found.reshape(*shape[:-2], -1).any(axis=-1))

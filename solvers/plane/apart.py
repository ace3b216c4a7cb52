"""How far apart two outlines are, signed: below 0 where they overlap.

Apart, the gap is the least distance. Overlapping, it is minus the least straight move
that parts them and leaves them touching square at one place; where they would hold each
other in two places at once, minus the least of the level and upright moves that part
them. The gap is continuous through the touch.

A thing without inside, such as a line, is an outline that runs there and back.
"""

from collections.abc import Iterator
from typing import Any

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import ArrayLike, NDArray

from solvers.plane.measure import area, extents
from solvers.plane.nearest import Nearest, closest, meet, nearest, paired
from solvers.plane.pieces import (
    Contour,
    Floats,
    Pieces,
    Points,
    contour_of,
    directions,
    pieces_of,
    points_of,
)
from solvers.plane.relate import inside, within

#: A move is carried on by this part of the outlines' size before a touch is looked for.
CLEAR = 1e-9
#: Two directions are one where their cosine is off one by less.
SAME = 1e-9

#: A touch is one where the points lie no farther apart, as a part of the size.
TOUCH = 1e-12


def doubled(points: ArrayLike, bulges: ArrayLike = 0.0) -> Contour:
    """Return an open chain of n points as an outline that runs there and back.

    Parameters
    ----------
    points : array_like, complex, shape (n,)
    bulges : array_like, shape (n - 1,) or scalar
        Of each piece to the next point.
    """
    ahead = np.asarray(points, complex)
    bulge = np.broadcast_to(np.asarray(bulges, float), len(ahead) - 1)
    there_and_back = np.concatenate([ahead, ahead[-2:0:-1]])
    return contour_of(there_and_back, np.concatenate([bulge, -bulge[::-1]]))


def anticlockwise(contour: Contour) -> Contour:
    """Return the outline running anticlockwise."""
    if area(contour) >= 0.0:
        return contour
    points = points_of(contour)[::-1]
    return contour_of(points, -np.roll(contour[::-1, 2], -1))


class Motion(Struct, frozen=True, kw_only=True, eq=False):
    """Many places of a rigid thing: ``about`` is carried to ``to``, and it is turned.

    Attributes
    ----------
    turn : ndarray, complex, shape (p,)
        exp(i angle) of each place.
    about : complex
    to : ndarray, complex, shape (p,), or None
        None where the point stays.
    """

    turn: Points
    about: complex = 0j
    to: Points | None = None

    def carry(self, points: Points) -> Points:
        """Return where points go, shape (p, n)."""
        goal = self.about if self.to is None else np.asarray(self.to)[..., None]
        return np.asarray(goal + (points - self.about) * self.turn[..., None])

    def back(self, point: complex) -> Points:
        """Return which point is carried to ``point``, shape (p,)."""
        goal = self.about if self.to is None else self.to
        return np.asarray(self.about + (point - goal) * np.conj(self.turn))

    def at(self, places: Any) -> "Motion":
        """Return some places of it."""
        to = None if self.to is None else np.asarray(self.to)[places]
        return Motion(turn=np.asarray(self.turn)[places], about=self.about, to=to)

    def onward(self, move: Points) -> "Motion":
        """Return the same with each place moved on."""
        goal = self.about if self.to is None else self.to
        return Motion(turn=self.turn, about=self.about, to=np.asarray(goal + move))


#: A thing that stays where it is.
STILL = Motion(turn=np.array(1.0 + 0j))


def carried(contour: Contour, motion: Motion) -> Pieces:
    """Return the pieces of an outline at many places, shape (p, n)."""
    rest = pieces_of(contour)
    spin = np.asarray(motion.turn)[..., None]
    shape = np.broadcast_shapes(spin.shape, rest.start.shape)
    return Pieces(
        start=motion.carry(rest.start),
        end=motion.carry(rest.end),
        centre=motion.carry(rest.centre),
        radius=np.broadcast_to(rest.radius, shape),
        begin=rest.begin + np.angle(spin),
        sweep=np.broadcast_to(rest.sweep, shape),
    )


def apart(moving: Contour, fixed: Contour, motion: Motion = STILL) -> Nearest:
    """Return the gap between two outlines, one of them at many places.

    Parameters
    ----------
    moving, fixed : ndarray, shape (n, 3), (m, 3)
        Neither crosses itself.
    motion : Motion
        Of the first.

    Returns
    -------
    Nearest
        Arrays of shape (p,); where the outlines overlap, the points that touch after
        the move that parts them, as they are before it.
    """
    moving, fixed = anticlockwise(moving), anticlockwise(fixed)
    found = nearest(carried(moving, motion), pieces_of(fixed))
    met = overlapping(moving, fixed, motion)
    if not met.any():
        return found
    if met.ndim == 0:
        return parting(moving, fixed, motion)
    return _with(found, met, parting(moving, fixed, motion.at(met)))


def overlapping(
    moving: Contour, fixed: Contour, motion: Motion = STILL
) -> NDArray[np.bool_]:
    """Return where two outlines overlap or touch, shape (p,)."""
    pieces, still = carried(moving, motion), pieces_of(fixed)
    within_it = inside(fixed, pieces.start[..., 0])
    holds_it = inside(moving, motion.back(complex(still.start[0])))
    return np.asarray(meet(pieces, still) | within_it | holds_it)


def parting(a: Contour, b: Contour, motion: Motion = STILL) -> Nearest:
    """Return the least moves of ``a`` that part two overlapping outlines.

    Both run anticlockwise. The gap is minus the length of the move, from ``a`` to
    ``b``.
    """
    p, q, way, piece_a, piece_b = _moves(a, b, motion)
    size = np.where(np.isfinite(way), np.abs(q - p), np.inf)
    order = np.argsort(size, axis=-1, kind="stable")
    onward = CLEAR * float(np.ptp(a[:, :2]) + np.ptp(b[:, :2]))
    chosen, left = order[..., 0], np.ones(order.shape[:-1], bool)
    for rank in range(order.shape[-1]):
        chosen = np.where(left, order[..., rank], chosen)
        move = _picked(q - p + onward * way, chosen)
        left = left & overlapping(a, b, motion.onward(move))
        if not left.any():
            break
    return Nearest(
        gap=-_picked(size, chosen),
        a=_picked(p, chosen),
        b=_picked(q, chosen),
        piece_a=piece_a[chosen],
        piece_b=piece_b[chosen],
    )


def _picked(x: Any, chosen: NDArray[np.intp]) -> Any:
    return np.take_along_axis(x, chosen[..., None], -1)[..., 0]


def _with(found: Nearest, met: NDArray[np.bool_], parted: Nearest) -> Nearest:
    """Return the same with the places that overlap replaced."""
    changed = {}
    for name in found.__struct_fields__:
        column = np.array(getattr(found, name))
        column[met] = getattr(parted, name)
        changed[name] = column
    return replace(found, **changed)


# ------------------------------------------- places that can touch when moved apart


def _moves(a: Contour, b: Contour, motion: Motion) -> Any:
    """Return moves after which two outlines touch square, shape (p, c) each.

    Where it goes from and to, the way it goes (nan for a move that is none), and of
    which pieces; those of shape (c,).
    """
    one, two = _Skin(a, motion), _Skin(b, STILL)
    with np.errstate(divide="ignore", invalid="ignore"):
        found = [*_corner_moves(one, two), *(_bowed(one, two, s) for s in (1.0, -1.0))]
    shape = np.broadcast_shapes(*(way.shape for _, _, way in found))
    i, j = (index.ravel() for index in np.indices(shape[-2:]))
    flat = [
        [np.broadcast_to(x, shape).reshape(*shape[:-2], -1) for x in each]
        for each in zip(*found, strict=True)
    ]
    start, end, way = _outright(one, a, b, motion)
    last = ([start], [end], [way])
    p, q, n = (np.concatenate(x + y, -1) for x, y in zip(flat, last, strict=True))
    none = np.zeros(4, np.intp)
    count = len(found)
    return (
        p,
        q,
        n,
        np.append(np.tile(i, count), none),
        np.append(np.tile(j, count), none),
    )


class _Skin:
    """An outline's corners and pieces, with what looks outward at each."""

    def __init__(self, contour: Contour, motion: Motion) -> None:
        self.pieces = carried(contour, motion)
        first, last = directions(contour)
        spin = np.asarray(motion.turn)[..., None]
        arrive, leave = -1j * np.roll(last, 1), -1j * first
        turn = np.angle(leave * np.conj(arrive))
        self.arrive = arrive * spin
        self.turn = np.where(np.abs(turn) > np.pi - SAME, np.pi, turn)
        self.side = np.where(pieces_of(contour).sweep < 0.0, -1.0, 1.0)

    def looks(self, way: Points, at: Any) -> NDArray[np.bool_]:
        """Return whether a corner can be touched from ``way``; ``at`` sets the axes."""
        rel = np.angle(way * np.conj(self.arrive[at]))
        slack = np.sqrt(SAME)
        return np.asarray((rel >= -slack) & (rel <= self.turn[at[1:]] + slack))


#: How the arrays of one outline, and of the other, are set against each other.
FIRST, SECOND = (..., slice(None), None), (..., None, slice(None))

Move = tuple[Points, Points, Points]


def _corner_moves(one: _Skin, two: _Skin) -> Iterator[Move]:
    p, q = paired(one.pieces, two.pieces)
    way = _unit(q.start - p.start)
    good = one.looks(-way, FIRST) & two.looks(way, SECOND)
    yield _kept(p.start, q.start, way, good)
    foot = closest(p.start, q)
    out = _outward(q, foot, two.side)
    good = _along(foot - p.start, out) & one.looks(-out, FIRST)
    yield _kept(p.start, foot, out, good)
    foot = closest(q.start, p)
    out = _outward(p, foot, one.side[:, None])
    good = _along(q.start - foot, -out) & two.looks(-out, SECOND)
    yield _kept(foot, q.start, -out, good)


def _bowed(one: _Skin, two: _Skin, sign: float) -> Move:
    """Return moves along the line square to two pieces, one of them an arc."""
    p, q = paired(one.pieces, two.pieces)
    way = sign * _unit(q.centre - p.centre)
    way = np.where(p.straight, -_outward(p, p.start, 1.0), way)
    way = np.where(q.straight & ~p.straight, _outward(q, q.start, 1.0), way)
    from_arc = p.centre - one.side[:, None] * p.radius * way
    to_arc = q.centre + two.side * q.radius * way
    start = np.where(p.straight, closest(to_arc, p), from_arc)
    end = np.where(q.straight, closest(from_arc, q), to_arc)
    held = (p.straight | within(p, start - p.centre)) & (
        q.straight | within(q, end - q.centre)
    )
    bowed = ~(p.straight & q.straight)
    return _kept(start, end, way, held & bowed & _along(end - start, way))


def _outright(one: _Skin, a: Contour, b: Contour, motion: Motion) -> Move:
    """Return the level and upright moves that part two outlines whatever they are."""
    low_b, high_b = extents(b)
    reach = [_reach(a, motion, way) for way in (1, 1j, -1, -1j)]
    far = np.stack(
        [
            high_b.real + reach[2],
            high_b.imag + reach[3],
            reach[0] - low_b.real,
            reach[1] - low_b.imag,
        ],
        axis=-1,
    )
    way = np.broadcast_to(np.array([1, 1j, -1, -1j]), far.shape)
    start = np.broadcast_to(one.pieces.start[..., :1], far.shape)
    return start, start + far * way, way


def _reach(contour: Contour, motion: Motion, way: complex) -> Floats:
    """Return how far an outline reaches along a unit vector, no less, at each place."""
    pieces = carried(contour, motion)
    centre = np.where(pieces.straight, pieces.start, pieces.centre)
    radius = np.where(pieces.straight, 0.0, pieces.radius)
    ends = np.real(pieces.start * np.conj(way))
    each = np.maximum(ends, np.real(centre * np.conj(way)) + radius)
    return np.asarray(np.max(each, axis=-1))


def _outward(pieces: Pieces, at: Points, side: Any) -> Points:
    line = -1j * _unit(pieces.end - pieces.start)
    arc = side * _unit(at - pieces.centre)
    return np.where(pieces.straight, line, arc)


def _along(move: Points, way: Points) -> NDArray[np.bool_]:
    """Return whether a move goes its way, or is none."""
    size = np.abs(move)
    none = size <= TOUCH * np.nanmax(size, initial=1.0)
    return np.asarray((np.real(move * np.conj(way)) >= size * (1.0 - SAME)) | none)


def _unit(z: Points) -> Points:
    return np.asarray(z / np.abs(z))


def _kept(p: Points, q: Points, way: Points, good: NDArray[np.bool_]) -> Move:
    """Return moves, those that are no good with a way of nan."""
    return p, q, np.where(good, way, complex(np.nan, np.nan))

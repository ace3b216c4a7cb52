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
    Pieces,
    Points,
    contour_of,
    directions,
    moved,
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

Moves = tuple[Points, Points, Points, NDArray[np.intp], NDArray[np.intp]]


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

    def at(self, place: tuple[Any, ...]) -> "Motion":
        """Return one place of it."""
        to = None if self.to is None else np.asarray(self.to)[place]
        return Motion(turn=np.asarray(self.turn)[place], about=self.about, to=to)


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
    pieces, still = carried(moving, motion), pieces_of(fixed)
    found = nearest(pieces, still)
    for k in np.argwhere(_overlap(moving, fixed, pieces, still, motion)):
        one = tuple(k)
        here = contour_of(motion.at(one).carry(points_of(moving)), moving[:, 2])
        found = _with(found, one, parting(here, fixed))
    return found


def parting(a: Contour, b: Contour) -> Nearest:
    """Return the least move of ``a`` that parts two overlapping outlines.

    Both run anticlockwise. The gap is minus its length; it goes from ``a`` to ``b``.
    """
    p, q, way, i, j = (np.concatenate(each) for each in zip(*_moves(a, b), strict=True))
    size = np.abs(q - p)
    still, onward = pieces_of(b), CLEAR * float(np.ptp(a[:, :2]) + np.ptp(b[:, :2]))
    for k in np.argsort(size, kind="stable"):
        there = moved(a, shift=complex(q[k] - p[k] + onward * way[k]))
        if not _overlap(there, b, pieces_of(there), still, STILL):
            return Nearest(gap=-size[k], a=p[k], b=q[k], piece_a=i[k], piece_b=j[k])
    raise ArithmeticError("no move parts the outlines")


def _overlap(
    moving: Contour, fixed: Contour, pieces: Pieces, still: Pieces, motion: Motion
) -> NDArray[np.bool_]:
    """Return where the two share a point."""
    within_it = inside(fixed, pieces.start[..., 0])
    back = motion.back(complex(still.start[0]))
    return np.asarray(meet(pieces, still) | within_it | inside(moving, back))


def _with(found: Nearest, at: tuple[Any, ...], one: Nearest) -> Nearest:
    """Return the same with one place of it replaced."""
    changed = {}
    for name in found.__struct_fields__:
        column = np.array(getattr(found, name))
        column[at] = getattr(one, name)
        changed[name] = column
    return replace(found, **changed)


# ------------------------------------------- places that can touch when moved apart


def _moves(a: Contour, b: Contour) -> Iterator[Moves]:
    """Return moves after which two outlines touch square: from, to, way, pieces."""
    one, two = _Skin(a), _Skin(b)
    with np.errstate(divide="ignore", invalid="ignore"):
        yield from _corner_moves(one, two)
        for sign in (1.0, -1.0):
            yield _bowed(one, two, sign)
    yield _outright(a, b)


class _Skin:
    """An outline's corners and pieces, with what looks outward at each."""

    def __init__(self, contour: Contour) -> None:
        self.pieces = pieces_of(contour)
        first, last = directions(contour)
        self.arrive, self.leave = -1j * np.roll(last, 1), -1j * first
        turn = np.angle(self.leave * np.conj(self.arrive))
        self.turn = np.where(np.abs(turn) > np.pi - SAME, np.pi, turn)
        self.side = np.where(self.pieces.sweep < 0.0, -1.0, 1.0)

    def looks(self, way: Points, axis: int) -> NDArray[np.bool_]:
        """Return whether a corner can be touched from ``way``; corners along axis."""
        shape = [1, 1]
        shape[axis] = -1
        arrive, turn = self.arrive.reshape(shape), self.turn.reshape(shape)
        rel = np.angle(way * np.conj(arrive))
        slack = np.sqrt(SAME)
        return np.asarray((rel >= -slack) & (rel <= turn + slack))


def _corner_moves(one: _Skin, two: _Skin) -> Iterator[Moves]:
    p, q = paired(one.pieces, two.pieces)
    ends = np.broadcast_arrays(p.start, q.start)
    way = _unit(ends[1] - ends[0])
    yield _kept(ends[0], ends[1], way, one.looks(-way, 0) & two.looks(way, 1))
    foot = closest(p.start, q)
    out = _outward(q, foot, two.side)
    yield _kept(p.start, foot, out, _along(foot - p.start, out) & one.looks(-out, 0))
    foot = closest(q.start, p)
    out = _outward(p, foot, one.side[:, None])
    square = _along(q.start - foot, -out) & two.looks(-out, 1)
    yield _kept(foot, q.start, -out, square)


def _bowed(one: _Skin, two: _Skin, sign: float) -> Moves:
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


def _outright(a: Contour, b: Contour) -> Moves:
    """Return the level and upright moves that part two outlines whatever they are."""
    (low_a, high_a), (low_b, high_b) = extents(a), extents(b)
    far = np.array(
        [
            high_b.real - low_a.real,
            high_b.imag - low_a.imag,
            high_a.real - low_b.real,
            high_a.imag - low_b.imag,
        ]
    )
    way = np.array([1, 1j, -1, -1j])
    start, none = np.full(4, complex(points_of(a)[0])), np.zeros(4, np.intp)
    return start, start + far * way, way, none, none


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


def _kept(p: Points, q: Points, way: Points, good: NDArray[np.bool_]) -> Moves:
    p, q, way = np.broadcast_arrays(p, q, way)
    i, j = np.nonzero(good & np.isfinite(way))
    return p[i, j], q[i, j], way[i, j], i, j

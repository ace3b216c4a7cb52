"""A belt laid round oriented circles: an outline that is smooth by construction.

Each circle has a side: +1 a boss, which the outline rounds anticlockwise with the metal
inside it; -1 a fillet, a circle outside the metal which the outline rounds clockwise.
Two oriented circles have exactly one common tangent that keeps both senses: with unit
normal n, n.(cB - cA) = rhoB - rhoA, where rho = side x radius; it touches at c - rho n.
"""

import numpy as np
from numpy.typing import ArrayLike

from solvers.plane.pieces import (
    Contour,
    Floats,
    OutlineError,
    Points,
    bulge_of,
    circle,
    contour_of,
)
from solvers.plane.relate import self_meetings

#: Below this, 1 - k^2 is rounding: the circles touch and share one point. Its root
#: would turn 1e-16 into a straight line 1e-8 of a radius long.
CONTACT = 1e-13
#: A sweep this close to a full turn, rad, is one of nothing, rounded the wrong way.
FULL = 2.0 * np.pi - 1e-9


def belt(centres: ArrayLike, radii: ArrayLike, sides: ArrayLike = 1) -> Contour:
    """Outline round the circles in the order given.

    Parameters
    ----------
    centres : array_like, complex, shape (n,)
    radii : array_like, shape (n,)
    sides : array_like, shape (n,) or scalar
        +1 for a boss, -1 for a fillet.

    Returns
    -------
    ndarray, shape (m, 3)
        Anticlockwise. Arcs over half a turn are split; the closing piece is a straight
        line where there is one.

    Raises
    ------
    OutlineError
        The circles have no such outline: one lies within the other, or it crosses
        itself or runs round the wrong way.
    """
    c = np.atleast_1d(np.asarray(centres, dtype=complex))
    r, s = (
        np.broadcast_to(np.asarray(v, dtype=float), c.shape) for v in (radii, sides)
    )
    if np.any(r <= 0.0):
        raise OutlineError("every circle of an outline needs a radius above 0")
    if len(c) == 1:
        return circle(complex(c[0]), float(r[0]))
    along = _tangents(c, s * r)
    sweeps = _sweeps(along, s)
    if abs(np.sum(sweeps) - 2.0 * np.pi) > 1e-6:
        raise OutlineError("the outline does not run once round its metal")
    contour = _closed_by_a_line(_rows(c, s * r, along, sweeps))
    if len(self_meetings(contour)):
        raise OutlineError("the outline crosses itself")
    return contour


def belt_sweeps(centres: Points, radii: Floats, sides: Floats) -> Floats:
    """Angle by which the belt wraps each circle, rad, signed; shape (n,)."""
    return _sweeps(_tangents(centres, sides * radii), sides)


def _tangents(c: Points, rho: Floats) -> Points:
    """Unit direction of the tangent from each circle to the next."""
    gap = np.roll(c, -1) - c
    far = np.abs(gap)
    step = np.roll(rho, -1) - rho
    k = step / np.where(far > 0.0, far, np.inf)
    square = (1.0 - k) * (1.0 + k)
    if np.any(far == 0.0) or np.min(square) < -CONTACT:
        row = int(np.argmin(np.where(far > 0.0, square, -np.inf)))
        raise OutlineError(
            f"circles {row + 1} and {(row + 1) % len(c) + 1} have no common tangent: "
            f"{far[row]:.4g} apart, {abs(step[row]):.4g} needed"
        )
    touching = square < CONTACT
    level = np.sqrt(np.where(touching, 0.0, square))
    return gap / far * (level - 1j * np.where(touching, np.sign(k), k))


def _sweeps(along: Points, sides: Floats) -> Floats:
    turn = np.angle(along * np.conj(np.roll(along, 1)))
    wrapped = np.mod(sides * turn, 2.0 * np.pi)
    return sides * np.where(wrapped > FULL, 0.0, wrapped)


def _rows(c: Points, rho: Floats, along: Points, sweeps: Floats) -> Contour:
    """Arc and straight line of every circle, without those of no length."""
    points: list[complex] = []
    bulges: list[float] = []
    leave = c - 1j * rho * along
    arrive = c - 1j * rho * np.roll(along, 1)
    for i, sweep in enumerate(sweeps):
        parts = 0 if sweep == 0.0 else 1 + int(abs(sweep) > np.pi)
        for part in range(parts):
            turn = np.exp(1j * sweep * part / parts)
            points.append(complex(c[i] + (arrive[i] - c[i]) * turn))
            bulges.append(float(bulge_of(sweep / parts)))
        if abs(np.roll(arrive, -1)[i] - leave[i]) > 1e-9 * abs(rho[i]):
            points.append(complex(leave[i]))
            bulges.append(0.0)
    return contour_of(np.array(points), bulges)


def _closed_by_a_line(contour: Contour) -> Contour:
    """Start so that the last piece is straight, where one is."""
    straight = np.flatnonzero(contour[:, 2] == 0.0)
    return np.roll(contour, -straight[-1] - 1, axis=0) if len(straight) else contour

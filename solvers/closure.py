"""Closed-form loop closures with exact derivatives, one array operation at a time.

Conventions: points are complex (x + iz); a rod that cannot reach gives nan in its own
place, never an exception and never a guess (callers silence the warning with
``np.errstate``); the branch is the caller's sign and never changes by itself.
Derivatives come from the constraint itself (implicit differentiation), so they are
exact wherever the value is.
"""

from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np
from msgspec import Struct

from solvers.jet import (
    NEARLY,
    Jet,
    Num,
    Part,
    Parts,
    dot,
    each,
    length,
    lift,
    sums,
)
from solvers.turning import Turned, Vector


class Slide(Struct, frozen=True, eq=False):
    """A rod's end on a line, driven from a moving point.

    Attributes
    ----------
    along : Jet
        Where the rod's end is on the line, from the line's origin.
    parts : callable
        Gives the parts of the moving point in the line's frame (complex).
    rod : Jet
        Length of the rod.
    offset, share : ndarray
        The moving point's distance to the left of the line, and the rod's signed
        length along the line, from the point to its end.
    """

    along: Jet
    parts: Callable[[], Parts]
    rod: Jet
    offset: Any
    share: Any

    def lean(self, scale: float = 1.0) -> Jet:
        """Sine of the rod's angle to the line: offset of the point / rod.

        ``scale`` multiplies it (a sign, at no cost).
        """
        offset = Jet.later(self.offset, lambda: each(self.parts(), np.imag))
        return lift(offset * (scale / self.rod))

    def back(self) -> Jet:
        """Vector from the rod's end to the moving point, complex."""

        def parts() -> Parts:
            return (Jet.later(0.0, self.parts) - self.along).parts

        return Vector(-self.share, self.offset, parts)

    def margin(self) -> Any:
        """Cosine squared of that angle: the rod is short where it falls to 0."""
        lean = self.offset / self.rod.v
        return (1.0 - lean) * (1.0 + lean)


def slide(point: Num, rod: Num, sign: Any, base: Num = 0j) -> Slide:
    """Close a rod between a moving point and the x axis.

    Parameters
    ----------
    point : Jet or ndarray, complex
        The moving point in the line's own frame, seen from ``base``.
    rod : Jet or ndarray
        Length of the rod.
    sign : float or ndarray
        +1 where the end on the line lies ahead of the point, -1 behind it.
    base : Jet or ndarray, complex
        What the point is seen from, in the line's frame; fixed.
    """
    p, r, o = lift(point), lift(rod), lift(base)
    w = p.z + o.z
    # (r - w) * (r + w), not r**2 - w**2: keeps the digits that cancel where the rod
    # stands nearly square to the line.
    share = np.asarray(r.v - w)
    share *= r.v + w
    np.sqrt(share, out=share)
    if np.ndim(sign) or sign != 1.0:
        share *= sign
    along = p.x + o.x
    along += share

    def parts() -> Parts:
        return sums(p.parts, o.parts)

    def end_parts() -> Parts:
        pace = _pace(p, o, r)
        if pace is None:
            return _slide_parts(parts(), w, r, share)
        slip = w / share
        slip *= p.x
        slip += p.z
        slip *= -1.0
        return slip * pace, None, None

    return Slide(Jet.later(along, end_parts), parts, r, w, share)


def _pace(point: Jet, *others: Jet) -> Part:
    """Return the rate of a turning point's turn where all else is fixed, or None."""
    if not isinstance(point, Turned):
        return None
    fixed = all(other.t is None and other.g is None for other in others)
    return point.pace() if fixed else None


def _slide_parts(parts: Parts, w: Any, r: Jet, s: Any) -> Parts:
    """Differentiate s**2 = r**2 - w**2: s ds = r dr - w dw."""
    slip = w / s
    pt, pg, ph = parts
    t = None if pt is None else pt.real - slip * pt.imag
    if pg is None and r.g is None:
        return t, None, None
    pg = np.zeros(()) if pg is None else pg
    ds = -slip * pg.imag if r.g is None else (r.v / s) * r.g - slip * pg.imag
    h = None if ph is None else ph.real - slip * ph.imag
    if pt is not None:
        turn = ((slip * ds - pg.imag) / s) * pt.imag
        h = turn if h is None else h + turn
    return t, pg.real + ds, h


class Span(Struct, frozen=True, eq=False):
    """The distance of a moving point from a fixed one.

    Attributes
    ----------
    away : Jet
        From the fixed point to the moving one, complex.
    length : Jet
    """

    away: Jet
    length: Jet


def span(point: Num, base: Num) -> Span:
    """Measure the distance of a moving point from a fixed one.

    Parameters
    ----------
    point : Jet or ndarray, complex
        The moving point, seen from ``base``.
    base : Jet or ndarray, complex
        What the point is seen from, itself seen from the fixed one.
    """
    p, o = lift(point), lift(base)
    away = moved(p, o)
    v = np.asarray(np.hypot(away.x, away.z))

    def parts() -> Parts:
        pace = _pace(p, o)
        if pace is None:
            return length(away).parts
        across = away.z * p.x
        across -= away.x * p.z
        across /= v
        return across * pace, None, None

    return Span(away, Jet.later(v, parts))


def moved(p: Jet, o: Jet) -> Vector:
    """Return a moving point as it is seen from elsewhere: ``p`` + ``o``."""
    return Vector(p.x + o.x, p.z + o.z, lambda: sums(p.parts, o.parts))


class Swing(Struct, frozen=True, eq=False):
    """An arm on a fixed pivot, held by a link of known length to a given point.

    Attributes
    ----------
    place : callable
        Gives the vector from the pivot to the arm's hole.
    turn : callable
        Gives the parts of the arm's direction (rad).
    margin : callable
        Gives sine squared of the transmission angle; link and arm are in one line
        where it falls to 0, and below that the link cannot reach.
    corner : callable
        Gives the angle at the pivot between the point and the arm, 0 to pi.
    """

    place: Callable[[], Vector]
    turn: Callable[[], Parts]
    margin: Callable[[], Any]
    corner: Callable[[], Any]

    @property
    def arm(self) -> Any:
        """The vector from the pivot to the arm's hole, complex."""
        return self.place().v


def swing(point: Num, arm: Num, link: Num, sign: Any, base: Num = 0j) -> Swing:
    """Close a triangle: fixed pivot at 0, ``arm`` to the hole, ``link`` to the point.

    Each thing is worked out when it is first asked for.

    Parameters
    ----------
    point : Jet or ndarray, complex
        The link's other end, seen from ``base``.
    arm, link : Jet or ndarray
        Lengths. ``link`` may depend on the driving value (a cable that is drawn),
        ``arm`` on parameters only.
    sign : float or ndarray
        Sign of the turn from ``point`` to the arm: -1 where the arm lies to the right.
    base : Jet or ndarray, complex
        What the point is seen from, as seen from the arm's pivot; fixed.
    """
    p, o, c, r = lift(point), lift(base), lift(arm), lift(link)
    b = moved(p, o)
    d2 = b.x * b.x
    d2 += b.z * b.z
    sides = (d2, c.v, r.v)
    root = cache(lambda: _areas(*sides, sign))
    place = cache(lambda: _place(b, *sides, root()[1]))

    def parts() -> Parts:
        pace, m, four = _pace(p, o, c, r), place(), root()[1]
        if pace is None:
            return _swing_parts(b, c, r, m.v, -0.5 * four)
        top = (b.z - m.z) * p.x
        top -= (b.x - m.x) * p.z
        top /= four
        return top * (-2.0 * pace), None, None

    def margin() -> Any:
        return root()[0] / (4.0 * c.v * c.v * r.v * r.v)

    return Swing(place, parts, margin, lambda: _opening(*sides))


@np.errstate(invalid="ignore")
def _areas(d2: Any, c: Any, r: Any, sign: Any) -> tuple[Any, Any]:
    """Return 16 times the squared area of a triangle, and 4 times the signed one.

    (c + r)**2 - d2 and d2 - (c - r)**2, not c**2 * d2 - x**2: the digits survive where
    the triangle is nearly straight.
    """
    more, less = c + r, c - r
    sixteen = (more * more - d2) * (d2 - less * less)
    return sixteen, np.sqrt(sixteen) * sign


@np.errstate(divide="ignore", invalid="ignore")
def _place(b: Jet, d2: Any, c: Any, r: Any, four: Any) -> Vector:
    """Return the vector from the pivot to the arm's hole."""
    half = 0.5 / d2
    along = d2 + (c + r) * (c - r)
    along = along * half
    across = four * half
    x = b.x * along
    x -= b.z * across
    z = b.x * across
    z += b.z * along
    return Vector(x, z, lambda: (None, None, None))


@np.errstate(divide="ignore", invalid="ignore")
def _opening(d2: Any, c: Any, r: Any) -> Any:
    """Return the angle at the pivot, 0 to pi."""
    cosine = (d2 + c * c) - r * r
    cosine = cosine * (0.5 / (c * np.sqrt(d2)))
    if np.max(np.abs(cosine), initial=0.0) < NEARLY:
        return np.arccos(cosine)
    return np.arctan2(_areas(d2, c, r, 1.0)[1], d2 + (c + r) * (c - r))


def _swing_parts(b: Jet, c: Jet, r: Jet, m: Any, n: Any) -> Parts:
    """Differentiate |b - m| = r with |m| = c; psi is the angle of m.

    ``n`` is the turn from arm to link, the moment arm of both: dot(b - m, i m).
    """
    rho = b.v - m
    bt, bg, bh = b.parts
    rt, rg, rh = r.parts
    t = _sum(_along(rho, bt), _scaled(r.v, rt))
    psi_t = None if t is None else t / n
    if bg is None and c.g is None and rg is None:
        return psi_t, None, None
    stretch = 0.0 if c.g is None else c.g / c.v
    bg = 0.0 if bg is None else bg
    rg = 0.0 if rg is None else rg
    psi_g = (dot(rho, np.asarray(bg - m * stretch)) - r.v * rg) / n
    if psi_t is None:
        return None, psi_g, None
    mg = m * (stretch + 1j * psi_g)
    rho_g = bg - mg
    n_g = dot(rho_g, 1j * m) + dot(rho, 1j * mg)
    top = _sum(
        -psi_t * n_g,
        _along(rho_g, bt),
        _along(rho, bh),
        _scaled(rg, rt),
        _scaled(r.v, rh),
    )
    return psi_t, psi_g, top / n


def _along(rho: Any, part: Part) -> Part:
    return None if part is None else dot(rho, np.asarray(part))


def _scaled(factor: Any, part: Part) -> Part:
    return None if part is None else -factor * part


def _sum(*parts: Part) -> Part:
    total = None
    for part in parts:
        if part is not None:
            total = part if total is None else total + part
    return total


def take_up(pull: Num, slack: Num) -> Jet:
    """Return what is left of a pull after its slack, never below 0.

    The derivative by the driving value stays that of the pull, slack or not: it says
    where the motion *will* go, and the caller hides it while the slack lasts.
    """
    gap = lift(pull - slack)

    def parts() -> Parts:
        t, g, h = gap.parts
        return t, None if g is None else np.where(gap.v > 0.0, g, 0.0), h

    return Jet.later(np.maximum(gap.v, 0.0), parts)

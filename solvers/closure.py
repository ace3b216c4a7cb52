"""Closed-form loop closures with exact derivatives, one array operation at a time.

Conventions: points are complex (x + iz); a rod that cannot reach gives nan in its own
place, never an exception and never a guess (callers silence the warning with
``np.errstate``); the branch is the caller's sign and never changes by itself.
Derivatives come from the constraint itself (implicit differentiation), so they are
exact wherever the value is.
"""

from collections.abc import Callable
from typing import Any

import numpy as np
from msgspec import Struct

from solvers.jet import Jet, Late, Num, Part, Parts, arcsin, each, lift, sums
from solvers.planar import NEARLY, dot, length
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

    def lean(self, sign: float = 1.0) -> Jet:
        """Angle of the rod to the line, rad: its sine is the point's offset / rod.

        ``sign`` multiplies it, at no cost.
        """
        offset, scale = self.offset, sign / self.rod.v

        def parts() -> Parts:
            side = Jet.later(offset, lambda: each(self.parts(), np.imag))
            return lift(arcsin(side * (sign / self.rod))).parts

        return Late(lambda out: _leaning(offset, scale, out), parts)

    def back(self) -> Jet:
        """Vector from the rod's end to the moving point, complex."""

        def parts() -> Parts:
            return (Jet.later(0.0, self.parts) - self.along).parts

        return Vector(-self.share, self.offset, parts)

    def margin(self) -> Any:
        """Cosine squared of that angle: the rod is short where it falls to 0."""
        lean = self.offset / self.rod.v
        return (1.0 - lean) * (1.0 + lean)


@np.errstate(invalid="ignore")
def _leaning(offset: Any, scale: Any, out: Any) -> Any:
    sine = np.asarray(np.multiply(offset, scale, out=out))
    return np.arcsin(sine, out=sine)


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
        return slip * -pace, None, None

    return Slide(Jet.later(along, end_parts), parts, r, w, share)


def _pace(point: Jet, *others: Jet) -> Part:
    """Return the rate of a turning point's turn where all else is fixed, or None."""
    if not isinstance(point, Turned):
        return None
    for other in others:
        if not other.fixed:
            return None
    return point.pace()


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
    v = _squared(away)
    np.sqrt(v, out=v)

    def parts() -> Parts:
        pace = _pace(p, o)
        if pace is None:
            return length(away).parts
        across = away.z * p.x
        across -= away.x * p.z
        across /= v
        return across * pace, None, None

    return Span(away, Jet.later(v, parts))


def _squared(point: Vector) -> Any:
    """Return the squared length of a vector."""
    d2 = np.asarray(point.x * point.x)
    d2 += point.z * point.z
    return d2


def moved(p: Jet, o: Jet) -> Vector:
    """Return a moving point as it is seen from elsewhere: ``p`` + ``o``."""
    return Vector(p.x + o.x, p.z + o.z, lambda: sums(p.parts, o.parts))


class Swing:
    """An arm on a fixed pivot, held by a link of known length to a given point.

    Each thing is worked out when it is first asked for; see `swing`.
    """

    __slots__ = ("_area", "_fixed", "_lengths", "_place", "_point", "_sign", "_square")

    def __init__(self, p: Jet, o: Jet, c: Jet, r: Jet, sign: Any) -> None:
        point = moved(p, o)
        self._point, self._fixed, self._lengths, self._sign = (
            point,
            (p, o),
            (c, r),
            sign,
        )
        self._square = _squared(point)
        self._area: Any = None
        self._place: Vector | None = None

    @property
    def arm(self) -> Any:
        """The vector from the pivot to the arm's hole, complex."""
        return self.place().v

    @np.errstate(divide="ignore", invalid="ignore")
    def place(self) -> Vector:
        """Return that vector as it is now."""
        if self._place is None:
            b, d2, (c, r) = self._point, self._square, self._lengths
            half = 0.5 / d2
            along = d2 + (c.v + r.v) * (c.v - r.v)
            along = along * half
            across = self._four() * half
            x = b.x * along
            x -= b.z * across
            z = b.x * across
            z += b.z * along
            self._place = Vector(x, z, lambda: (None, None, None))
        return self._place

    def _sixteen(self) -> Any:
        """Return 16 times the squared area of the triangle.

        (c + r)**2 - d2 and d2 - (c - r)**2, not c**2 * d2 - x**2: the digits survive
        where the triangle is nearly straight.
        """
        d2, (c, r) = self._square, self._lengths
        more, less = c.v + r.v, c.v - r.v
        sixteen = np.asarray(more * more - d2)
        sixteen *= d2 - less * less
        return sixteen

    def _four(self) -> Any:
        """Return 4 times its area, signed like the turn from point to arm."""
        if self._area is None:
            area = self._sixteen()
            np.sqrt(area, out=area)
            area *= self._sign
            self._area = area
        return self._area

    @np.errstate(divide="ignore", invalid="ignore")
    def corner(self) -> Any:
        """Return the angle at the pivot between the point and the arm, 0 to pi."""
        d2, (c, r) = self._square, self._lengths
        cosine = (d2 + c.v * c.v) - r.v * r.v
        cosine = cosine * (0.5 / (c.v * np.sqrt(d2)))
        if np.maximum.reduce(np.abs(cosine), axis=None, initial=0.0) < NEARLY:
            return np.arccos(cosine)
        return np.arctan2(np.sqrt(self._sixteen()), d2 + (c.v + r.v) * (c.v - r.v))

    def turn(self) -> Parts:
        """Return the parts of the arm's direction (rad)."""
        p, o = self._fixed
        b, m, four = self._point, self.place(), self._four()
        pace = _pace(p, o, *self._lengths)
        if pace is None:
            return _swing_parts(b, *self._lengths, m.v, -0.5 * four)
        top = b.z - m.z
        top *= p.x
        other = b.x - m.x
        other *= p.z
        top -= other
        top /= four
        return top * (-2.0 * pace), None, None

    @np.errstate(divide="ignore", invalid="ignore")
    def margin(self) -> Any:
        """Return sine squared of the transmission angle.

        Link and arm are in one line where it falls to 0; below it the link cannot reach.
        """
        c, r = self._lengths
        return self._sixteen() / (4.0 * c.v * c.v * r.v * r.v)


def swing(point: Num, arm: Num, link: Num, sign: Any, base: Num = 0j) -> Swing:
    """Close a triangle: fixed pivot at 0, ``arm`` to the hole, ``link`` to the point.

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
    return Swing(lift(point), lift(base), lift(arm), lift(link), sign)


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

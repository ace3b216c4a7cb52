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

from solvers.jet import Jet, Late, Num, Parts, arcsin, each, lift, sums
from solvers.planar import length
from solvers.turning import Vector, moved, pace_of


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
    along = (p.x + o.x) + share

    def parts() -> Parts:
        return sums(p.parts, o.parts)

    def end_parts() -> Parts:
        pace = pace_of(p, o, r)
        if pace is None:
            return _slide_parts(parts(), w, r, share)
        slip = w / share
        slip *= p.x
        slip += p.z
        return slip * -pace, None, None

    return Slide(Jet.later(along, end_parts), parts, r, w, share)


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
    v = away.squared()
    np.sqrt(v, out=v)

    def parts() -> Parts:
        pace = pace_of(p, o)
        if pace is None:
            return length(away).parts
        across = away.z * p.x
        across -= away.x * p.z
        across /= v
        return across * pace, None, None

    return Span(away, Jet.later(v, parts))


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

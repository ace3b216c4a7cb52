"""Closed-form loop closures with exact derivatives, one array operation at a time.

Conventions: points are complex (x + iz); a rod that cannot reach gives nan in its own
place, never an exception and never a guess (callers silence the warning with
``np.errstate``); the branch is the caller's sign and never changes by itself.
Derivatives come from the constraint itself (implicit differentiation), so they are
exact wherever the value is.
"""

import math
from collections.abc import Callable
from functools import lru_cache
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from solvers.jet import Jet, Num, Part, Parts, dot, each, lift, sums, turns


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
        v = np.empty(np.shape(self.share), complex)
        np.negative(self.share, out=v.real)
        v.imag = self.offset
        return Jet.later(v, lambda: (Jet.later(v, self.parts) - self.along).parts)

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
    w = p.v.imag + np.imag(o.v)
    # (r - w) * (r + w), not r**2 - w**2: keeps the digits that cancel where the rod
    # stands nearly square to the line.
    share = np.asarray((r.v - w) * (r.v + w))
    np.sqrt(share, out=share)
    if np.ndim(sign) or sign != 1.0:
        share *= sign
    along = p.v.real + np.real(o.v)
    along += share

    def parts() -> Parts:
        return sums(p.parts, o.parts)

    end = Jet.later(along, lambda: _slide_parts(parts(), w, r, share))
    return Slide(end, parts, r, w, share)


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


class Swing(Struct, frozen=True, eq=False):
    """An arm on a fixed pivot, held by a link of known length to a given point.

    Attributes
    ----------
    arm : ndarray, complex
        From the pivot to the arm's hole.
    turn : callable
        Gives the parts of the arm's direction (rad).
    margin : callable
        Gives sine squared of the transmission angle; link and arm are in one line
        where it falls to 0, and below that the link cannot reach.
    """

    arm: Any
    turn: Callable[[], Parts]
    margin: Callable[[], Any]


def swing(point: Num, arm: Num, link: Num, sign: Any) -> Swing:
    """Close a triangle: fixed pivot at 0, ``arm`` to the hole, ``link`` to the point.

    Parameters
    ----------
    point : Jet or ndarray, complex
        The link's other end, seen from the arm's pivot.
    arm, link : Jet or ndarray
        Lengths. ``link`` may depend on the driving value (a cable that is drawn),
        ``arm`` on parameters only.
    sign : float or ndarray
        Sign of the turn from ``point`` to the arm: -1 where the arm lies to the right.
    """
    b, c, r = lift(point), lift(arm), lift(link)
    d2 = dot(b.v, b.v)
    # (c + r)**2 - d2 and d2 - (c - r)**2, not c**2 * d2 - x**2: the digits survive
    # where the triangle is nearly straight.
    more, less = c.v + r.v, c.v - r.v
    sixteen = (more * more - d2) * (d2 - less * less)
    twice_area = (0.5 * sign) * np.sqrt(sixteen)
    over = 1.0 / d2
    m = np.empty(np.shape(sixteen), complex)
    m.real = (0.5 * over) * (d2 + more * less)
    m.imag = twice_area * over
    m *= b.v
    return Swing(
        m,
        lambda: _swing_parts(b, c, r, m, -twice_area),
        lambda: sixteen / (4.0 * c.v * c.v * r.v * r.v),
    )


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


def rotate(spin: Any, turn: Callable[[], Parts], arm: Num) -> Jet:
    """Turn a vector that is fixed to a body.

    Parameters
    ----------
    spin : ndarray, complex
        exp(i turn).
    turn : callable
        Gives the parts of the turn, rad.
    arm : Jet or ndarray, complex
        The vector before it is turned; no part by the driving value.
    """
    a = lift(arm)
    v = spin * a.v

    def parts() -> Parts:
        t, g, h = turn()
        now_t = None if t is None else (1j * t) * v
        now_g = _sum(
            None if a.g is None else spin * a.g, None if g is None else (1j * g) * v
        )
        now_h = _sum(
            None if h is None else (1j * h) * v,
            None if t is None or now_g is None else (1j * t) * now_g,
        )
        return now_t, now_g, now_h

    return Jet.later(v, parts)


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


def fan(step: Any, count: int) -> Any:
    """Return exp(i k step), k = 0 .. count - 1.

    Cosine and sine are power series in the step with one table of coefficients for all
    rows, so that a single matrix product gives every even step of every row; it is
    as exact as the functions themselves (a few 1e-16) and half as dear.

    Parameters
    ----------
    step : ndarray, shape (n, 1)
        rad.
    count : int
        How many.

    Returns
    -------
    ndarray, complex, shape (n, count)
    """
    most = float(np.max(np.abs(step), initial=0.0))
    if not 0.0 < most * count < FAN_MOST:
        return turns(step * np.arange(count))
    widest = 2.0 ** math.ceil(math.log2(most))
    table = _fan_table(widest, count)
    powers = np.empty((len(step), len(table)))
    powers[:, :1] = 1.0
    powers[:, 1:] = step / widest
    np.multiply.accumulate(powers, axis=1, out=powers)
    out = np.empty((len(step), 2 * count))
    rows = max(1, ONE_THREAD // table.size)
    for start in range(0, len(step), rows):
        some = slice(start, start + rows)
        np.matmul(powers[some], table, out=out[some])
    return out.view(complex)


#: Products of matrices up to this many multiplications stay on one core: waking others
#: costs more than they bring, and far more where they are busy.
ONE_THREAD = 250_000
#: rad; beyond it the series grows long and loses digits.
FAN_MOST = 2.0


@lru_cache(maxsize=16)
def _fan_table(widest: float, count: int) -> NDArray[np.float64]:
    """Return (k widest)**j / j! with the signs of cos and sin, interleaved."""
    k = widest * np.arange(count)
    signs = np.array([(1, 0), (0, 1), (-1, 0), (0, -1)])
    rows: list[NDArray[np.float64]] = []
    term = np.ones(count)
    while len(rows) < 4 or term[-1] > FAN_LEAST:
        rows.append(term[:, None] * signs[len(rows) % 4])
        term = term * k / len(rows)
    return np.array(rows).reshape(len(rows), -1)


#: The first term of the series that is left out.
FAN_LEAST = 1e-18

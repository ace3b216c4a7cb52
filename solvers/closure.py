"""Closed-form loop closures with exact derivatives, one array operation at a time.

Conventions: points are complex (x + iz); a rod that cannot reach gives nan in its own
place, never an exception and never a guess; the branch is the caller's sign and never
changes by itself. Derivatives come from the constraint itself (implicit
differentiation), so they are exact wherever the value is.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from solvers.jet import Jet, Num, Part, chain, dot, lift


@dataclass(frozen=True, slots=True, eq=False)
class Slide:
    """A point on a line, driven by a rod from a moving point.

    Attributes
    ----------
    along : Jet
        Where the rod's end is on the line, from the line's origin.
    lean : Jet
        Sine of the rod's angle to the line: offset of the far end / rod.
    margin : ndarray
        Square of the rod's share along the line, length squared; the rod is short
        where it falls to 0.
    """

    along: Jet
    lean: Jet
    margin: Any


def slide(local: Num, rod: Num, sign: Any) -> Slide:
    """Close a rod between a moving point and the x axis.

    Parameters
    ----------
    local : Jet or ndarray, complex
        The moving point in the line's own frame (x along the line).
    rod : Jet or ndarray
        Length of the rod.
    sign : float or ndarray
        +1 where the end on the line lies ahead of the point, -1 behind it.
    """
    p, r = lift(local), lift(rod)
    w = p.v.imag
    # (r - w) * (r + w), not r**2 - w**2: keeps the digits that cancel where the rod
    # stands nearly square to the line.
    margin = (r.v - w) * (r.v + w)
    s = sign * np.sqrt(np.where(margin > 0.0, margin, np.nan))
    q = -w / s
    along = Jet(p.v.real + s, _part(p.t, q))
    lean = Jet(w / r.v, None if p.t is None else p.t.imag / r.v)
    if p.g is None and r.g is None:
        return Slide(along, lean, margin)
    along.g, along.h = _slide_tangents(p, r, s, q)
    return Slide(along, _quotient(p, r), margin)


def _part(z: Part, q: Any) -> Part:
    """Linear part of along: moves with the point, and slips as the rod leans."""
    return None if z is None else z.real + q * z.imag


def _slide_tangents(p: Jet, r: Jet, s: Any, q: Any) -> tuple[Part, Part]:
    """First and mixed parts by the parameters: s ds = r dr - w dw."""
    zero = np.zeros(())
    pg = zero if p.g is None else p.g
    rg = zero if r.g is None else r.g
    ds = (r.v * rg - p.v.imag * pg.imag) / s
    g = pg.real + ds
    h = None if p.h is None else _part(p.h, q)
    if p.t is not None:
        dq = -(pg.imag + q * ds) / s
        h = dq * p.t.imag if h is None else h + dq * p.t.imag
    return g, h


def _quotient(p: Jet, r: Jet) -> Jet:
    out: Jet = _imag_jet(p) / r
    return out


def _imag_jet(p: Jet) -> Jet:
    return Jet(
        p.v.imag,
        *(None if part is None else part.imag for part in (p.t, p.g, p.h)),
    )


@dataclass(frozen=True, slots=True, eq=False)
class Swing:
    """An arm on a fixed pivot, held by a link of known length to a given point.

    Attributes
    ----------
    arm : Jet, complex
        From the pivot to the arm's hole.
    margin : ndarray
        sine squared of the transmission angle; link and arm are in one line where it
        falls to 0, and below that the link cannot reach.
    """

    arm: Jet
    margin: Any


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
        Sign of the turn from ``point`` to the arm: +1 anticlockwise.
    """
    b, c, r = lift(point), lift(arm), lift(link)
    d2 = dot(b.v, b.v)
    # Heron's product instead of c**2 * d**2 - x**2: the digits survive near the
    # straight triangle.
    d = np.sqrt(d2)
    sixteen = (
        ((c.v + r.v) - d) * ((c.v + r.v) + d) * (d - (c.v - r.v)) * (d + (c.v - r.v))
    )
    margin = sixteen / (4.0 * c.v * c.v * r.v * r.v)
    y = np.sqrt(np.where(sixteen > 0.0, 0.25 * sixteen, np.nan))
    x = 0.5 * (d2 + (c.v - r.v) * (c.v + r.v))
    m = b.v * (x + (1j * sign) * y) / d2
    return Swing(_swing_parts(b, c, r, m), margin)


def _swing_parts(b: Jet, c: Jet, r: Jet, m: Any) -> Jet:
    """Differentiate |b - m| = r with |m| = c."""
    rho = b.v - m
    im = 1j * m
    n = dot(rho, im)
    out = Jet(m)
    if b.t is not None or r.t is not None:
        psi_t = _link_rate(rho, b.t, r.v, r.t) / n
        out.t = im * psi_t
    if b.g is None and c.g is None and r.g is None:
        return out
    stretch = 0.0 if c.g is None else c.g / c.v
    bg = 0.0 if b.g is None else b.g
    rg = 0.0 if r.g is None else r.g
    psi_g = (dot(rho, np.asarray(bg - m * stretch)) - r.v * rg) / n
    out.g = m * (stretch + 1j * psi_g)
    if out.t is not None:
        rho_g = bg - out.g
        n_g = dot(rho_g, im) + dot(rho, 1j * out.g)
        top = -psi_t * n_g
        if b.t is not None:
            top = top + dot(rho_g, np.asarray(b.t))
        if r.t is not None:
            top = top - rg * r.t
        if b.h is not None:
            top = top + dot(rho, b.h)
        if r.h is not None:
            top = top - r.v * r.h
        out.h = 1j * (out.g * psi_t + m * (top / n))
    return out


def _link_rate(rho: Any, bt: Part, r: Any, rt: Part) -> Any:
    if rt is None:
        return dot(rho, np.asarray(bt))
    if bt is None:
        return -r * rt
    return dot(rho, np.asarray(bt)) - r * rt


def take_up(pull: Num, slack: Num) -> Jet:
    """Return what is left of a pull after its slack, never below 0.

    The derivative by the driving value stays that of the pull, slack or not: it says
    where the motion *will* go, and the caller hides it while the slack lasts.
    """
    p, s = lift(pull), lift(slack)
    gap = p - s
    taut = gap.v > 0.0
    return Jet(
        np.where(taut, gap.v, 0.0),
        p.t,
        None if gap.g is None else np.where(taut, gap.g, 0.0),
        gap.h,
    )


def fan(step: Any, count: int) -> Any:
    """Return exp(i k step), k = 0 .. count - 1, as products of two short tables.

    Parameters
    ----------
    step : ndarray, shape (n, 1)
        rad.
    count : int
        How many; the cost of sine and cosine is that of about 2 sqrt(count).

    Returns
    -------
    ndarray, complex, shape (n, count)
    """
    fine = max(1, round(count**0.5))
    coarse = -(-count // fine)
    one = _turns(step * np.arange(fine))
    many = _turns(step * (fine * np.arange(coarse)))
    product = many[:, :, None] * one[:, None, :]
    return product.reshape(len(product), -1)[:, :count]


def _turns(theta: Any) -> Any:
    out = np.empty(np.shape(theta), complex)
    np.cos(theta, out=out.real)
    np.sin(theta, out=out.imag)
    return out


def turned(spin: Jet, turn: Jet) -> Jet:
    """Attach the derivatives of exp(i turn) to its known values."""
    return chain(turn, spin.v, 1j * spin.v, lambda: -spin.v)

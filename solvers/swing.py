"""The closure of a triangle: an arm on a fixed pivot, held by a link, in closed form.

Conventions are those of `solvers.closure`: points are complex, what cannot be reached is
nan in its own place, the branch is the caller's sign, derivatives are implicit and exact.
"""

from typing import Any

import numpy as np

from solvers.jet import Jet, Num, Part, Parts, lift
from solvers.planar import NEARLY, dot
from solvers.turning import Vector, moved, pace_of


class Swing:
    """An arm on a fixed pivot, held by a link of known length to a given point.

    Each thing is worked out when it is first asked for; see `swing`.
    """

    __slots__ = ("_area", "_fixed", "_lengths", "_place", "_point", "_sign", "_square")

    def __init__(self, p: Jet, o: Jet, c: Jet, r: Jet, sign: Any) -> None:
        self._fixed, self._lengths, self._sign = (p, o), (c, r), sign
        self._point = moved(p, o)
        self._square = self._point.squared()
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
        pace = pace_of(p, o, *self._lengths)
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

"""Vectors that are fixed to turning bodies, as jets.

A vector that many positions share is held as two real arrays, x and z: half as dear to
work with as complex numbers, which are built only for those who ask. What turns it, a
*spin*, is a complex array exp(i turn), or anything that can `carry` a vector.
"""

import math
from collections.abc import Callable
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from solvers.jet import Jet, Num, Part, Parts, lift, sums
from solvers.planar import turns

Plane = tuple[Any, Any]  # x and z


class Vector(Jet):
    """A jet of vectors, held as two real arrays until the complex one is asked for."""

    __slots__ = ("_x", "_z")

    def __init__(self, x: Any, z: Any, parts: Callable[[], Parts]) -> None:
        self._x, self._z = x, z
        self._parts = parts

    @property
    def x(self) -> Any:
        """Value of the x part."""
        return self._x

    @property
    def z(self) -> Any:
        """Value of the z part."""
        return self._z

    def __getattr__(self, name: str) -> Any:
        """Build the complex value: called as long as its slot is empty."""
        if name != "v":
            raise AttributeError(name)
        self.v = joined(self.x, self.z)
        return self.v

    def squared(self) -> Any:
        """Return the squared length, an array."""
        square = np.asarray(self.x * self.x)
        square += self.z * self.z
        return square

    def carry(self, arm: Any) -> Plane:
        """Turn (and stretch) a plain vector by this one, as complex numbers multiply."""
        ax, az = np.real(arm), np.imag(arm)
        x, z = self.x * ax, self.x * az
        x -= self.z * az
        z += self.z * ax
        return x, z


def joined(x: Any, z: Any) -> Any:
    """Return x + iz."""
    v = np.empty(np.shape(x), complex)
    v.real, v.imag = x, z
    return v


class Turned(Vector):
    """A vector that is fixed to a turning body; see `rotate`."""

    __slots__ = ("arm", "turn")

    def __init__(self, spin: Any, turn: Callable[[], Parts], arm: Jet) -> None:
        if isinstance(spin, np.ndarray):
            self.v = spin * arm.v
            x, z = self.v.real, self.v.imag
        else:
            x, z = spin.carry(arm.v)
        super().__init__(x, z, lambda: _turning(spin, turn, arm))
        self.turn, self.arm = turn, arm

    def pace(self) -> Part:
        """Return the rate of the turn where nothing but the turn varies, else None."""
        t, g, _ = self.turn()
        return t if g is None and self.arm.g is None else None


def rotate(spin: Any, turn: Callable[[], Parts], arm: Num) -> Turned:
    """Turn a vector that is fixed to a body.

    Parameters
    ----------
    spin : ndarray, complex, or Vector or Fan
        exp(i turn), stretched or not.
    turn : callable
        Gives the parts of the turn, rad.
    arm : Jet or ndarray, complex
        The vector before it is turned; no part by the driving value.
    """
    return Turned(spin, turn, lift(arm))


def _turning(spin: Any, turn: Callable[[], Parts], arm: Jet) -> Parts:
    v = _carried(spin, arm.v)
    t, g, h = turn()
    now_t = None if t is None else (1j * t) * v
    now_g = None if g is None else (1j * g) * v
    if arm.g is not None:
        own = _carried(spin, arm.g)
        now_g = own if now_g is None else own + now_g
    now_h = None if h is None else (1j * h) * v
    if t is not None and now_g is not None:
        both = (1j * t) * now_g
        now_h = both if now_h is None else now_h + both
    return now_t, now_g, now_h


def _carried(spin: Any, arm: Any) -> Any:
    if isinstance(spin, Fan):
        return joined(*spin.carry(1.0)) * arm
    return (spin.v if isinstance(spin, Vector) else spin) * arm


def moved(p: Jet, o: Jet) -> Vector:
    """Return a moving point as it is seen from elsewhere: ``p`` + ``o``."""
    return Vector(p.x + o.x, p.z + o.z, lambda: sums(p.parts, o.parts))


def pace_of(point: Jet, *others: Jet) -> Part:
    """Return the rate of a turning point's turn where all else is fixed, or None."""
    if not isinstance(point, Turned):
        return None
    for other in others:
        if not other.fixed:
            return None
    return point.pace()


def fan(step: Any, count: int) -> Any:
    """Return the spin exp(i k step), k = 0 .. count - 1.

    Cosine and sine are power series in the step with one table of coefficients for all
    rows, so that a matrix product gives a turned vector at every even step of every
    row: as exact as the functions themselves (a few 1e-16), and far less dear.

    Parameters
    ----------
    step : ndarray, shape (n, 1)
        rad.
    count : int
        How many.

    Returns
    -------
    Fan, or ndarray, complex, shape (n, count)
    """
    most = float(np.maximum.reduce(np.abs(step), axis=None, initial=0.0))
    if not 0.0 < most * count < FAN_MOST:
        return turns(step * np.arange(count))
    return Fan(step, 2.0 ** math.ceil(math.log2(most)), count)


class Fan:
    """A spin by even steps, kept as the powers of each row's step.

    Row j of the table is (k widest)**j / j!, with the signs of cosine (j even) and
    sine (j odd).
    """

    __slots__ = ("powers", "table")

    def __init__(self, step: Any, widest: float, count: int) -> None:
        self.table = _fan_table(widest, count)
        powers = np.empty((len(self.table), len(step)))
        powers[0] = 1.0
        powers[1:] = step[:, 0] / widest
        np.multiply.accumulate(powers, axis=0, out=powers)
        self.powers = powers.reshape(-1, 2, len(step))

    def carry(self, arm: Any) -> Plane:
        """Return a plain vector, of shape (n, 1) or alone, turned by every step."""
        terms, count = self.table.shape
        layouts = self.powers.shape[-1]
        arm = np.ravel(arm)
        own = np.empty((2, 1, 2, layouts))  # by x and z, by cosine and sine
        own[0, 0, 0] = own[1, 0, 1] = arm.real
        own[1, 0, 0] = arm.imag
        np.negative(arm.imag, out=own[0, 0, 1])
        series = (self.powers * own).reshape(2, terms, layouts).transpose(0, 2, 1)
        out = np.empty((2, layouts, count))
        pieces = -(-layouts * self.table.size // ONE_THREAD)
        rows = -(-layouts // max(1, pieces))
        for start in range(0, layouts, rows):
            some = slice(start, start + rows)
            np.matmul(series[:, some], self.table, out=out[:, some])
        return out[0], out[1]


#: Products of matrices up to this many multiplications stay on one core: waking others
#: costs more than they bring, and far more where they are busy.
ONE_THREAD = 250_000
#: rad; beyond it the series grows long and loses digits.
FAN_MOST = 2.0
#: The first term of the series that is left out.
FAN_LEAST = 1e-18


@lru_cache(maxsize=16)
def _fan_table(widest: float, count: int) -> NDArray[np.float64]:
    k = widest * np.arange(count)
    signs = np.array([1.0, 1.0, -1.0, -1.0])
    rows: list[NDArray[np.float64]] = []
    term = np.ones(count)
    while len(rows) % 2 or len(rows) < 4 or term[-1] > FAN_LEAST:
        rows.append(term * signs[len(rows) % 4])
        term = term * k / len(rows)
    return np.array(rows)

"""Values that carry their exact derivatives: first in every direction, second mixed.

A quantity here depends on one driving value ``t`` and on ``k`` parameters. A `Jet`
holds the value, its derivative by ``t``, its derivatives by the parameters, and the
mixed second derivatives by ``t`` and each parameter:

    v  shape s        t  shape s        g  shape (k, *s)        h  shape (k, *s)

where ``s`` broadcasts over layouts x positions. None stands for zero and costs
nothing; numbers and arrays may be used in place of a jet without parts. To get the
second derivative by ``t`` itself, let one parameter *be* ``t`` (`seed_driver`).
Values may be complex: points of the plane are x + iz. Only analytic functions,
`conj`, `real` and `imag` act on complex jets.
"""

from collections.abc import Callable
from typing import Any, Union

import numpy as np

Part = Any  # ndarray, number or None (= zero): None keeps unused parts free
Num = Union["Jet", Any]  # a jet, an array or a number


def _add(*parts: Part) -> Part:
    total = None
    for part in parts:
        if part is not None:
            total = part if total is None else total + part
    return total


def _mul(*parts: Part) -> Part:
    product = None
    for part in parts:
        if part is None:
            return None
        product = part if product is None else product * part
    return product


class Jet:
    """A value with its derivatives; see the module's docstring."""

    __array_ufunc__ = None  # array * jet comes to __rmul__
    __slots__ = ("g", "h", "t", "v")

    def __init__(self, v: Any, t: Part = None, g: Part = None, h: Part = None) -> None:
        self.v = v
        self.t = t
        self.g = g
        self.h = h

    def __repr__(self) -> str:
        return f"Jet(v={self.v!r}, t={self.t!r}, g={self.g!r}, h={self.h!r})"

    def __neg__(self) -> "Jet":
        return linear(self, np.negative)

    def __add__(self, other: Num) -> "Jet":
        if not isinstance(other, Jet):
            return Jet(self.v + other, self.t, self.g, self.h)
        return Jet(
            self.v + other.v,
            _add(self.t, other.t),
            _add(self.g, other.g),
            _add(self.h, other.h),
        )

    __radd__ = __add__

    def __sub__(self, other: Num) -> "Jet":
        if not isinstance(other, Jet):
            return Jet(self.v - other, self.t, self.g, self.h)
        return self + (-other)

    def __rsub__(self, other: Num) -> "Jet":
        return (-self) + other

    def __mul__(self, other: Num) -> "Jet":
        if not isinstance(other, Jet):
            return linear(self, lambda part: part * other)
        a, b = self, other
        return Jet(
            a.v * b.v,
            _add(_mul(a.t, b.v), _mul(a.v, b.t)),
            _add(_mul(a.g, b.v), _mul(a.v, b.g)),
            _add(_mul(a.h, b.v), _mul(a.v, b.h), _mul(a.t, b.g), _mul(a.g, b.t)),
        )

    __rmul__ = __mul__

    def __truediv__(self, other: Num) -> "Jet":
        if not isinstance(other, Jet):
            return linear(self, lambda part: part / other)
        return self * reciprocal(other)

    def __rtruediv__(self, other: Num) -> "Jet":
        return other * reciprocal(self)


def lift(x: Num) -> Jet:
    """Return ``x`` as a jet (a constant has no parts)."""
    return x if isinstance(x, Jet) else Jet(x)


def value(x: Num) -> Any:
    """Return the value alone."""
    return x.v if isinstance(x, Jet) else x


def linear(x: Jet, f: Callable[[Any], Any]) -> Jet:
    """Apply a linear map to value and parts alike."""
    return Jet(
        f(x.v),
        None if x.t is None else f(x.t),
        None if x.g is None else f(x.g),
        None if x.h is None else f(x.h),
    )


def chain(x: Jet, v: Any, d1: Any, d2: Callable[[], Any]) -> Jet:
    """Compose with a function of one argument.

    Parameters
    ----------
    x : Jet
        The inner value.
    v, d1 : array_like
        The function and its first derivative at ``x.v``.
    d2 : callable
        Gives the second derivative; called only where a mixed part needs it.
    """
    h = _mul(d1, x.h)
    if x.t is not None and x.g is not None:
        h = _add(h, d2() * x.t * x.g)
    return Jet(v, _mul(d1, x.t), _mul(d1, x.g), h)


def reciprocal(x: Num) -> Num:
    """Return 1 / x."""
    if not isinstance(x, Jet):
        return 1.0 / x
    v = 1.0 / x.v
    return chain(x, v, -v * v, lambda: 2.0 * v**3)


def sqrt(x: Num) -> Num:
    """Square root."""
    if not isinstance(x, Jet):
        return np.sqrt(x)
    v = np.sqrt(x.v)
    return chain(x, v, 0.5 / v, lambda: -0.25 / (v * x.v))


def arcsin(x: Num) -> Num:
    """Inverse sine of a real value."""
    if not isinstance(x, Jet):
        return np.arcsin(x)
    c2 = (1.0 - x.v) * (1.0 + x.v)  # keeps the digits near one
    c = np.sqrt(c2)
    return chain(x, np.arcsin(x.v), 1.0 / c, lambda: x.v / (c * c2))


def arccos(x: Num) -> Num:
    """Inverse cosine of a real value."""
    if not isinstance(x, Jet):
        return np.arccos(x)
    return 0.5 * np.pi - arcsin(x)


def unit(angle: Num) -> Num:
    """exp(i angle): the unit vector at ``angle`` (rad) from +x."""
    if not isinstance(angle, Jet):
        return np.cos(angle) + 1j * np.sin(angle)
    v = np.cos(angle.v) + 1j * np.sin(angle.v)
    return chain(angle, v, 1j * v, lambda: -v)


def conj(z: Num) -> Num:
    """Mirror in the x axis."""
    return linear(z, np.conj) if isinstance(z, Jet) else np.conj(z)


def real(z: Num) -> Num:
    """Return the x part."""
    return linear(z, np.real) if isinstance(z, Jet) else np.real(z)


def imag(z: Num) -> Num:
    """Return the z part."""
    return linear(z, np.imag) if isinstance(z, Jet) else np.imag(z)


def angle(z: Num) -> Num:
    """Angle of a vector, rad, in (-pi, pi]: the imaginary part of its logarithm."""
    if not isinstance(z, Jet):
        return np.angle(z)
    q = 1.0 / z.v
    log = chain(z, 0.0, q, lambda: -q * q)
    return Jet(np.angle(z.v), *(_imag(part) for part in (log.t, log.g, log.h)))


def _imag(part: Part) -> Part:
    return None if part is None else np.imag(part)


def dot(a: Any, b: Any) -> Any:
    """Scalar product of two plain complex arrays read as vectors."""
    return a.real * b.real + a.imag * b.imag


def length(z: Num) -> Num:
    """Length of a vector."""
    if not isinstance(z, Jet):
        return np.abs(z)
    v = np.abs(z.v)
    t = None if z.t is None else dot(z.v, z.t) / v
    g = None if z.g is None else dot(z.v, z.g) / v
    h = None if z.h is None else dot(z.v, z.h) / v
    if t is not None and g is not None:
        h = _add(h, (dot(z.t, z.g) - t * g) / v)
    return Jet(v, t, g, h)


def where(mask: Any, a: Num, b: Num) -> Num:
    """Choose elementwise between two values, parts and all."""
    if not (isinstance(a, Jet) or isinstance(b, Jet)):
        return np.where(mask, a, b)
    a, b = lift(a), lift(b)
    return Jet(
        np.where(mask, a.v, b.v),
        *(
            None if p is None and q is None else np.where(mask, _zero(p), _zero(q))
            for p, q in ((a.t, b.t), (a.g, b.g), (a.h, b.h))
        ),
    )


def _zero(part: Part) -> Any:
    return 0.0 if part is None else part


def seed(v: Any, index: int, count: int) -> Jet:
    """Return parameter ``index`` of ``count``: dv/dp = 1 in its own direction."""
    g = np.zeros((count, 1, 1))
    g[index] = 1.0
    return Jet(v, None, g)


def seed_driver(v: Any, index: int | None = None, count: int = 0) -> Jet:
    """Return the driving value; with ``index`` it is parameter ``index`` as well."""
    if index is None:
        return Jet(v, 1.0)
    return Jet(v, 1.0, seed(0.0, index, count).g)

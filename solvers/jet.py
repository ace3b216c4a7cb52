"""Values that carry their exact derivatives: first in every direction, second mixed.

A quantity here depends on one driving value ``t`` and on ``k`` parameters. A `Jet`
holds the value, its derivative by ``t``, its derivatives by the parameters, and the
mixed second derivatives by ``t`` and each parameter:

    v  shape s        t  shape s        g  shape (k, *s)        h  shape (k, *s)

where ``s`` broadcasts over layouts x positions. None stands for zero and costs
nothing; numbers and arrays may be used in place of a jet without parts. The parts are
worked out when they are first asked for, so whoever wants values alone pays for
values alone. To get the second derivative by ``t`` itself, let one parameter *be*
``t`` (`seed_driver`). Values may be complex: points of the plane are x + iz. Only
analytic functions, `conj`, `real`, `imag`, `length` and `angle` act on complex jets.
"""

from collections.abc import Callable
from typing import Any, Union

import numpy as np

Part = Any  # ndarray, number or None (= zero): None keeps unused parts free
Parts = tuple[Part, Part, Part]  # by t, by the parameters, mixed
Num = Union["Jet", Any]  # a jet, an array or a number


def added(*parts: Part) -> Part:
    """Add parts; None is zero."""
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
    __slots__ = ("_parts", "v")

    def __init__(self, v: Any, t: Part = None, g: Part = None, h: Part = None) -> None:
        self.v = v
        self._parts: Parts | Callable[[], Parts] = (t, g, h)

    @classmethod
    def later(cls, v: Any, parts: Callable[[], Parts]) -> "Jet":
        """Return a jet whose parts are worked out when first asked for."""
        jet = cls(v)
        jet._parts = parts
        return jet

    @property
    def parts(self) -> Parts:
        """Derivatives by the driving value, by the parameters, and by both."""
        if callable(self._parts):
            self._parts = self._parts()
        return self._parts

    @property
    def t(self) -> Part:
        """Derivative by the driving value."""
        return self.parts[0]

    @property
    def g(self) -> Part:
        """Derivatives by the parameters."""
        return self.parts[1]

    @property
    def h(self) -> Part:
        """Mixed second derivatives."""
        return self.parts[2]

    @property
    def x(self) -> Any:
        """Value of the x part."""
        return self.v.real

    @property
    def z(self) -> Any:
        """Value of the z part."""
        return self.v.imag

    @property
    def fixed(self) -> bool:
        """True for a constant."""
        t, g, _ = self.parts
        return t is None and g is None

    def __repr__(self) -> str:
        return f"Jet(v={self.v!r}, t={self.t!r}, g={self.g!r}, h={self.h!r})"

    def __neg__(self) -> "Jet":
        return linear(self, np.negative)

    def __add__(self, other: Num) -> "Jet":
        if not isinstance(other, Jet):
            return Jet.later(self.v + other, lambda: self.parts)
        return Jet.later(self.v + other.v, lambda: sums(self.parts, other.parts))

    __radd__ = __add__

    def __sub__(self, other: Num) -> "Jet":
        if not isinstance(other, Jet):
            return Jet.later(self.v - other, lambda: self.parts)
        return Jet.later(self.v - other.v, lambda: sums(self.parts, (-other).parts))

    def __rsub__(self, other: Num) -> "Jet":
        return Jet.later(other - self.v, lambda: (-self).parts)

    def __mul__(self, other: Num) -> "Jet":
        if not isinstance(other, Jet):
            return linear(self, lambda part: part * other)
        return Jet.later(self.v * other.v, lambda: _products(self, other))

    __rmul__ = __mul__

    def __truediv__(self, other: Num) -> "Jet":
        if not isinstance(other, Jet):
            return linear(self, lambda part: part / other)
        return self * reciprocal(other)

    def __rtruediv__(self, other: Num) -> "Jet":
        return other * reciprocal(self)


class Late(Jet):
    """A jet whose value, too, is worked out when it is first asked for.

    Parameters
    ----------
    work : callable
        Gives the value; writes it into the array that it is handed, if any.
    parts : callable
        Gives the parts.
    """

    __slots__ = ("_work",)

    def __init__(
        self, work: Callable[[Any], Any], parts: Callable[[], Parts] | None = None
    ) -> None:
        self._work = work
        self._parts = (None, None, None) if parts is None else parts

    def __getattr__(self, name: str) -> Any:
        """Work out the value: called as long as its slot is empty."""
        if name != "v":
            raise AttributeError(name)
        self.v = self._work(None)
        return self.v

    def into(self, out: Any) -> None:
        """Put the value into an array: work it out there, if it has to be."""
        try:
            out[...] = object.__getattribute__(self, "v")
        except AttributeError:
            self.v = self._work(out)


def put(x: Jet, out: Any) -> None:
    """Put the value of a jet into an array."""
    if isinstance(x, Late):
        x.into(out)
    else:
        out[...] = x.v


def sums(a: Parts, b: Parts) -> Parts:
    """Add parts to parts."""
    return added(a[0], b[0]), added(a[1], b[1]), added(a[2], b[2])


def _products(a: Jet, b: Jet) -> Parts:
    at, ag, ah = a.parts
    bt, bg, bh = b.parts
    return (
        added(_mul(at, b.v), _mul(a.v, bt)),
        added(_mul(ag, b.v), _mul(a.v, bg)),
        added(_mul(ah, b.v), _mul(a.v, bh), _mul(at, bg), _mul(ag, bt)),
    )


def lift(x: Num) -> Jet:
    """Return ``x`` as a jet (a constant has no parts)."""
    return x if isinstance(x, Jet) else Jet(x)


def value(x: Num) -> Any:
    """Return the value alone."""
    return x.v if isinstance(x, Jet) else x


def less(a: Jet, b: Num) -> Jet:
    """Return a - b, worked out late."""
    return Late(
        lambda out: np.subtract(a.v, value(b), out=out),
        lambda: sums(a.parts, each(lift(b).parts, np.negative)),
    )


def times(a: Jet, factor: Any) -> Jet:
    """Return a jet times a plain factor, worked out late."""
    return Late(
        lambda out: np.multiply(a.v, factor, out=out),
        lambda: each(a.parts, lambda part: part * factor),
    )


def linear(x: Jet, f: Callable[[Any], Any]) -> Jet:
    """Apply a linear map to value and parts alike."""
    return Jet.later(f(x.v), lambda: each(x.parts, f))


def each(parts: Parts, f: Callable[[Any], Any]) -> Parts:
    """Apply a linear map to each part that there is."""
    t, g, h = parts
    return (
        None if t is None else f(t),
        None if g is None else f(g),
        None if h is None else f(h),
    )


def chain(x: Jet, v: Any, d1: Callable[[], Any], d2: Callable[[], Any]) -> Jet:
    """Compose with a function of one argument.

    Parameters
    ----------
    x : Jet
        The inner value.
    v : array_like
        The function at ``x.v``.
    d1, d2 : callable
        Give its first and second derivative there; called only where a part needs
        them.
    """
    return Jet.later(v, lambda: chained(x, d1, d2))


def chained(x: Jet, d1: Callable[[], Any], d2: Callable[[], Any]) -> Parts:
    """Return the parts of a function of one argument: see `chain`."""
    t, g, h = x.parts
    if t is None and g is None and h is None:
        return None, None, None
    first = d1()
    mixed = _mul(first, h)
    if t is not None and g is not None:
        mixed = added(mixed, d2() * t * g)
    return _mul(first, t), _mul(first, g), mixed


def reciprocal(x: Num) -> Num:
    """Return 1 / x."""
    if not isinstance(x, Jet):
        return 1.0 / x
    return Late(
        lambda out: np.divide(1.0, x.v, out=out),
        lambda: chained(x, lambda: -1.0 / x.v**2, lambda: 2.0 / x.v**3),
    )


def sqrt(x: Num) -> Num:
    """Square root."""
    if not isinstance(x, Jet):
        return np.sqrt(x)
    v = np.sqrt(x.v)
    return chain(x, v, lambda: 0.5 / v, lambda: -0.25 / (v * x.v))


def arcsin(x: Num) -> Num:
    """Inverse sine of a real value."""
    if not isinstance(x, Jet):
        return np.arcsin(x)

    def c2() -> Any:
        return (1.0 - x.v) * (1.0 + x.v)  # keeps the digits near one

    return Late(
        lambda out: np.arcsin(x.v, out=out),
        lambda: chained(x, lambda: 1.0 / np.sqrt(c2()), lambda: x.v / c2() ** 1.5),
    )


def arccos(x: Num) -> Num:
    """Inverse cosine of a real value."""
    if not isinstance(x, Jet):
        return np.arccos(x)
    return 0.5 * np.pi - arcsin(x)


def where(mask: Any, a: Num, b: Num) -> Num:
    """Choose elementwise between two values, parts and all."""
    if not (isinstance(a, Jet) or isinstance(b, Jet)):
        return np.where(mask, a, b)
    a, b = lift(a), lift(b)
    return Jet.later(np.where(mask, a.v, b.v), lambda: _choices(mask, a, b))


def _choices(mask: Any, a: Jet, b: Jet) -> Parts:
    t, g, h = (
        None if p is None and q is None else np.where(mask, _zero(p), _zero(q))
        for p, q in zip(a.parts, b.parts, strict=True)
    )
    return t, g, h


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

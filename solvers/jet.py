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

#: Cosines beyond this lose digits in an inverse cosine: two more than the others.
NEARLY = 0.9999
#: An inverse sine keeps its digits while the cosine is above this.
SMALL = 0.3


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
    return _add(a[0], b[0]), _add(a[1], b[1]), _add(a[2], b[2])


def _products(a: Jet, b: Jet) -> Parts:
    at, ag, ah = a.parts
    bt, bg, bh = b.parts
    return (
        _add(_mul(at, b.v), _mul(a.v, bt)),
        _add(_mul(ag, b.v), _mul(a.v, bg)),
        _add(_mul(ah, b.v), _mul(a.v, bh), _mul(at, bg), _mul(ag, bt)),
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
        mixed = _add(mixed, d2() * t * g)
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


def unit(angle: Num) -> Num:
    """exp(i angle): the unit vector at ``angle`` (rad) from +x."""
    if not isinstance(angle, Jet):
        return turns(np.asarray(angle))
    v = turns(np.asarray(angle.v))
    return chain(angle, v, lambda: 1j * v, lambda: -v)


def turns(angle: Any) -> Any:
    """exp(i angle) of plain numbers: cosine and sine, each once."""
    out = np.empty(np.shape(angle), complex)
    np.cos(angle, out=out.real)
    np.sin(angle, out=out.imag)
    return out


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
    return Jet.later(np.angle(z.v), lambda: _angle_parts(z))


def unit_angle(x: Any, z: Any, out: Any = None) -> Any:
    """Angle of plain unit vectors, rad, in (-pi, pi]; cheap while none is far off +x."""
    if np.minimum.reduce(x, axis=None, initial=1.0) > SMALL:
        return np.arcsin(z, out=out)
    return np.arctan2(z, x, out=out)


def _angle_parts(z: Jet) -> Parts:
    q = 1.0 / z.v
    return each(chain(z, z.v, lambda: q, lambda: -q * q).parts, np.imag)


def between(a: Num, b: Num, lengths: Any = None) -> Jet:
    """Undirected angle between two vectors, rad, 0 to pi.

    ``lengths``, the product of both lengths where it is known, saves work.
    """
    a, b = lift(a), lift(b)

    def parts() -> Parts:
        sign = np.where(cross(a.v, b.v) < 0.0, -1.0, 1.0)
        back = each(_angle_parts(a), lambda part: -sign * part)
        return sums(each(_angle_parts(b), lambda part: sign * part), back)

    return Late(lambda out: _between(a, b, lengths, out), parts)


def _between(a: Jet, b: Jet, lengths: Any, out: Any) -> Any:
    along = a.x * b.x
    along += a.z * b.z
    if lengths is not None:
        cosine = np.divide(along, lengths, out=out)
        if np.maximum.reduce(np.abs(cosine), axis=None, initial=0.0) < NEARLY:
            return np.arccos(cosine, out=out)
    across = a.x * b.z - a.z * b.x
    return np.arctan2(np.abs(across), along, out=out)


def dot(a: Any, b: Any) -> Any:
    """Scalar product of two plain complex arrays read as vectors."""
    return a.real * b.real + a.imag * b.imag


def cross(a: Any, b: Any) -> Any:
    """Turn from ``a`` to ``b``: positive anticlockwise; plain complex arrays."""
    return a.real * b.imag - a.imag * b.real


def length(z: Num) -> Num:
    """Length of a vector."""
    if not isinstance(z, Jet):
        return np.abs(z)
    v = np.abs(z.v)
    return Jet.later(v, lambda: _length_parts(z, v))


def _length_parts(z: Jet, v: Any) -> Parts:
    t, g, h = each(z.parts, lambda part: dot(z.v, part) / v)
    if t is not None and g is not None:
        h = _add(h, (dot(z.t, z.g) - t * g) / v)
    return t, g, h


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

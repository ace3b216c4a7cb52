"""Vectors of the plane as jets: complex values x + iz, their lengths and angles.

What `solvers.jet` is to numbers; conventions are those of that module.
"""

from typing import Any

import numpy as np

from solvers.jet import Jet, Late, Num, Parts, added, chain, each, lift, linear, sums

#: Cosines beyond this lose digits in an inverse cosine: two more than the others.
NEARLY = 0.9999
#: An inverse sine keeps its digits while the cosine is above this.
SMALL = 0.3


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
        h = added(h, (dot(z.t, z.g) - t * g) / v)
    return t, g, h

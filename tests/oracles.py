"""Closed forms at 40 digits, and their derivatives by high-precision differences.

A third road: plain mpmath, written from the triangles, sharing no line with the
kernels or the constraint solver. Points are complex, x + iz; lengths in mm, angles in
rad. Every function takes and gives mpmath numbers; call them inside `digits`.
"""

from collections.abc import Callable
from typing import Any

import mpmath as mp

Number = Any  # mpf or mpc
DIGITS = 40


def digits() -> Any:
    """Return a context in which mpmath works at 40 digits."""
    return mp.workdps(DIGITS)


def point(z: complex) -> Number:
    """Return a double-precision point exactly."""
    return mp.mpc(float(z.real), float(z.imag))


def turned(z: Number, pivot: Number, turn: Number) -> Number:
    """Return where a point of a body is after it has turned about its pivot."""
    return pivot + (z - pivot) * mp.expj(turn)


def slider(hole: Number, seat: Number, axis: Number, rod: Number, side: int) -> Number:
    """Movement of a rod's end along its line from ``seat``; ``axis`` a unit vector.

    Pythagoras in the line's own frame; ``side`` +1 where the end lies ahead.
    """
    local = (hole - seat) / axis
    return local.real + side * mp.sqrt(rod**2 - local.imag**2)


def lean(hole: Number, end: Number, axis: Number) -> Number:
    """Turn of the (undirected) axis line onto the rod's line, -pi/2 to pi/2."""
    rod = (end - hole) / axis
    return mp.atan(rod.imag / rod.real)


def swing(hole: Number, pivot: Number, arm: Number, rod: Number, side: int) -> Number:
    """Direction of a driven arm: cosine rule at its pivot.

    ``side`` +1 where the arm lies left of the line pivot -> hole.
    """
    line = hole - pivot
    size = abs(line)
    corner = mp.acos((arm**2 + size**2 - rod**2) / (2 * arm * size))
    return mp.arg(line) + side * corner


def pull(hole: Number, ferrule: Number, rest: Number) -> Number:
    """What a straight cable has been drawn since it was ``rest`` long."""
    return abs(hole - ferrule) - rest


def taken(drawn: Number, slack: Number) -> Number:
    """What of a pull the far end feels (complex beyond a limit, where none is)."""
    left = drawn - slack
    return left if mp.re(left) > 0 else mp.mpf(0)


def corner(a: Number, b: Number, c: Number) -> Number:
    """Angle at b, 0 to pi."""
    return abs(mp.arg((a - b) / (c - b)))


def folded(angle: Number) -> Number:
    """Bring an angle into (-pi, pi]."""
    return angle - 2 * mp.pi * mp.ceil((angle - mp.pi) / (2 * mp.pi))


def first(f: Callable[..., Number], at: tuple[Number, ...], by: int) -> Number:
    """Return the first derivative by argument ``by``, good to about 25 digits."""
    orders = tuple(int(k == by) for k in range(len(at)))
    return mp.diff(f, at, orders)


def mixed(
    f: Callable[..., Number], at: tuple[Number, ...], by: int, then: int
) -> Number:
    """Return the second derivative by two arguments, or twice by one."""
    orders = tuple(int(k == by) + int(k == then) for k in range(len(at)))
    return mp.diff(f, at, orders)

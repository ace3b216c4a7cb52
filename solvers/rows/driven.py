"""Rows that tie points to numbers: turns, ways along a line, pulls."""

from typing import Any, ClassVar

import numpy as np

from solvers.rows.row import Coordinates, Residual, Row, Slopes, distance, unit


class Turn(Row, frozen=True, kw_only=True):
    """The line a -> b is parallel to ``reference`` turned by ``turn``.

    Parallel either way round: which one is the start's to say.
    """

    POINTS: ClassVar[tuple[str, ...]] = ("a", "b")
    NUMBERS: ClassVar[tuple[str, ...]] = ("turn",)

    a: str
    b: str
    turn: str
    reference: complex = 1.0 + 0.0j

    def _heading(self, turn: Any) -> tuple[Any, Any]:
        u = unit(self.reference)
        c, s = np.cos(turn), np.sin(turn)
        return u.real * c - u.imag * s, u.imag * c + u.real * s

    def residual(self, p: Coordinates) -> Residual:
        """How far b is to the left of the turned line through a."""
        ax, az, bx, bz, turn = p
        x, z = self._heading(turn)
        return (x * (bz - az) - z * (bx - ax),)

    def jacobian(self, p: Coordinates) -> Slopes:
        """Return the normal on b; turning loses what b is ahead of a."""
        ax, az, bx, bz, turn = p
        x, z = self._heading(turn)
        return ((z, -x, -z, x, -z * (bz - az) - x * (bx - ax)),)


class Carried(Row, frozen=True, kw_only=True):
    """``b`` is a point of a body turned by ``turn``: a + arm * exp(i turn).

    ``arm`` is the vector from ``a`` to ``b`` where the turn is 0. Several rows with
    one ``turn`` make a rigid body.
    """

    POINTS: ClassVar[tuple[str, ...]] = ("a", "b")
    NUMBERS: ClassVar[tuple[str, ...]] = ("turn",)
    EQUATIONS: ClassVar[int] = 2

    a: str
    b: str
    turn: str
    arm: complex

    def _turned(self, turn: Any) -> tuple[Any, Any]:
        c, s = np.cos(turn), np.sin(turn)
        x, z = self.arm.real, self.arm.imag
        return x * c - z * s, z * c + x * s

    def residual(self, p: Coordinates) -> Residual:
        """From where the body carries it to where it is."""
        ax, az, bx, bz, turn = p
        x, z = self._turned(turn)
        return bx - ax - x, bz - az - z

    def jacobian(self, p: Coordinates) -> Slopes:
        """Identity on b; the turn moves it square to the arm."""
        x, z = self._turned(p[4])
        return (-1.0, 0.0, 1.0, 0.0, z), (0.0, -1.0, 0.0, 1.0, -x)


class Along(Row, frozen=True, kw_only=True):
    """``a`` has gone ``way`` from ``start`` along the fixed vector ``along``."""

    POINTS: ClassVar[tuple[str, ...]] = ("a",)
    NUMBERS: ClassVar[tuple[str, ...]] = ("way",)
    EQUATIONS: ClassVar[int] = 2

    a: str
    way: str
    start: complex
    along: complex

    def residual(self, p: Coordinates) -> Residual:
        """Where it is less where the way leads."""
        x, z, way = p
        u = unit(self.along)
        return x - self.start.real - u.real * way, z - self.start.imag - u.imag * way

    def jacobian(self, p: Coordinates) -> Slopes:  # noqa: ARG002 - linear
        """Identity on a, the direction on the way."""
        u = unit(self.along)
        return (1.0, 0.0, -u.real), (0.0, 1.0, -u.imag)


class Drawn(Row, frozen=True, kw_only=True):
    """The distance from ``a`` to ``b`` is ``rest`` + ``gain`` * ``pull``."""

    POINTS: ClassVar[tuple[str, ...]] = ("a", "b")
    NUMBERS: ClassVar[tuple[str, ...]] = ("pull",)

    a: str
    b: str
    pull: str
    rest: float
    gain: float = 1.0

    def residual(self, p: Coordinates) -> Residual:
        """Distance less what the pull leaves."""
        ax, az, bx, bz, pull = p
        return (distance(bx - ax, bz - az) - self.rest - self.gain * pull,)

    def jacobian(self, p: Coordinates) -> Slopes:
        """Return the unit vector on b, its opposite on a."""
        ax, az, bx, bz, _ = p
        dx, dz = bx - ax, bz - az
        size = distance(dx, dz)
        x, z = dx / size, dz / size
        return ((-x, -z, x, z, -self.gain),)


class Unrolled(Row, frozen=True, kw_only=True):
    """radius_a * a + radius_b * b = total: arcs that one line wraps, unrolled.

    ``a`` and ``b`` are numbers; a radius of 1 stands for a length.
    """

    NUMBERS: ClassVar[tuple[str, ...]] = ("a", "b")

    a: str
    b: str
    radius_a: float
    radius_b: float
    total: float = 0.0

    def residual(self, p: Coordinates) -> Residual:
        """Unrolled length less what it should be."""
        return (self.radius_a * p[0] + self.radius_b * p[1] - self.total,)

    def jacobian(self, p: Coordinates) -> Slopes:  # noqa: ARG002 - linear
        """Return the radii."""
        return ((self.radius_a, self.radius_b),)


class Given(Row, frozen=True, kw_only=True):
    """The number ``a`` is ``value``; ``weight`` is what one unit counts in mm."""

    NUMBERS: ClassVar[tuple[str, ...]] = ("a",)

    a: str
    value: float
    weight: float = 1.0

    def residual(self, p: Coordinates) -> Residual:
        """Weighted departure."""
        return (self.weight * (p[0] - self.value),)

    def jacobian(self, p: Coordinates) -> Slopes:  # noqa: ARG002 - linear
        """Return the weight."""
        return ((self.weight,),)

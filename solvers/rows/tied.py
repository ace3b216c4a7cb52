"""Rows that tie points to each other and to fixed places."""

from typing import ClassVar

from solvers.rows.row import Coordinates, Residual, Row, Slopes, distance, unit


class Length(Row, frozen=True, kw_only=True):
    """The distance from ``a`` to ``b`` is ``length`` (greater than 0)."""

    POINTS: ClassVar[tuple[str, ...]] = ("a", "b")

    a: str
    b: str
    length: float

    def residual(self, p: Coordinates) -> Residual:
        """(d.d - L**2) / 2L: equals d - L to first order, and has no root in it."""
        ax, az, bx, bz = p
        dx, dz = bx - ax, bz - az
        size = self.length
        return ((dx * dx + dz * dz - size * size) / (2.0 * size),)

    def jacobian(self, p: Coordinates) -> Slopes:
        """D / L on b, its opposite on a."""
        ax, az, bx, bz = p
        x, z = (bx - ax) / self.length, (bz - az) / self.length
        return ((-x, -z, x, z),)


class Pinned(Row, frozen=True, kw_only=True):
    """``a`` is at the place ``at``."""

    POINTS: ClassVar[tuple[str, ...]] = ("a",)
    EQUATIONS: ClassVar[int] = 2

    a: str
    at: complex

    def residual(self, p: Coordinates) -> Residual:
        """Where it is less where it belongs."""
        return p[0] - self.at.real, p[1] - self.at.imag

    def jacobian(self, p: Coordinates) -> Slopes:  # noqa: ARG002 - linear
        """Identity."""
        return (1.0, 0.0), (0.0, 1.0)


class Joined(Row, frozen=True, kw_only=True):
    """``a`` and ``b`` are one place."""

    POINTS: ClassVar[tuple[str, ...]] = ("a", "b")
    EQUATIONS: ClassVar[int] = 2

    a: str
    b: str

    def residual(self, p: Coordinates) -> Residual:
        """B less a."""
        return p[2] - p[0], p[3] - p[1]

    def jacobian(self, p: Coordinates) -> Slopes:  # noqa: ARG002 - linear
        """Identity on b, its opposite on a."""
        return (-1.0, 0.0, 1.0, 0.0), (0.0, -1.0, 0.0, 1.0)


class OnLine(Row, frozen=True, kw_only=True):
    """``a`` is on the fixed line through ``through`` along ``along`` (a vector)."""

    POINTS: ClassVar[tuple[str, ...]] = ("a",)

    a: str
    through: complex
    along: complex

    def residual(self, p: Coordinates) -> Residual:
        """Distance to the left of the line."""
        u = unit(self.along)
        left = u.real * (p[1] - self.through.imag) - u.imag * (p[0] - self.through.real)
        return (left,)

    def jacobian(self, p: Coordinates) -> Slopes:  # noqa: ARG002 - linear
        """Return the line's normal."""
        u = unit(self.along)
        return ((-u.imag, u.real),)


class InLine(Row, frozen=True, kw_only=True):
    """``a`` is on the line through the points ``b`` and ``c``."""

    POINTS: ClassVar[tuple[str, ...]] = ("a", "b", "c")

    a: str
    b: str
    c: str

    def residual(self, p: Coordinates) -> Residual:
        """Distance to the left of the line b -> c."""
        ax, az, bx, bz, cx, cz = p
        dx, dz = cx - bx, cz - bz
        return ((dx * (az - bz) - dz * (ax - bx)) / distance(dx, dz),)

    def jacobian(self, p: Coordinates) -> Slopes:
        """Return the normal on a; c by the quotient rule; a shift of all costs nothing."""
        ax, az, bx, bz, cx, cz = p
        dx, dz = cx - bx, cz - bz
        size = distance(dx, dz)
        left = (dx * (az - bz) - dz * (ax - bx)) / (size * size)
        a = -dz / size, dx / size
        c = (az - bz - left * dx) / size, (bx - ax - left * dz) / size
        return ((*a, -a[0] - c[0], -a[1] - c[1], *c),)


class Apart(Row, frozen=True, kw_only=True):
    """``b`` lies ``by`` beyond ``a``, counted along the fixed vector ``along``."""

    POINTS: ClassVar[tuple[str, ...]] = ("a", "b")

    a: str
    b: str
    along: complex
    by: float = 0.0

    def residual(self, p: Coordinates) -> Residual:
        """Projected distance less what it should be."""
        ax, az, bx, bz = p
        u = unit(self.along)
        return (u.real * (bx - ax) + u.imag * (bz - az) - self.by,)

    def jacobian(self, p: Coordinates) -> Slopes:  # noqa: ARG002 - linear
        """Return the direction on b, its opposite on a."""
        u = unit(self.along)
        return ((-u.real, -u.imag, u.real, u.imag),)


class Run(Row, frozen=True, kw_only=True):
    """|a b| + share * |c d| = total: a line over fixed guides, or two equal lengths.

    Two lengths are the same with ``share`` -1 and ``total`` 0.
    """

    POINTS: ClassVar[tuple[str, ...]] = ("a", "b", "c", "d")

    a: str
    b: str
    c: str
    d: str
    share: float = 1.0
    total: float = 0.0

    def residual(self, p: Coordinates) -> Residual:
        """Whole run less what it should be."""
        ax, az, bx, bz, cx, cz, dx, dz = p
        first, second = distance(bx - ax, bz - az), distance(dx - cx, dz - cz)
        return (first + self.share * second - self.total,)

    def jacobian(self, p: Coordinates) -> Slopes:
        """Return unit vectors, the second pair by its share."""
        ax, az, bx, bz, cx, cz, dx, dz = p
        first = distance(bx - ax, bz - az)
        second = distance(dx - cx, dz - cz) / self.share
        x, z = (bx - ax) / first, (bz - az) / first
        u, w = (dx - cx) / second, (dz - cz) / second
        return ((-x, -z, x, z, -u, -w, u, w),)

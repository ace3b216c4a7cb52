"""Habits of the drawing board: arrow heads, dimension lines, centre marks, hatching.

All in mm on paper, y up. Nothing here knows what is drawn.
"""

import cmath
import math
from collections.abc import Iterable, Sequence

from export.shapes import Circle, Line, Path, Shape, polygon

HEAD = 2.6  # length of an arrow head
PAST = 1.5  # extension line past its dimension line (ISO 129)
CLEAR = 0.8  # open gap between an edge and its extension line


def unit(way: complex) -> complex:
    """Return ``way`` at length 1; no way at all is to the right."""
    return way / abs(way) if way else 1 + 0j


def arrow_head(tip: complex, way: complex, length: float = HEAD) -> Path:
    """Return a slim filled head that ends at ``tip``, pointing along ``way``."""
    back = tip - length * unit(way)
    half = 0.16 * length * 1j * unit(way)
    return polygon((tip, back + half, back - half), "head")


def arrow(start: complex, tip: complex, role: str = "thin") -> tuple[Shape, ...]:
    """Return a line from ``start`` with a head at ``tip``."""
    way = unit(tip - start)
    return (Line(start, tip - 0.8 * HEAD * way, role), arrow_head(tip, way))


def dimension_line(a: complex, b: complex) -> tuple[Shape, ...]:
    """Return the line between ``a`` and ``b`` with a head at each end.

    Where there is no room between them, the heads stand outside and point inwards.
    """
    span = abs(b - a)
    way = unit(b - a) if span > 0.0 else 1 + 0j
    if span > 2.6 * HEAD:
        ends = (arrow_head(a, -way), arrow_head(b, way))
        return (Line(a, b, "dimension"), *ends)
    tail = 2.2 * HEAD * way
    ends = (arrow_head(a, way), arrow_head(b, -way))
    return (Line(a - tail, b + tail, "dimension"), *ends)


def extension_line(edge: complex, end: complex) -> tuple[Shape, ...]:
    """Return the line from beside ``edge`` to past the dimension line at ``end``."""
    if abs(end - edge) <= CLEAR:
        return ()
    way = unit(end - edge)
    return (Line(edge + CLEAR * way, end + PAST * way, "dimension"),)


def centre_mark(at: complex, reach: float, role: str = "centre") -> tuple[Shape, ...]:
    """Return the cross of centre lines of a round thing."""
    return (
        Line(at - reach, at + reach, role),
        Line(at - 1j * reach, at + 1j * reach, role),
    )


def dot(at: complex, radius: float = 0.45) -> Circle:
    """Return a filled dot."""
    return Circle(centre=at, radius=radius, role="dot")


def ring(centre: complex, radius: float, count: int = 36) -> list[complex]:
    """Return ``count`` points round a circle."""
    return [centre + cmath.rect(radius, math.tau * n / count) for n in range(count)]


def hull(points: Iterable[complex]) -> tuple[complex, ...]:
    """Return the convex hull, anticlockwise (monotone chain)."""
    ordered = sorted(set(points), key=lambda p: (p.real, p.imag))
    return (*_half(ordered), *_half(ordered[::-1]))


def _half(ordered: Sequence[complex]) -> list[complex]:
    kept: list[complex] = []
    for p in ordered:
        while len(kept) > 1 and _turn(kept[-2], kept[-1], p) <= 0.0:
            kept.pop()
        kept.append(p)
    return kept[:-1]


def _turn(a: complex, b: complex, c: complex) -> float:
    return ((b - a).conjugate() * (c - a)).imag


def hatch(
    corners: Sequence[complex],
    role: str = "hatch",
    *,
    gap: float = 1.4,
    angle: float = math.pi / 4,
) -> Path:
    """Return parallel strokes that fill a polygon, in one path.

    The strokes lie on one grid for the whole page, so that two touching polygons with
    one angle read as one piece.
    """
    turned = [p * cmath.rect(1.0, -angle) for p in corners]
    low = math.ceil(min(p.imag for p in turned) / gap)
    high = math.floor(max(p.imag for p in turned) / gap)
    back = cmath.rect(1.0, angle)
    runs: list[tuple[complex, ...]] = []
    for n in range(low, high + 1):
        level = (n + 1e-7) * gap
        cuts = sorted(_cuts(turned, level))
        runs += [
            (complex(a, level) * back, complex(b, level) * back)
            for a, b in zip(cuts[::2], cuts[1::2], strict=True)
        ]
    return Path(runs=tuple(runs), role=role)


def _cuts(points: Sequence[complex], level: float) -> list[float]:
    found = []
    for a, b in zip(points, [*points[1:], points[0]], strict=True):
        if (a.imag < level) != (b.imag < level):
            part = (level - a.imag) / (b.imag - a.imag)
            found.append(a.real + part * (b.real - a.real))
    return found

"""Board habits against plain geometry and a geometry library."""

import cmath
import math

import numpy as np
import pytest
from shapely import LineString, MultiPoint, Polygon

from export.shapes import Line
from linkage.sheets.draughting import (
    HEAD,
    arrow_head,
    dimension_line,
    extension_line,
    hatch,
    hull,
    ring,
)
from tests.cases_count import many


def test_the_hull_is_that_of_another_library() -> None:
    rng = np.random.default_rng(2)
    for _ in range(many(200)):
        points = [complex(*xy) for xy in rng.normal(size=(12, 2))]
        ours = Polygon([(p.real, p.imag) for p in hull(points)])
        other = MultiPoint([(p.real, p.imag) for p in points]).convex_hull
        assert ours.symmetric_difference(other).area < 1e-12


@pytest.mark.parametrize("angle", [math.pi / 4, -math.pi / 4, 0.3])
def test_hatching_fills_the_polygon_and_nothing_else(angle: float) -> None:
    """Strokes lie inside, and their length times their gap is about the area."""
    corners = [0j, 30 + 0j, 30 + 20j, 15 + 6j, 0 + 20j]
    area = Polygon([(p.real, p.imag) for p in corners])
    path = hatch(corners, gap=0.5, angle=angle)
    total = 0.0
    for a, b in path.runs:
        stroke = LineString([(a.real, a.imag), (b.real, b.imag)])
        assert stroke.difference(area.buffer(1e-6)).length < 1e-6
        assert cmath.phase((b - a) * cmath.rect(1.0, -angle)) == pytest.approx(
            0, abs=1e-9
        )
        total += stroke.length
    assert total * 0.5 == pytest.approx(area.area, rel=0.02)


def test_a_short_dimension_turns_its_heads_outside() -> None:
    wide, tight = dimension_line(0j, 40 + 0j), dimension_line(0j, 2 + 0j)
    assert wide[0] == Line(0j, 40 + 0j, "dimension")
    line = tight[0]
    assert isinstance(line, Line)
    assert line.a.real < -HEAD
    assert line.b.real > 2 + HEAD


def test_a_head_ends_at_its_tip_and_an_extension_starts_clear() -> None:
    head = arrow_head(10 + 0j, 1 + 0j)
    assert max(p.real for p in head.runs[0]) == 10.0
    (line,) = extension_line(0j, 10j)
    assert isinstance(line, Line)
    assert 0.0 < line.a.imag < 1.0
    assert line.b.imag > 10.0
    assert extension_line(0j, 0.1j) == ()


def test_a_ring_is_round() -> None:
    assert np.allclose(np.abs(np.array(ring(3 + 4j, 5.0)) - (3 + 4j)), 5.0)

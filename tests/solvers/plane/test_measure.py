"""Areas, lengths, extents and centroids: worked figures, laws, a faceted second road."""

import math

import numpy as np
import pytest

from solvers.plane.belt import belt
from solvers.plane.measure import area, centroid, extents, perimeter
from solvers.plane.pieces import circle, contour_of, mirrored, moved
from tests.cases_count import many
from tests.solvers.plane.outlines import faceted, random_belts


def test_slot() -> None:
    """Two half turns of radius 5 and two lines of 30: rectangle and circle."""
    slot = belt([0, 30], 5.0)
    assert area(slot) == pytest.approx(300.0 + 25.0 * math.pi, rel=1e-14)
    assert area(slot) == pytest.approx(378.5398163397, abs=5e-11)
    assert perimeter(slot) == pytest.approx(91.4159265359, abs=5e-11)
    assert extents(slot) == pytest.approx((-5 - 5j, 35 + 5j), abs=1e-13)
    assert centroid(slot) == pytest.approx(15 + 0j, abs=1e-13)


def test_segment_of_chord_ten_and_bulge_a_half() -> None:
    segment = contour_of(np.array([0j, 10 + 0j]), [0.5, 0.0])
    assert area(segment) == pytest.approx(17.472469453188, abs=5e-12)
    # r^2/2 (a - sin a) lies at 4 r sin^3(a/2) / (3 (a - sin a)) from the centre.
    a = 4.0 * math.atan(0.5)
    off = 4.0 * 6.25 * math.sin(a / 2.0) ** 3 / (3.0 * (a - math.sin(a)))
    assert centroid(segment) == pytest.approx(5.0 + 1j * (3.75 - off), abs=1e-13)


def test_circle() -> None:
    ring = circle(7 - 2j, 3.0)
    assert area(ring) == pytest.approx(9.0 * math.pi, rel=1e-15)
    assert centroid(ring) == pytest.approx(7 - 2j, abs=1e-14)
    assert extents(ring) == pytest.approx((4 - 5j, 10 + 1j), abs=1e-14)


def test_a_nearly_straight_arc_keeps_its_digits() -> None:
    """Segment area of a flat arc is 2/3 chord x sagitta."""
    flat = contour_of(np.array([0j, 10 + 0j]), [2e-5, 0.0])
    assert area(flat) == pytest.approx(2.0 / 3.0 * 10.0 * 1e-4, rel=1e-8)


def test_facets_agree() -> None:
    for contour in random_belts(many(200), 3):
        polygon = faceted(contour)
        assert area(contour) == pytest.approx(polygon.area, rel=1e-6)
        assert perimeter(contour) == pytest.approx(polygon.length, rel=1e-6)
        middle = polygon.centroid
        assert centroid(contour) == pytest.approx(middle.x + 1j * middle.y, abs=1e-3)
        low, high = extents(contour)
        assert (low.real, low.imag, high.real, high.imag) == pytest.approx(
            polygon.bounds, abs=1e-4
        )


def test_turned_mirrored_and_scaled() -> None:
    turn = 2.5 * np.exp(0.7j)
    for contour in random_belts(many(100), 4):
        other = moved(contour, turn=turn, shift=11 - 7j)
        assert area(other) == pytest.approx(6.25 * area(contour), rel=1e-12)
        assert perimeter(other) == pytest.approx(2.5 * perimeter(contour), rel=1e-12)
        assert centroid(other) == pytest.approx(
            centroid(contour) * turn + 11 - 7j, abs=1e-9
        )
        flipped = mirrored(contour)
        assert area(flipped) == pytest.approx(area(contour), rel=1e-12)
        assert centroid(flipped) == pytest.approx(np.conj(centroid(contour)), abs=1e-9)

"""Things in the way: a cylinder's box, floors and walls as solids, convex pieces."""

import numpy as np
import pytest
import shapely

from linkage.footwell.shapes import hulls_of, outline_points, triangles
from linkage.footwell.things import Thing, things_of
from solvers.jet import value
from solvers.plane.measure import area, extents
from solvers.plane.pieces import contour_of
from tests.cases_count import many
from tests.linkage.footwell.rooms import FULL, resting
from tests.solvers.plane.outlines import faceted, random_belts


def named(name: str, text: str = FULL) -> Thing:
    return next(each for each in things_of(resting(text)) if each.name == name)


def test_a_cylinder_is_a_box_round_its_bore_and_stroke() -> None:
    """From its face at 30 to the seat at 41, 1.4 in of stroke and 24 more; 3/4 in."""
    (box,) = named("cylinder").outlines()
    low, high = extents(box)
    half = 0.5 * 0.75 * 25.4 + 7.0
    assert low == pytest.approx(complex(30.0, 490.0 - half))
    assert high == pytest.approx(complex(41.0 + 1.4 * 25.4 + 24.0, 490.0 + half))
    assert area(box) > 0.0


def test_a_pulled_cylinder_lies_behind_its_face() -> None:
    pulled = FULL.replace('stroke = "1.4 in"', "pull = true\ngland = 9").replace(
        "face = [30, 490]\ndepth = 11", "seat = [-300, 490]"
    )
    (box,) = named("cylinder", pulled).outlines()
    low, high = extents(box)
    assert high.real == pytest.approx(-300.0 + 12.0)
    assert low.real == pytest.approx(-300.0 - 30.0 - 24.0)


def test_floor_and_bulkhead_are_solid_on_the_far_side() -> None:
    (floor,) = named("floor").outlines()
    assert abs(area(floor)) == pytest.approx(2e7)
    assert extents(floor)[1].imag == 0.0
    (wall,) = named("bulkhead").outlines()
    low, high = extents(wall)
    assert (low.real, high.real) == (-20.0, 1060.0)
    assert (low.imag, high.imag) == (0.0, 700.0)


def covered(contour: np.ndarray) -> float:
    """Area of the union of the hulls of an outline, arcs left out."""
    parts = [
        shapely.MultiPoint(
            [(z.real, z.imag) for z in (complex(value(c)) for c in hull.centres)]
        ).convex_hull
        for hull in hulls_of(contour)
    ]
    return float(shapely.union_all(parts).area)


def test_hulls_of_a_hollow_outline_cover_it_and_no_more() -> None:
    for contour in random_belts(many(60), 81):
        hulls = hulls_of(contour)
        whole = faceted(contour, 1e-2)
        if len(hulls) > 1:  # chords lie 0.1 within their arcs, or beyond them
            room = 0.1 * whole.length
            assert covered(contour) == pytest.approx(whole.area, abs=room)


def test_triangles_cover_a_polygon_once() -> None:
    rng = np.random.default_rng(82)
    for _ in range(many(100)):
        n = int(rng.integers(3, 12))
        turn = 2.0 * np.pi * (np.arange(n) + rng.uniform(0.0, 0.9, n)) / n
        points = rng.uniform(5.0, 40.0, n) * np.exp(1j * turn)
        polygon = shapely.Polygon(np.column_stack([points.real, points.imag]))
        parts = [
            shapely.Polygon([(p.real, p.imag) for p in corners])
            for corners in triangles(points)
        ]
        assert len(parts) == n - 2
        assert sum(part.area for part in parts) == pytest.approx(polygon.area)
        assert shapely.union_all(parts).area == pytest.approx(polygon.area)


def test_a_line_is_cut_into_its_pieces_once() -> None:
    chain = contour_of(np.array([0, 10, 10 + 10j, 10]))
    hulls = hulls_of(chain)
    assert [hull.centres for hull in hulls] == [(0j, 10 + 0j), (10 + 0j, 10 + 10j)]


def test_points_for_a_drawing_lie_on_the_outline() -> None:
    for contour in random_belts(many(20), 83):
        ring = faceted(contour, 1e-3).exterior
        for p in outline_points(contour):
            assert ring.distance(shapely.Point(p.real, p.imag)) < 1e-3

"""Inside, gaps and meetings: worked cases, symmetry, and shapely's facets."""

import itertools
import math

import numpy as np
import pytest
import shapely

from solvers.plane.belt import belt
from solvers.plane.pieces import (
    Contour,
    circle,
    contour_of,
    mirrored,
    moved,
    pieces_of,
)
from solvers.plane.relate import gap, inside, piece_gaps, self_meetings
from tests.cases_count import many
from tests.solvers.plane.outlines import faceted, random_belts


def test_inside_agrees_with_facets() -> None:
    rng = np.random.default_rng(9)
    for contour in random_belts(many(100), 10):
        points = rng.uniform(-200, 200, 400) + 1j * rng.uniform(-200, 200, 400)
        polygon = faceted(contour, 1e-2)
        spots = shapely.points(points.real, points.imag)
        clear = shapely.distance(polygon.exterior, spots) > 1e-2
        there = np.asarray(shapely.contains(polygon, spots))
        np.testing.assert_array_equal(inside(contour, points)[clear], there[clear])


def test_inside_settles_points_level_with_the_corners() -> None:
    """A ray through corners and along edges must count each of them once."""
    plate = contour_of(np.array([0, 4, 4 + 4j, 4j]), [1.0, 0.0, -0.5, 0.0])
    heights = [-1.0, 0.0, 2.9, 3.1, 4.0]
    got = inside(plate, np.array([2 + 1j * z for z in heights]))
    np.testing.assert_array_equal(got, [True, True, True, False, False])
    assert inside(plate, [[2 + 2j, -1 + 0j], [5 + 4j, 3.9 + 3.8j]]).tolist() == [
        [True, False],
        [False, True],
    ]


def test_inside_of_a_long_arc() -> None:
    """An arc of 270 degrees in one piece: its lens is more than half the disc."""
    wide = contour_of(np.array([1, -1j]), [math.tan(math.radians(67.5)), 0.0])
    got = inside(wide, [0.99j, -0.99, 0, 0.55 - 0.55j, 0.45 - 0.45j])
    np.testing.assert_array_equal(got, [True, True, True, False, True])


def dome(centre: complex, radius: float) -> Contour:
    """Upper half of a disc."""
    return contour_of(np.array([centre + radius, centre - radius]), [1.0, 0.0])


@pytest.mark.parametrize(
    ("a", "b", "far"),
    [
        (circle(0, 5), circle(12, 4), 3.0),
        (circle(0, 5), circle(1, 2), 2.0),
        (circle(0, 5), circle(0, 2), 3.0),
        (circle(0, 5), circle(8, 4), 0.0),
        (circle(0, 5), belt([12 - 20j, 12 + 20j], 2.0), 5.0),
        (belt([0, 30], 5.0), belt([0 + 20j, 30 + 24j], 5.0), None),
        (belt([0, 30], 5.0), belt([15 - 20j, 15 + 20j], 5.0), 0.0),
        (belt([0, 30], 5.0), circle(15, 3), 2.0),
        (belt([0, 30], 5.0), circle(33, 1.5), 0.5),
        (dome(0, 50.0), dome(40j, 5.0), 5.0),
    ],
)
def test_gaps(a: Contour, b: Contour, far: float | None) -> None:
    want = faceted(a).exterior.distance(faceted(b).exterior) if far is None else far
    assert gap(a, b) == pytest.approx(want, abs=1e-12 if far is not None else 1e-5)
    assert gap(b, a) == gap(a, b)


def test_gaps_agree_with_facets() -> None:
    rng = np.random.default_rng(11)
    belts = list(random_belts(2 * many(200), 12))
    for a, b in itertools.pairwise(belts):
        scale = rng.uniform(0.1, 0.4) * np.exp(1j * rng.uniform(0, 6.3))
        other = moved(b, turn=scale, shift=complex(*rng.uniform(-200, 200, 2)))
        want = faceted(a, 3e-3).exterior.distance(faceted(other, 3e-3).exterior)
        assert gap(a, other) == pytest.approx(want, abs=2e-4)


def test_piece_gaps_are_symmetric() -> None:
    a, b = (pieces_of(contour) for contour in random_belts(2, 13))
    np.testing.assert_allclose(piece_gaps(a, b), piece_gaps(b, a).T, atol=1e-12)


def test_gap_keeps_under_turning_and_mirroring() -> None:
    belts = list(random_belts(many(100), 14))
    for a, b in itertools.pairwise(belts):
        small = moved(b, turn=0.2, shift=150 + 90j)
        want = gap(a, small)
        turned = [moved(c, turn=np.exp(1.1j), shift=3 - 8j) for c in (a, small)]
        assert gap(*turned) == pytest.approx(want, abs=1e-10)
        assert gap(mirrored(a), mirrored(small)) == pytest.approx(want, abs=1e-10)


BOW = contour_of(np.array([0, 10, 2j, 10 + 2j]))
DOUBLED = contour_of(np.array([0, 10, 10 + 5j, 10, 5 - 5j]))
TOUCHING = contour_of(np.array([0, 20, 20 + 9j, 10, 9j]))
LOBED = contour_of(np.array([0, 10, 10 + 4j, 4j]), [-1.2, 0, -1.2, 0])
#: Goes round a third of a circle, and half of that back on the same circle.
RETRACED = contour_of(
    np.exp(1j * np.radians([0.0, 120.0, 60.0])),
    [math.tan(math.radians(30)), -math.tan(math.radians(15)), 0.0],
)
#: There and back on the same way: no crossing anywhere, only the middle tells.
FLAT = contour_of(np.array([0, 10]), [0.5, -0.5])
BACK = contour_of(np.array([0, 10, 5, 5 + 5j]))


@pytest.mark.parametrize(
    "contour", [BOW, DOUBLED, TOUCHING, LOBED, BACK, RETRACED, FLAT], ids=range(7)
)
def test_a_contour_that_meets_itself(contour: Contour) -> None:
    assert len(self_meetings(contour)) > 0
    assert len(self_meetings(moved(contour, turn=0.3 + 2j, shift=7 + 7j))) > 0


def test_sound_contours_do_not_meet_themselves() -> None:
    square = contour_of(np.array([0, 10, 10 + 10j, 10j]))
    for contour in (square, circle(3 + 2j, 7.0), belt([0, 30], 5.0)):
        assert self_meetings(contour).shape == (0, 2)
    for contour in random_belts(many(200), 15):
        assert faceted(contour, 1e-2).is_valid
        assert self_meetings(contour).shape == (0, 2)

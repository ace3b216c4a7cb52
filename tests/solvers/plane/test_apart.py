"""Signed gaps: worked cases, shapely's facets, laws, and the derivative of a gap.

The second roads: distances of finely faceted outlines by shapely, and for overlaps a
walk in every direction with shapely telling where the two are apart.
"""

import itertools
import math

import numpy as np
import pytest
import shapely
import shapely.affinity

from solvers.lowest import lowest
from solvers.plane.apart import Motion, anticlockwise, apart, carried, doubled
from solvers.plane.belt import belt
from solvers.plane.measure import area
from solvers.plane.pieces import Contour, circle, contour_of, mirrored, moved
from tests.cases_count import many
from tests.solvers.plane.outlines import faceted, random_belts

SQUARE = contour_of(np.array([0, 10, 10 + 10j, 10j]))
ROD = doubled(np.array([-5 + 4j, 15 + 4j]))
#: A thin quarter of a circle of radius 10, its middle straight above the origin.
BOW = doubled(
    np.array([1 + 1j, -1 + 1j], complex) * math.sqrt(50.0), math.tan(np.pi / 8.0)
)
#: A horseshoe open upwards, its inside a true half circle of radius 10.
SHOE = contour_of(
    np.array([-20, 20, 20 + 30j, 10 + 30j, -10 + 30j, -20 + 30j]),
    [0, 0, 0, -1.0, 0, 0],
)


@pytest.mark.parametrize(
    ("a", "b", "gap"),
    [
        (circle(20 + 5j, 3), SQUARE, 7.0),
        (circle(13 + 14j, 3), SQUARE, 2.0),
        (circle(5 + 12j, 3), SQUARE, -1.0),
        (circle(5 + 8j, 1), SQUARE, -3.0),
        (circle(9 + 9.5j, 0.25), SQUARE, -0.75),
        (circle(0, 5), circle(8, 4), -1.0),
        (circle(0, 2), circle(1, 9), -10.0),
        (ROD, SQUARE, -4.0),
        (belt([-50, 50], 5.0), circle(2j, 20), -23.0),
        (circle(28j, 4), SHOE, 6.0 - 2.0),
        (circle(24j, 4), SHOE, 0.0),
        (circle(23.5j, 4), SHOE, -0.5),
        (moved(SQUARE, shift=8 + 3j), SQUARE, -2.0),
        (moved(BOW, turn=0.5, shift=2j), BOW, 3.0),
    ],
)
def test_worked_gaps(a: Contour, b: Contour, gap: float) -> None:
    for one, other in ((a, b), (b, a), (contour_of(*_reversed(a)), b)):
        got = apart(one, other)
        assert float(got.gap) == pytest.approx(gap, abs=1e-9)
        assert abs(got.b - got.a) == pytest.approx(abs(gap), abs=1e-9)


def pairs(count: int, seed: int, reach: float) -> list[tuple[Contour, Contour]]:
    rng = np.random.default_rng(seed)
    belts = list(random_belts(count + 1, seed + 1))
    return [
        (
            a,
            moved(
                b,
                turn=rng.uniform(0.1, 0.4) * np.exp(1j * rng.uniform(0, 6.3)),
                shift=complex(*rng.uniform(-reach, reach, 2)),
            ),
        )
        for a, b in itertools.pairwise(belts)
    ]


def test_gaps_agree_with_facets() -> None:
    """And the points lie on the outlines, as far apart as the gap says."""
    met = 0
    for a, b in pairs(many(200), 31, 250.0):
        got = apart(a, b)
        one, two = faceted(a, 3e-3), faceted(b, 3e-3)
        want = one.distance(two)
        met += want > 0.0
        assert max(float(got.gap), 0.0) == pytest.approx(want, abs=2e-4)
        assert abs(got.b - got.a) == pytest.approx(abs(float(got.gap)), abs=1e-9)
        for outline, p in ((one, got.a), (two, got.b)):
            if want > 0.0:
                spot = shapely.Point(float(p.real), float(p.imag))
                assert outline.exterior.distance(spot) < 2e-4
    assert met > many(200) // 4


def walked(a: Contour, b: Contour, ways: int) -> float:
    """Least of the moves, in some directions, after which two convex outlines part."""
    one, two = faceted(a, 2e-2), faceted(b, 2e-2)
    best = math.inf
    for turn in np.linspace(0.0, 2.0 * np.pi, ways, endpoint=False):
        x, z = math.cos(turn), math.sin(turn)
        low, high = 0.0, 600.0
        while high - low > 1e-3:
            half = 0.5 * (low + high)
            there = shapely.affinity.translate(one, half * x, half * z)
            low, high = (half, high) if there.intersects(two) else (low, half)
        best = min(best, high)
    return best


def test_overlaps_of_convex_outlines_agree_with_a_walk() -> None:
    rng = np.random.default_rng(33)
    for _ in range(many(30)):
        a, b = (
            belt(
                rng.uniform(20, 80) * np.exp(2j * np.pi * (np.arange(n) / n)),
                rng.uniform(4, 20),
            )
            for n in rng.integers(2, 6, 2)
        )
        b = moved(b, turn=np.exp(1j * rng.uniform(0, 6)), shift=rng.uniform(0, 30))
        want = walked(a, b, 240)
        got = -float(apart(a, b).gap)
        # The walk's directions are 1.5 degrees apart, so it may only be too long.
        assert want - 0.02 * (1.0 + want) <= got <= want + 0.02


def test_a_move_by_the_overlap_parts_them_and_less_does_not() -> None:
    for a, b in pairs(many(60), 35, 90.0):
        got = apart(a, b)
        if got.gap >= 0.0:
            continue
        way = complex(got.b - got.a)
        assert apart(moved(a, shift=way * (1 + 1e-6)), b).gap >= 0.0
        assert apart(moved(a, shift=way * 0.999), b).gap < 0.0


def test_gaps_keep_under_turning_mirroring_and_grow_with_size() -> None:
    for a, b in pairs(many(100), 37, 200.0):
        want = float(apart(a, b).gap)
        turned = [moved(c, turn=np.exp(1.1j), shift=3 - 8j) for c in (a, b)]
        assert float(apart(turned[0], turned[1]).gap) == pytest.approx(want, abs=1e-9)
        if want > 0.0:
            assert float(apart(mirrored(a), mirrored(b)).gap) == pytest.approx(want)
            assert float(apart(b, a).gap) == pytest.approx(want)
        scaled = [moved(c, turn=2.5) for c in (a, b)]
        assert float(apart(scaled[0], scaled[1]).gap) == pytest.approx(
            2.5 * want, abs=1e-8
        )


def test_many_places_are_the_same_as_one_after_another() -> None:
    angles = np.linspace(-1.0, 2.0, 7)
    to = np.array([30 - 20j + k * (5 + 5j) for k in range(7)])
    for a, b in pairs(many(50), 39, 160.0):
        got = apart(a, b, Motion(turn=np.exp(1j * angles), about=30 - 20j, to=to))
        for k, angle in enumerate(angles):
            turned = moved(
                moved(a, shift=-30 + 20j), turn=np.exp(1j * angle), shift=complex(to[k])
            )
            one = apart(turned, b)
            assert got.gap[k] == pytest.approx(float(one.gap), abs=1e-9)
            if one.gap > 1e-6:
                assert abs(got.a[k] - one.a) < 1e-6


def test_the_gap_runs_through_the_touch_without_a_jump() -> None:
    for a, b in pairs(many(10), 41, 150.0):
        far = np.linspace(0.0, 300.0, 151)
        gaps = [float(apart(moved(a, shift=-150j + 1j * s), b).gap) for s in far]
        assert np.max(np.abs(np.diff(gaps))) <= 2.0 + 1e-6 or min(gaps) < -5.0
        small = [g for g in gaps if abs(g) < 3.0]
        steps = [abs(y - x) for x, y in itertools.pairwise(gaps) if abs(x) < 3.0]
        assert not small or max(steps) <= 2.0 + 1e-6


def test_the_least_gap_of_a_swing_is_that_of_a_fine_brute_force() -> None:
    """The place is refined: no grid of 20 000 places has a lower one."""
    for a, b in pairs(many(10), 43, 200.0):

        def gap(x: np.ndarray, a: Contour = a, b: Contour = b) -> np.ndarray:
            return np.asarray(
                apart(a, b, Motion(turn=np.exp(1j * x), about=40 + 10j)).gap
            )

        x, y = lowest(gap, 0.0, 0.6)
        grid = gap(np.linspace(0.0, 0.6, 501))
        assert y <= grid.min() + 1e-9
        assert y >= grid.min() - 0.6 / 500 * 400.0
        assert float(gap(np.array([x]))[0]) == y


def test_a_chain_there_and_back_has_no_inside() -> None:
    chain = doubled(np.array([0, 10, 10 + 10j]), [0.0, 0.5])
    assert area(chain) == pytest.approx(0.0, abs=1e-12)
    assert float(apart(circle(5 + 3j, 1.0), chain).gap) == pytest.approx(2.0)
    assert carried(chain, Motion(turn=np.ones(3, complex))).start.shape == (3, 4)


def test_anticlockwise_keeps_the_outline() -> None:
    for contour in random_belts(many(20), 45):
        back = anticlockwise(contour_of(*_reversed(contour)))
        assert area(back) == pytest.approx(area(contour))
        assert area(anticlockwise(contour)) == area(contour)


def _reversed(contour: Contour) -> tuple[np.ndarray, np.ndarray]:
    points = (contour[:, 0] + 1j * contour[:, 1])[::-1]
    return points, -np.roll(contour[::-1, 2], -1)

"""Signed gaps of convex hulls: the exact outlines, and finite differences, judge."""

import numpy as np
import pytest

from solvers.jet import Jet, seed
from solvers.plane.apart import apart, doubled
from solvers.plane.belt import belt
from solvers.plane.hulls import HalfPlane, Hull, bound, gap, least
from solvers.plane.pieces import Contour, circle, contour_of
from tests.cases_count import many

Discs = tuple[np.ndarray, np.ndarray]


def random_discs(rng: np.random.Generator) -> Discs:
    """One disc, a tapered bar, or three to five discs round a middle."""
    n = int(rng.integers(1, 6))
    if n == 2:
        return np.array([0, rng.uniform(30, 80)], complex), rng.uniform(3, 15, 2)
    turn = 2.0 * np.pi * (np.arange(n) + rng.uniform(0, 0.5)) / n
    size = rng.uniform(30, 70) if n > 1 else 0.0
    return size * np.exp(1j * turn), np.full(n, rng.uniform(2, 15))


def placed(discs: Discs, rng: np.random.Generator, reach: float) -> Discs:
    turn = np.exp(1j * rng.uniform(0, 6.3))
    return discs[0] * turn + complex(*rng.uniform(-reach, reach, 2)), discs[1]


def hull(discs: Discs) -> Hull:
    return Hull(tuple(discs[0]), tuple(discs[1]))


def outline(discs: Discs) -> Contour:
    return belt(discs[0], discs[1])


def test_hulls_agree_with_their_outlines_apart_and_overlapping() -> None:
    rng = np.random.default_rng(51)
    signs = set()
    for _ in range(many(400)):
        a, b = random_discs(rng), placed(random_discs(rng), rng, 110.0)
        got = float(gap(hull(a), hull(b)).v)
        assert got == pytest.approx(float(apart(outline(a), outline(b)).gap), abs=1e-8)
        assert got == pytest.approx(float(gap(hull(b), hull(a)).v), abs=1e-9)
        assert float(bound(hull(a), hull(b))) <= got + 1e-9
        signs.add(got > 0.0)
    assert signs == {True, False}


def test_corners_have_no_radius() -> None:
    square = Hull((0, 10, 10 + 10j, 10j), (0.0,) * 4)
    edge = contour_of(np.array([0, 10, 10 + 10j, 10j]))
    for at in (5 + 14j, 13 + 14j, 5 + 8j, -3 + 5j, 9 + 9.5j):
        want = float(apart(circle(at, 2.0), edge).gap)
        assert float(gap(Hull((at,), (2.0,)), square).v) == pytest.approx(want)
    rod = Hull((-5 + 4j, 15 + 4j), (0.0, 0.0))
    line = doubled(np.array([-5 + 4j, 15 + 4j]))
    assert float(gap(rod, square).v) == pytest.approx(float(apart(line, edge).gap))


def test_of_a_disc_only_an_arc_may_be_meant() -> None:
    """Upper half of a disc, flat below: from below it is met on its flat side."""
    dome = Hull((5, 0, -5), (0.0, 5.0, 0.0), (None, (0.0, np.pi), None))
    edge = contour_of(np.array([5, -5], complex), [1.0, 0.0])
    for at in (12j, 9 + 9j, -3 - 4j, 8 - 2j, 2 + 1j):
        want = float(apart(circle(at, 1.0), edge).gap)
        assert float(gap(Hull((at,), (1.0,)), dome).v) == pytest.approx(want)


def test_a_half_plane_is_met_by_the_lowest_point() -> None:
    rng = np.random.default_rng(52)
    floor = HalfPlane(7j, 1j)
    slab = contour_of(np.array([-1e4 + 7j, -1e4 - 1e3j, 1e4 - 1e3j, 1e4 + 7j]))
    for _ in range(many(50)):
        a = placed(random_discs(rng), rng, 80.0)
        want = float(apart(outline(a), slab).gap)
        assert float(gap(hull(a), floor).v) == pytest.approx(want, abs=1e-9)


def seeded(discs: Discs, first: int, count: int) -> Hull:
    """Make every centre's x and z, and every radius, a parameter."""
    centres, radii = [], []
    for k, (c, r) in enumerate(zip(*discs, strict=True)):
        at = first + 3 * k
        x, z = (
            seed(np.array([[c.real]]), at, count),
            seed(np.array([[c.imag]]), at + 1, count),
        )
        centres.append(x + 1j * z)
        radii.append(seed(np.array([[r]]), at + 2, count))
    return Hull(tuple(centres), tuple(radii))


def test_the_derivative_is_that_of_finite_differences() -> None:
    rng = np.random.default_rng(53)
    for _ in range(many(100)):
        a, b = random_discs(rng), placed(random_discs(rng), rng, 110.0)
        count = 3 * (len(a[0]) + len(b[0]))
        got = gap(seeded(a, 0, count), seeded(b, 3 * len(a[0]), count))
        assert got.g is not None
        for k in range(count):
            up, down = (_nudged(a, b, k, h) for h in (1e-5, -1e-5))
            want = (float(gap(*up).v) - float(gap(*down).v)) / 2e-5
            assert float(got.g[k].ravel()[0]) == pytest.approx(want, abs=1e-6)


def _nudged(a: Discs, b: Discs, k: int, step: float) -> tuple[Hull, Hull]:
    both = [(c.copy(), r.copy()) for c, r in (a, b)]
    disc, what = divmod(k, 3)
    one = both[0] if disc < len(a[0]) else both[1]
    disc -= 0 if disc < len(a[0]) else len(a[0])
    one[what == 2][disc] += step * (1j if what == 1 else 1.0)
    return hull(both[0]), hull(both[1])


def test_many_layouts_are_the_same_as_one_after_another() -> None:
    rng = np.random.default_rng(54)
    at = rng.uniform(-90, 90, (5, 7)) + 1j * rng.uniform(-90, 90, (5, 7))
    fixed = hull(random_discs(rng))
    got = gap(Hull((at, at + 40), (9.0, 4.0)), fixed).v
    for k in np.ndindex(5, 7):
        one = gap(Hull((at[k], at[k] + 40), (9.0, 4.0)), fixed)
        assert got[k] == pytest.approx(float(one.v), abs=1e-12)


def test_the_least_keeps_the_derivative_of_its_own() -> None:
    a, b = (
        Jet(np.array([1.0, 5.0]), np.array([10.0, 10.0])),
        Jet(np.array([3.0, 3.0]), np.array([20.0, 20.0])),
    )
    got = least([a, b])
    assert got.v.tolist() == [1.0, 3.0]
    assert got.t.tolist() == [10.0, 20.0]

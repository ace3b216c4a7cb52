"""Layouts moved into their bands, held against known sets and a reference solver."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import least_squares

from solvers.bands import Bands
from solvers.lm import meet
from solvers.screen import scatter
from solvers.search import Effort, gather, seek
from tests.solvers.planes import RING, Matrix, Smooth, bands, stack

LINE = Smooth(size=3, f=lambda u: stack(u[:, 0] + 2.0 * u[:, 1] - u[:, 2]))
TWISTED = Smooth(
    size=4,
    f=lambda u: stack(
        np.sin(3.0 * u[:, 0]) + u[:, 1] ** 2,
        u[:, 2] * np.exp(u[:, 3]),
        u[:, 0] * u[:, 3] - u[:, 1],
    ),
)


def test_misses_are_signed_and_in_units() -> None:
    wanted = bands((0.0, 1.0), (-np.inf, 2.0), (-np.inf, np.inf), unit=0.5)
    miss = wanted.miss(np.array([[1.5, 3.0, np.nan], [-1.0, -9.0, 7.0]]))
    np.testing.assert_array_equal(miss, [[1.0, 2.0, 0.0], [-2.0, 0.0, 0.0]])
    assert wanted.met(np.array([0.5, 2.0, np.nan]))
    assert not wanted.met(np.array([np.nan, 2.0, 0.0]))


def test_margins_and_shrinking_say_the_same() -> None:
    """A value with margin d meets bands shrunk by a little less, not a little more."""
    wanted = bands((0.0, 1.0), (-np.inf, 2.0), unit=0.1)
    y = np.array([[0.3, 1.9], [0.5, 0.0], [1.2, 0.0]])
    margin = wanted.margin(y).min(axis=1)
    np.testing.assert_allclose(margin, [1.0, 5.0, -2.0])
    assert all(wanted.shrunk(d - 1e-9).met(v) for d, v in zip(margin, y, strict=True))
    assert not wanted.shrunk(1.001).met(y[0])
    assert wanted.shrunk(-2.001).met(y[2])


def test_shrunk_beyond_the_middle_stays_in_the_middle() -> None:
    tight = bands((0.2, 0.4), unit=1.0).shrunk(5.0)
    np.testing.assert_allclose([tight.low, tight.high], 0.3)


@pytest.mark.parametrize(
    "problem", [LINE, TWISTED, RING], ids=["line", "twist", "ring"]
)
def test_what_is_met_lies_in_bands_and_box(problem: Smooth) -> None:
    starts = scatter(64, problem.size)
    goal = problem(scatter(1, problem.size, 7))[0]
    wanted = bands(*[(v - 0.001, v + 0.001) for v in goal], unit=0.001)
    landed = meet(problem, wanted, starts)
    assert landed.met.sum() > 32
    assert landed.u.min() >= 0.0
    assert landed.u.max() <= 1.0
    np.testing.assert_array_equal(landed.y, problem(landed.u))
    np.testing.assert_array_equal(landed.met, wanted.met(landed.y))


@pytest.mark.parametrize("mirrored", [False, True])
def test_unmet_ends_where_a_reference_solver_ends(*, mirrored: bool) -> None:
    """Rows that fight: the compromise is the bounded least-squares one."""
    wanted = bands((1.9, 1.9), (0.0, 0.0), (0.9, 0.9), unit=1.0)
    problem = Smooth(size=4, f=lambda u: TWISTED.f(1.0 - u)) if mirrored else TWISTED
    landed = meet(problem, wanted, scatter(24, 4), steps=60)

    def miss(x: Matrix) -> Matrix:
        return np.asarray(problem(x[None])[0] - wanted.low)

    assert not landed.met.any()
    got = (wanted.miss(landed.y) ** 2).sum(axis=1).min()
    best = min(
        2.0 * least_squares(miss, start, bounds=(0.0, 1.0)).cost
        for start in scatter(8, 4)
    )
    assert got == pytest.approx(best, rel=1e-2)


def test_coordinates_held_by_the_box_do_not_stop_the_others() -> None:
    """The way leads along an upper wall, one row pushing hard against it."""
    wall = Smooth(
        size=2, f=lambda u: stack(50.0 * (u[:, 0] + 0.9 * u[:, 1]), u[:, 0] + u[:, 1])
    )
    wanted = bands((120.0, 120.0), (1.95, 1.95), unit=1.0)
    landed = meet(wall, wanted, np.array([[1.0, 0.1]]), steps=1)
    np.testing.assert_allclose(landed.u, 1.0, atol=1e-9)


def test_no_step_leads_into_a_hole() -> None:
    def hole(u: Matrix) -> NDArray[np.bool_]:
        return np.asarray(np.linalg.norm(u - 0.5, axis=1) < 0.2)

    holed = Smooth(size=2, f=lambda u: stack(u[:, 0], u[:, 1]), hole=hole)
    wanted = bands((0.8, 0.81), (0.5, 0.51))
    landed = meet(holed, wanted, np.array([[0.1, 0.45], [0.5, 0.5], [0.9, 0.9]]))
    assert landed.met.tolist()[2]
    assert not landed.met[1]
    np.testing.assert_array_equal(landed.u[1], [0.5, 0.5])
    assert np.isfinite(landed.y[[0, 2]]).all()


def test_rows_that_nobody_looks_at_may_be_nan() -> None:
    half = Smooth(
        size=2,
        f=lambda u: stack(u[:, 0], np.where(u[:, 1] > 0.5, np.nan, u[:, 1])),
    )
    wanted = bands((0.3, 0.31), (-np.inf, np.inf))
    assert meet(half, wanted, np.array([[0.9, 0.9]])).met.all()


def test_each_layout_may_have_bands_of_its_own() -> None:
    goals = np.linspace(0.01, 0.2, 8)
    one = bands((0.0, 0.0), unit=0.001)
    each = one.put(0, goals - 1e-4, goals + 1e-4)
    landed = meet(RING, each, np.full((8, 2), 0.7))
    assert landed.met.all()
    np.testing.assert_allclose(landed.y[:, 0], goals, atol=1e-4)


def test_a_search_finds_a_needle_and_is_the_same_twice() -> None:
    needle = Smooth(
        size=5,
        f=lambda u: stack(((u - 0.83) ** 2).sum(axis=1), u[:, 0] - u[:, 1]),
    )
    wanted = bands((-1.0, 1e-6), (-1e-4, 1e-4), unit=1e-4)
    one = seek(needle, wanted, seed=4)
    two = seek(needle, wanted, seed=4)
    assert one.met.any()
    np.testing.assert_array_equal(one.u, two.u)
    assert seek(needle, wanted, first=True).met.any()


def test_a_search_starts_from_what_it_is_given() -> None:
    here = np.array([[0.25, 0.75]])
    wanted = Bands(
        low=np.array([0.125 - 1e-9]), high=np.array([0.125 + 1e-9]), unit=np.ones(1)
    )
    landed = seek(RING, wanted, also=here, effort=Effort(points=64, starts=4))
    np.testing.assert_array_equal(landed.u[0], here[0])
    assert landed.met[0]
    assert len(gather([landed, landed]).u) == 2 * len(landed.u)


def test_nothing_to_start_from_is_nothing_met() -> None:
    void = Smooth(
        size=2, f=lambda u: stack(u[:, 0]), hole=lambda u: np.ones(len(u), bool)
    )
    landed = seek(void, bands((0.0, 1.0)))
    assert not landed.met.any()

"""First zeros against functions whose zeros are known."""

import math
from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import brentq

from solvers.root import first_fall, first_zero
from tests.cases_count import many

Array = NDArray[np.float64]


def test_first_of_several() -> None:
    assert first_zero(lambda x: np.cos(x), 0.0, 20.0) == pytest.approx(
        math.pi / 2, abs=1e-14
    )


def test_none_where_it_stays_above() -> None:
    assert first_zero(lambda x: 1.0 + x * x, 0.0, 3.0) is None


def test_the_end_itself_counts() -> None:
    assert first_zero(lambda x: 1.0 - x, 0.0, 1.0) == pytest.approx(1.0, abs=1e-15)


def test_gone_is_a_zero_just_before_nan() -> None:
    def f(x: Array) -> Array:
        with np.errstate(invalid="ignore"):
            return np.sqrt(0.7 - x) + 0.1

    assert first_zero(f, 0.0, 3.0) == pytest.approx(0.7, abs=1e-14)


def test_a_dip_between_two_points_of_the_look() -> None:
    """Below zero over a stretch of 2e-4 of 10: no point of the look falls there."""

    def f(x: Array) -> Array:
        return (x - 3.33333) ** 2 - 1e-8

    assert first_zero(f, 0.0, 10.0) == pytest.approx(3.33333 - 1e-4, abs=1e-12)


def test_a_zero_at_the_start_is_no_answer() -> None:
    assert first_zero(lambda x: x * (2.0 - x), 0.0, 3.0) == pytest.approx(
        2.0, abs=1e-13
    )


def counted(f: Callable[[Array], Array]) -> tuple[Callable[[Array], Array], list[int]]:
    """Return a function that keeps how many places it was asked for, call by call."""
    calls: list[int] = []

    def asked(x: Array) -> Array:
        calls.append(len(x))
        return f(x)

    return asked, calls


@pytest.mark.parametrize("close", [1e-3, 1e-6, 1e-9])
def test_what_is_close_is_found_with_fewer_looks(close: float) -> None:
    """An answer lies at the zero or behind it, by no more than was allowed."""
    x = np.linspace(0.0, 3.0, 31)
    looks = []
    for near in (0.0, close):
        f, calls = counted(np.cos)
        found = first_fall(f, x, np.cos(x), near)
        assert found is not None
        assert -1e-15 <= found - math.pi / 2 <= near + 1e-15
        looks.append(len(calls))
    assert looks[1] < looks[0]


def test_samples_that_leave_no_way_through_zero_are_believed() -> None:
    x = np.linspace(0.0, 2.0 * math.pi, 101)
    f, calls = counted(lambda x: 2.0 + np.cos(x))
    assert first_fall(f, x, f(x)) is None
    assert len(calls) == 1


def test_samples_above_a_dip_between_them_are_looked_at_closer() -> None:
    """All four are above zero; the parabola through three of them is not."""
    x = np.array([0.0, 1.0, 2.0, 3.0])

    def f(x: Array) -> Array:
        return (x - 1.5) ** 2 - 0.01

    assert (f(x) > 0.0).all()
    assert first_fall(f, x, f(x)) == pytest.approx(1.4, abs=1e-14)


def test_samples_bracket_a_zero_as_well_as_a_look_does() -> None:
    x = np.linspace(0.0, 5.0, 101)

    def f(x: Array) -> Array:
        return np.cos(x) - 0.3 * x

    found = first_fall(f, x, f(x))
    assert found == pytest.approx(first_zero(f, 0.0, 5.0), abs=1e-14)
    second = brentq(lambda x: math.cos(x) - 0.3 * x, 1.0, 2.0, xtol=1e-15)
    assert found == pytest.approx(second, abs=1e-14)


def test_a_smooth_zero_is_found_in_few_rounds() -> None:
    """An even split of each round's places in 33 takes eleven."""
    f, calls = counted(lambda x: np.exp(-x) * np.cos(x))
    assert first_zero(f, 0.0, 3.0) == pytest.approx(math.pi / 2, abs=1e-14)
    assert len(calls) <= 5


@pytest.mark.parametrize("power", [1, 3, 5, 9])
def test_flat_and_steep_zeros_are_closed_in_on(power: int) -> None:
    """However a guess misleads: places are of double precision on both sides."""
    for root in np.random.default_rng(power).uniform(0.1, 0.9, many(200)):
        for f in (
            lambda x, root=root: (root - x) ** power,
            lambda x, root=root: np.cbrt(root - x),
            lambda x, root=root: np.where(x < root, 1.0, -1e-9),
        ):
            found = first_zero(f, 0.0, 1.0)
            assert found == pytest.approx(root, abs=1e-15)

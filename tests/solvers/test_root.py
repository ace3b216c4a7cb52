"""First zeros against functions whose zeros are known."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from solvers.root import first_zero, stays_above

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


def test_samples_that_leave_no_way_through_zero() -> None:
    x = np.linspace(0.0, 2.0 * math.pi, 101)
    assert stays_above(2.0 + np.cos(x))
    assert not stays_above(np.cos(x))
    assert not stays_above(np.where(x < 3.0, 1.0, np.nan))


def test_samples_above_a_dip_between_them_are_looked_at_closer() -> None:
    """All four are above zero; the parabola through three of them is not."""
    y = (np.array([0.0, 1.0, 2.0, 3.0]) - 1.5) ** 2 - 0.01
    assert (y > 0.0).all()
    assert not stays_above(y)

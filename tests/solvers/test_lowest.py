"""The least value over a stretch: worked curves, kinks, ends, and what is not there."""

import math

import numpy as np
import pytest

from solvers.lowest import lowest


def test_a_valley_between_the_points_of_the_look() -> None:
    x, y = lowest(lambda x: np.cosh(x - math.e / 3.0), 0.0, 2.0)
    assert x == pytest.approx(math.e / 3.0, abs=1e-7)
    assert y == pytest.approx(1.0, abs=1e-14)


def test_a_kink_is_met_to_the_last_digits() -> None:
    x, y = lowest(lambda x: np.maximum(3.0 - x, 2.0 * x - 5.0), 0.0, 7.0)
    assert (x, y) == pytest.approx((8.0 / 3.0, 1.0 / 3.0), abs=1e-8)


def test_the_deeper_of_two_valleys_wins_though_the_look_sees_the_other_lower() -> None:
    def f(x: np.ndarray) -> np.ndarray:
        return np.minimum(np.abs(x - 0.5), 10.0 * np.abs(x - 2.2371) - 0.05)

    assert lowest(f, 0.0, 3.2) == pytest.approx((2.2371, -0.05), abs=1e-8)


@pytest.mark.parametrize(("slope", "want"), [(1.0, (2.0, 2.0)), (-1.0, (5.0, -5.0))])
def test_the_least_may_stand_at_an_end(slope: float, want: tuple[float, float]) -> None:
    assert lowest(lambda x: slope * x, 2.0, 5.0) == pytest.approx(want, abs=1e-12)


def test_nan_is_passed_over_and_never_an_answer_unless_there_is_no_other() -> None:
    x, y = lowest(lambda x: np.where(x < 1.0, np.nan, x), 0.0, 3.0)
    assert (x, y) == pytest.approx((1.0, 1.0), abs=1e-8)
    assert math.isnan(lowest(lambda x: np.full_like(x, np.nan), 0.0, 1.0)[1])

"""Inverses of what only rises: against themselves, and against scipy."""

from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from solvers.monotone import Broken, first_reach, rises_to
from tests.cases_count import many


def test_a_broken_line_by_hand() -> None:
    line = Broken((2.0, 6.0), (1.0, 2.0))
    assert line.at(np.array([0.0, 1.0, 2.0, 4.0, 6.0, 10.0])) == pytest.approx(
        [0.0, 0.5, 1.0, 1.5, 2.0, 3.0], abs=1e-15
    )


def test_a_broken_line_and_its_inverse() -> None:
    rng = np.random.default_rng(4)
    for _ in range(many(200)):
        steps = rng.uniform(0.01, 2.0, (2, 4))
        line = Broken(*(tuple(np.cumsum(row).tolist()) for row in steps))
        x = rng.uniform(0.0, 12.0, 9)
        assert line.back(line.at(x)) == pytest.approx(x, rel=1e-12)


def test_a_rise_is_found_where_another_solver_finds_it() -> None:
    rng = np.random.default_rng(5)
    a, b = rng.uniform(0.1, 3.0, (2, many(300)))
    level = rng.uniform(0.1, 20.0, a.shape)

    def rise(x: Any) -> Any:
        return a * x + b * x**3 + np.sin(a * x)

    found = rises_to(rise, level, 0.0, 100.0)
    for i, x in enumerate(found):
        want = brentq(
            lambda t, i=i: a[i] * t + b[i] * t**3 + np.sin(a[i] * t) - level[i],
            0.0,
            100.0,
            xtol=1e-13,
        )
        assert x == pytest.approx(want, abs=1e-11)


def test_ends_of_a_rise() -> None:
    """Reached at once, never reached, and gone (nan) before it is reached."""

    def f(x: Any) -> Any:
        return np.where(x > 5.0, np.nan, x)

    found = rises_to(f, np.array([-1.0, 0.0, 3.0, 7.0]), 0.0, 10.0)
    assert found == pytest.approx([0.0, 0.0, 3.0, 5.0], abs=1e-14)
    assert rises_to(lambda x: x, 11.0, 0.0, 10.0) == 10.0


def test_the_first_reach_of_straight_pieces() -> None:
    x, y = [0.0, 1.0, 2.0, 3.0], [-2.0, -1.0, 3.0, -1.0]
    assert first_reach(x, y) == pytest.approx(1.25, abs=1e-15)
    assert first_reach(x, y, 3.0) == pytest.approx(2.0)
    assert first_reach(x, y, -2.0) == 0.0
    assert first_reach(x, y, 3.1) is None

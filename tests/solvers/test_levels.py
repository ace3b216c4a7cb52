"""Levels raised as far as they go, against optima that are known."""

import numpy as np
import pytest

from solvers.levels import climb, margins
from solvers.lm import meet
from solvers.screen import scatter
from tests.solvers.planes import Smooth, bands, stack

#: A unit disc of radius 0.3 about the middle, and a slope to climb in it.
SLOPE = Smooth(
    size=3,
    f=lambda u: stack(((u - 0.5) ** 2).sum(axis=1), u @ np.array([1.0, 2.0, -2.0])),
)
DISC = bands((-np.inf, 0.09), (-np.inf, np.inf), unit=0.01)


def test_the_highest_place_of_a_ball() -> None:
    """Lagrange: the slope's length times the radius above the middle."""
    starts = meet(SLOPE, DISC, scatter(6, 3)).u
    raised = climb(
        SLOPE,
        lambda _, level: DISC.put(1, level, np.inf),
        lambda _, y: np.where(DISC.met(y), y[:, 1], -np.inf),
        starts,
        step=0.1,
        least=1e-4,
    )
    assert raised.level == pytest.approx(0.5 + 3.0 * 0.3, abs=2e-3)
    assert (raised.level <= 0.5 + 3.0 * 0.3 + 1e-12).all()
    assert DISC.met(raised.y).all()
    np.testing.assert_array_equal(raised.level, raised.y[:, 1])
    np.testing.assert_array_equal(raised.y, SLOPE(raised.u))


def test_a_level_stops_at_its_top() -> None:
    raised = climb(
        SLOPE,
        lambda _, level: DISC.put(1, level, np.inf),
        lambda _, y: np.where(DISC.met(y), y[:, 1], -np.inf),
        np.full((1, 3), 0.5),
        step=0.1,
        least=1e-4,
        top=0.8,
    )
    assert raised.level.tolist() == [0.8]


def test_margins_bring_to_the_middle() -> None:
    """Two bands on two coordinates: the margin is half the narrower one."""
    pair = Smooth(size=2, f=lambda u: stack(u[:, 0], u[:, 1]))
    wanted = bands((0.2, 0.4), (0.0, 0.9), unit=0.01)
    raised = margins(pair, wanted, np.array([True, True]), np.array([[0.2, 0.0]]))
    assert raised.level == pytest.approx(10.0, abs=0.02)
    assert raised.u[0, 0] == pytest.approx(0.3, abs=2e-4)


def test_a_margin_below_zero_is_the_least_worst_miss() -> None:
    """One number wanted in two places: the worst miss is least half way between."""
    torn = Smooth(size=1, f=lambda u: stack(u[:, 0], u[:, 0]))
    wanted = bands((0.1, 0.2), (0.6, 0.7), unit=0.01)
    raised = margins(torn, wanted, np.array([True, True]), np.array([[0.15]]))
    assert raised.level == pytest.approx(-20.0, abs=0.05)
    assert raised.u[0, 0] == pytest.approx(0.4, abs=1e-3)


def test_rows_whose_margin_does_not_count_still_hold() -> None:
    both = Smooth(size=1, f=lambda u: stack(u[:, 0], u[:, 0]))
    wanted = bands((0.0, 1.0), (-np.inf, 0.3), unit=0.1)
    raised = margins(both, wanted, np.array([True, False]), np.array([[0.1]]))
    assert raised.u[0, 0] == pytest.approx(0.3, abs=2e-3)
    assert raised.y[0, 1] <= 0.3

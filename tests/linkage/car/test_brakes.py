"""Wheel brakes and valves: a worked sum, and shoes balanced as bodies."""

import math

import numpy as np
import pytest

from linkage.car.brakes import Disc, Drum, pistons_area, shoe_factor
from linkage.car.valves import Proportioning, held_back
from tests.cases_count import many


def test_a_disc() -> None:
    """T = 2 mu p A r: one 54 mm piston, mu 0.38, r 115 mm at 7.0169786 MPa gives
    1404.5558 N m (Limpert's form, from memory; own numbers)."""
    area = pistons_area(54.0, 1)
    assert area == pytest.approx(2290.2210444, rel=1e-9)
    disc = Disc(clamping=area, friction=0.38, radius=115.0)
    assert 7.0169786 * area == pytest.approx(16070.4321, abs=1e-3)
    assert disc.torque(7.0169786) / 1000.0 == pytest.approx(1404.5558, abs=1e-4)


def test_a_drum_waits_for_its_springs() -> None:
    drum = Drum(area=285.0, factor=2.25, radius=100.0, starts=0.4)
    found = drum.torque(np.array([0.0, 0.4, 1.4]))
    assert found == pytest.approx([0.0, 0.0, 285.0 * 2.25 * 100.0])


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_shoe_by_its_moments(way: float) -> None:
    """N and its drag found from three equations of a plane body, by a linear solver."""
    rng = np.random.default_rng(7)
    for _ in range(many(100)):
        mu, lever, arm, offset = rng.uniform([0.2, 150, 80, 60], [0.45, 200, 110, 110])
        # Unknown: N, drag, and both pushes of the pivot; the pivot is the origin.
        a = np.array(
            [
                [arm, -way * offset, 0.0, 0.0],
                [-mu, 1.0, 0.0, 0.0],
                [1.0, 0.0, 1.0, 0.0],
                [0.0, 1.0, 0.0, 1.0],
            ]
        )
        _, drag, *_ = np.linalg.solve(a, [lever, 0.0, 1.0, 0.0])
        found = shoe_factor(mu, lever, arm, offset, way)
        assert found == pytest.approx(drag, rel=1e-12)


def test_a_leading_shoe_that_holds_itself() -> None:
    assert math.isinf(shoe_factor(1.2, 160.0, 90.0, 90.0, 1.0))
    assert math.isfinite(shoe_factor(1.2, 160.0, 90.0, 90.0, -1.0))


def test_a_shoe_without_friction_drags_nothing() -> None:
    assert shoe_factor(0.0, 160.0, 90.0, 90.0, 1.0) == 0.0


def test_a_proportioning_valve() -> None:
    """290 psi and 0.3: 100 -> 100, 300 -> 293, 700 -> 413 psi (Gillespie ch. 3, inputs
    from memory)."""
    valve = Proportioning(knee=290.0, slope=0.3)
    into = np.array([100.0, 200.0, 300.0, 400.0, 700.0])
    want = [100.0, 200.0, 293.0, 323.0, 413.0]
    assert valve.out(into) == pytest.approx(want)
    assert valve.into(np.array(want)) == pytest.approx(into)


def test_a_line_without_a_valve_and_a_shut_one() -> None:
    assert Proportioning().out(5.0) == 5.0
    assert Proportioning().into(5.0) == 5.0
    shut = Proportioning(knee=2.0, slope=0.0)
    assert shut.out(9.0) == 2.0
    assert math.isinf(shut.into(2.5))


def test_a_residual_valve_lets_all_through_and_keeps_some() -> None:
    line = np.array([0.0, 0.01, 3.0])
    assert held_back(line, 0.0138, pressing=True) == pytest.approx(line)
    assert held_back(line, 0.0138, pressing=False) == pytest.approx(
        [0.0138, 0.0138, 3.0]
    )

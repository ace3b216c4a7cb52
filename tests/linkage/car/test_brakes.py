"""Wheel brakes and valves: a worked sum, and shoes balanced as bodies."""

import math

import numpy as np
import pytest

from linkage.car.brakes import Disc, Drum, pistons_area
from linkage.car.valves import Proportioning


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

"""Cylinders of one and two circuits: against pistons solved one by one."""

import math

import numpy as np
import pytest

from linkage.car.brakes import pistons_area
from linkage.car.master import Master
from tests.cases_count import many

INCH = 25.4


@pytest.mark.parametrize(
    ("inches", "eta", "want"),
    [
        (0.75, 1.0, 8.7712233),
        (0.75, 0.8, 7.0169786),
        (0.625, 1.0, 12.6305615),
        (0.625, 0.8, 10.1044492),
        (0.875, 1.0, 6.4441641),
        (0.875, 0.8, 5.1553312),
        (1.0, 1.0, 4.9338131),
        (1.0, 0.8, 3.9470505),
    ],
)
def test_line_pressure(inches: float, eta: float, want: float) -> None:
    """p = F ratio eta / A at 500 N x 5: Limpert's form, from memory; own numbers."""
    master = Master(first=pistons_area(inches * INCH, 1))
    assert master.pressure(2500.0 * eta) == pytest.approx(want, abs=1e-7)


def pistons(
    first: float, second: float, x1: float, x2: float, cut_off: float
) -> tuple[float, float]:
    """What two pistons have displaced past their ports: the bore is stepped."""
    from_second = second * (x2 - cut_off)
    return first * (x1 - cut_off) - from_second, from_second


@pytest.mark.parametrize("stepped", [1.0, 0.75])
def test_strokes_of_a_tandem_add(stepped: float) -> None:
    """Each chamber's own sum of volumes, solved for the piston nearer the pedal."""
    rng = np.random.default_rng(3)
    for _ in range(many(100)):
        first = pistons_area(rng.uniform(18.0, 26.0), 1)
        master = Master(first=first, second=stepped * first, cut_off=1.3)
        v1, v2 = rng.uniform(500.0, 5000.0, 2)
        x1, x2 = master.travel(v1, v2), master.second_travel(v2)
        found = pistons(first, stepped * first, x1, x2, 1.3)
        assert found == pytest.approx((v1, v2), rel=1e-12)


def test_a_tandem_gives_both_circuits_the_whole_push() -> None:
    """Balance of the second piston: p1 and p2 act on it alike. Common practice, no
    source: a tandem has twice the pressure of two cylinders on a centred bar."""
    area = pistons_area(INCH, 1)
    tandem = Master(first=area, second=area)
    assert tandem.pressure(3000.0) == pytest.approx(3000.0 / area)
    assert tandem.pressure(3000.0) == 2.0 * Master(first=area).pressure(1500.0)


def test_a_spring_holds_back_and_is_pushed_through() -> None:
    master = Master(first=300.0, spring=60.0)
    assert master.pressure(np.array([0.0, 60.0, 360.0])) == pytest.approx([0, 0, 1.0])
    assert master.push(1.0) == pytest.approx(360.0)


def lost_circuit() -> Master:
    area = pistons_area(22.225, 1)
    return Master(
        first=area,
        second=0.8 * area,
        cut_off=1.5,
        stroke=36.0,
        first_stroke=20.0,
    )


def test_the_first_circuit_lost() -> None:
    """Its chamber is closed up: the pistons touch, and push on the smaller one."""
    master, took = lost_circuit(), 2200.0
    second = 1.5 + took / master.second
    assert master.travel_alone(took, lost=1) == pytest.approx(20.0 + second)
    stepped = master.pressure_alone(1000.0, lost=1) / master.pressure(1000.0)
    assert stepped == pytest.approx(1.0 / 0.8)


def test_the_second_circuit_lost() -> None:
    """Its piston stands at its end, 16 mm on; the first has displaced what is taken."""
    master, took = lost_circuit(), 2200.0
    x1 = master.travel_alone(took, lost=2)
    displaced, _ = pistons(master.first, master.second, x1, 16.0, 1.5)
    assert displaced == pytest.approx(took, rel=1e-12)
    assert master.pressure_alone(1000.0, lost=2) == master.pressure(1000.0)


def test_a_lost_circuit_costs_its_stroke() -> None:
    """Equal bores: the dead half's stroke stands in place of what it would have used."""
    area = 400.0
    master = Master(
        first=area, second=area, cut_off=1.0, stroke=36.0, first_stroke=18.0
    )
    assert master.travel(2000.0, 2000.0) == pytest.approx(11.0)
    assert master.travel_alone(2000.0, lost=1) == pytest.approx(18.0 + 1.0 + 5.0)
    assert master.travel_alone(2000.0, lost=2) == pytest.approx(18.0 + 5.0)
    assert math.isinf(Master(first=area, second=area).travel_alone(0.0, lost=1))

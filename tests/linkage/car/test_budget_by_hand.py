"""A travel budget by hand, twin cylinders on a bar: own arithmetic.

Front: two calipers of four 41.3 mm pistons, 3/4 in bore, 7 MPa; rear: four 31.75 mm,
0.70 in bore, 5 MPa; 0.12 mm of clearance, 3 ft of hose at each end that swells by 0.33 cc/ft at
1000 psi and in proportion, 0.9 and 0.5 cc a caliper at 7 MPa, 1.3 mm of port cut-off,
95 and 72.5 cc of fluid at 1.8 GPa, 5.5 to 1.
"""

import math

import pytest

from linkage.car.bar import Bar
from linkage.car.brakes import pistons_area
from linkage.car.fluid import Circuit
from linkage.car.hoses import stated_swell
from linkage.car.master import Master
from solvers.monotone import Broken

CC, FOOT, INCH, PSI = 1000.0, 304.8, 25.4, 0.006894757293168361


def axle(piston: float, squash: float, fluid: float) -> Circuit:
    return Circuit(
        clearance=2 * pistons_area(piston, 4) * 0.12,
        squash=((2.0, Broken((7.0,), (squash * CC,))),),
        hoses=((3 * FOOT, stated_swell(0.33 * CC / FOOT, 1000 * PSI)),),
        fluid=fluid * CC,
        bulk=1800.0,
    )


FRONT, REAR = axle(41.3, 0.9, 95.0), axle(31.75, 0.5, 72.5)


def cylinder(bore: float) -> Master:
    return Master(first=pistons_area(bore * INCH, 1), cut_off=1.3)


def test_the_front_by_cause() -> None:
    """1.29 + 1.80 + 1.01 + 0.37 = 4.46 cc."""
    found = [each / CC for each in FRONT.demands(7.0).values()]
    assert found == pytest.approx([1.29, 1.80, 1.01, 0.37, 0.0], abs=0.006)
    assert FRONT.taken(7.0) / CC == pytest.approx(4.46, abs=0.006)


def test_the_front_stroke() -> None:
    """4.5 + 6.3 + 3.5 + 1.3 + 1.3 = 16.95 mm."""
    area = pistons_area(0.75 * INCH, 1)
    each = [v / area for v in FRONT.demands(7.0).values()][:4]
    assert each == pytest.approx([4.5, 6.3, 3.5, 1.3], abs=0.05)
    assert cylinder(0.75).travel(FRONT.taken(7.0)) == pytest.approx(16.95, abs=0.01)


def test_the_rear() -> None:
    """2.40 cc and 10.94 mm."""
    assert REAR.taken(5.0) / CC == pytest.approx(2.40, abs=0.01)
    assert cylinder(0.70).travel(REAR.taken(5.0)) == pytest.approx(10.94, abs=0.01)


def test_the_bar_between_them() -> None:
    """Middle 13.9 mm, 77 mm of pad at 5.5; tilt 5.4 deg from 6.0 mm of difference."""
    front = cylinder(0.75).travel(FRONT.taken(7.0))
    rear = cylinder(0.70).travel(REAR.taken(5.0))
    bar = Bar(spacing=63.5)
    assert bar.middle(front, rear) == pytest.approx(13.95, abs=0.01)
    assert 5.5 * bar.middle(front, rear) == pytest.approx(77.0, abs=0.5)
    assert bar.square(front, rear) == pytest.approx(6.0, abs=0.02)
    assert math.degrees(bar.tilted(front, rear)) == pytest.approx(5.42, abs=0.02)


def test_a_bore_up_on_both() -> None:
    """13/16 and 3/4: about 67 mm at 15 to 17 % more effort."""
    front = cylinder(13 / 16).travel(FRONT.taken(7.0))
    rear = cylinder(0.75).travel(REAR.taken(5.0))
    assert 5.5 * Bar(spacing=63.5).middle(front, rear) == pytest.approx(67.0, abs=0.7)
    more = [(13 / 16) ** 2 / 0.75**2 - 1, 0.75**2 / 0.7**2 - 1]
    assert min(more) > 0.145
    assert max(more) < 0.175

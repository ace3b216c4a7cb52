"""The constraint solver against mechanisms from the books; sources in the cases."""

import cmath
import math

import numpy as np
import pytest

from solvers.march import End, march
from solvers.newton import mixed_rate, push, rate, solve
from tests.linkage_cases import (
    FOUR_BARS,
    FREUDENSTEIN,
    PISTONS,
    SLIDERS,
    TRANSMISSIONS,
    FourBarCase,
    FreudensteinCase,
    PistonCase,
    SliderCase,
    TransmissionCase,
)
from tests.solvers.mechanisms import FourBar, SliderCrank


def degrees(z: complex) -> float:
    return math.degrees(cmath.phase(z))


@pytest.mark.parametrize("case", FOUR_BARS, ids=lambda c: c.id)
def test_four_bar_position(case: FourBarCase) -> None:
    """From a start that only knows which side, as a sketch would."""
    bar = FourBar(a=case.a, b=case.b, c=case.c, d=case.d)
    theta = math.radians(case.theta2)
    sketch = bar.crank(theta) + case.b * cmath.exp(1j * (0.2 + case.side))
    held = bar.system().holding("turn")
    q = solve(held, bar.start(theta, sketch)).require().q
    hole = held.place(q, "b")
    coupler, rocker = degrees(hole - bar.crank(theta)), degrees(hole - case.d)
    assert coupler == pytest.approx(case.coupler, abs=1e-9)
    assert rocker == pytest.approx(case.rocker, abs=1e-9)
    for got, (value, half) in (
        (coupler, case.coupler_printed),
        (rocker, case.rocker_printed),
    ):
        assert got == pytest.approx(value, abs=half)


def test_transmission_angle_of_both_branches_is_one() -> None:
    """Example 4-1: 37.03 degrees open and crossed."""
    for case in FOUR_BARS[:2]:
        assert abs(case.rocker - case.coupler) == pytest.approx(37.0269972822, abs=1e-9)


@pytest.mark.parametrize("case", TRANSMISSIONS, ids=lambda c: c.id)
def test_transmission_extremes_over_a_turn(case: TransmissionCase) -> None:
    """Marched once round; extremes where the angle's rate changes sign."""
    bar = FourBar(a=case.a, b=case.b, c=case.c, d=case.d)
    path = march(bar.system(), bar.start(0.5, bar.hole(0.5)), "turn", 0.5 + 2 * np.pi)
    assert path.end is End.REACHED
    system = path.curve.system

    def growth(q: np.ndarray, tangent: np.ndarray) -> float:
        """How the square of the crank hole's distance from the far pivot grows."""
        away = system.place(q, "a") - case.d
        return (away.conjugate() * system.place(tangent, "a")).real

    angles = []
    for q in path.locate(growth):
        hole = system.place(q, "b")
        angles.append(abs(degrees((hole - system.place(q, "a")) / (hole - case.d))))
    assert sorted(angles) == pytest.approx([case.least, case.most], abs=1e-9)


@pytest.mark.parametrize("case", SLIDERS, ids=lambda c: c.id)
def test_offset_slider_crank(case: SliderCase) -> None:
    crank = SliderCrank(a=case.a, b=case.b, offset=case.offset)
    theta = math.radians(case.theta2)
    held = crank.system().holding("turn")
    q = solve(held, crank.start(theta, 100.0 * case.side)).require().q
    along = held.number(q, "way")
    coupler = degrees(held.place(q, "a") - held.place(q, "b"))
    assert along == pytest.approx(case.along, abs=1e-9)
    assert coupler == pytest.approx(case.coupler, abs=1e-9)
    assert (coupler, along) == pytest.approx(case.printed, abs=0.005)
    speed = rate(held, q, push(held, turn=case.omega))
    assert held.number(speed, "way") == pytest.approx(case.slide_rate, abs=1e-8)
    rod = held.place(q, "a") - held.place(q, "b")
    relative = held.place(speed, "a") - held.place(speed, "b")
    assert (relative / rod).imag == pytest.approx(case.coupler_rate, abs=1e-9)


def test_slide_rate_is_the_arm_of_the_rod_over_its_lean() -> None:
    """Example 4-2 read as force: 39.948 / cos 27.09 deg = 44.870 mm/rad."""
    crank = SliderCrank(a=40.0, b=120.0, offset=-20.0)
    theta = math.radians(60.0)
    held = crank.system().holding("turn")
    q = solve(held, crank.start(theta, 100.0)).require().q
    slide = held.number(rate(held, q, push(held, turn=1.0)), "way")
    rod = (held.place(q, "b") - held.place(q, "a")) / 120.0
    arm = abs((held.place(q, "a").conjugate() * rod).imag)
    assert slide == pytest.approx(-44.8697762357, abs=1e-10)
    assert arm == pytest.approx(39.9483115546, abs=1e-10)
    assert arm / rod.real == pytest.approx(-slide, abs=1e-10)


@pytest.mark.parametrize("case", PISTONS, ids=lambda c: f"l/r {c.ratio:g}")
def test_fastest_piston(case: PistonCase) -> None:
    crank = SliderCrank(a=1.0, b=case.ratio)
    path = march(crank.system(), crank.start(0.2, crank.along(0.2)), "turn", 3.0)
    held = path.curve.system.holding("turn")
    turn = push(held, turn=1.0)
    (q,) = path.locate(lambda q, _: held.number(mixed_rate(held, q, turn, turn), "way"))
    found = math.degrees(held.number(q, "turn"))
    assert found == pytest.approx(case.angle, abs=1e-9)
    assert -held.number(rate(held, q, turn), "way") == pytest.approx(case.speed, 1e-10)
    assert found - case.rule_of_thumb > 0.35  # rod square to crank: early


@pytest.mark.parametrize(
    ("theta", "along", "slope"),
    [(60.0, 4.4051248380, -0.9769085944), (30.0, 4.8346523704, -0.6091089451)],
)
def test_piston_position(theta: float, along: float, slope: float) -> None:
    """r = 1, l = 4; recomputed from the textbook formula."""
    crank = SliderCrank(a=1.0, b=4.0)
    held = crank.system().holding("turn")
    q = solve(held, crank.start(math.radians(theta), 4.0)).require().q
    assert held.number(q, "way") == pytest.approx(along, abs=1e-10)
    got = held.number(rate(held, q, push(held, turn=1.0)), "way")
    assert got == pytest.approx(slope, abs=1e-10)


def synthesis(case: FreudensteinCase) -> np.ndarray:
    """K1 cos psi - K2 cos phi + K3 = cos(phi - psi), three times."""
    phi, psi = np.radians(case.phi), np.radians(case.psi)
    rows = np.column_stack([np.cos(psi), -np.cos(phi), np.ones(3)])
    return np.linalg.solve(rows, np.cos(phi - psi))


@pytest.mark.parametrize("case", FREUDENSTEIN, ids=lambda c: c.id)
def test_freudenstein_points_are_met_on_one_branch(case: FreudensteinCase) -> None:
    """Synthesis by the equation, then one march through all three points."""
    k = synthesis(case)
    assert k.tolist() == pytest.approx(case.k, abs=1e-9)
    a, c = 1.0 / k[0], 1.0 / k[1]
    b = math.sqrt(a * a + c * c + 1.0 - 2.0 * a * c * k[2])
    assert (a, b, c) == pytest.approx((case.a, case.b, case.c), abs=1e-9)
    bar = FourBar(a=a, b=b, c=c, d=1.0)
    phi = [math.radians(x) for x in case.phi]
    start = bar.start(phi[0], 1.0 + c * cmath.exp(1j * math.radians(case.psi[0])))
    path = march(bar.system(), start, "turn", phi[-1])
    for now, want in zip(phi, case.psi, strict=True):
        hole = path.curve.system.place(path.at(now), "b")
        assert degrees(hole - 1.0) == pytest.approx(want, abs=1e-8)


def test_freudenstein_sine_generator_error() -> None:
    """Peak structural error 0.838852 degrees over phi 97..217 (recomputed)."""
    case = FREUDENSTEIN[0]
    bar = FourBar(a=case.a, b=case.b, c=case.c, d=1.0)
    phi = [math.radians(x) for x in (157.0, 97.0, 217.0)]
    hole = 1.0 + case.c * cmath.exp(1j * math.radians(case.psi[1]))
    low = march(bar.system(), bar.start(phi[0], hole), "turn", phi[1])
    high = march(bar.system(), bar.start(phi[0], hole), "turn", phi[2])
    worst = 0.0
    for now in np.linspace(phi[1], phi[2], 601).tolist():
        path = low if now <= phi[0] else high
        psi = degrees(path.curve.system.place(path.at(now), "b") - 1.0)
        x = (math.degrees(now) - 97.0) / 120.0 * 90.0
        worst = max(worst, abs(psi - 60.0 - 60.0 * math.sin(math.radians(x))))
    assert worst == pytest.approx(0.838852, abs=2e-6)

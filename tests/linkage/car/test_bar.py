"""The balance bar: figures of the trade, and a bar solved as a body in the plane."""

import math
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq, root

from linkage.car.bar import Bar, swing
from tests.cases_count import many

S = 63.5


@pytest.mark.parametrize(
    ("shift", "percent"), [(3.0, 54.7), (6.35, 60.0), (10.6, 66.7), (0.0, 50.0)]
)
def test_shares(shift: float, percent: float) -> None:
    """Front share (S/2 + d)/S: common practice, no source; own arithmetic."""
    assert 100.0 * Bar(spacing=S, shift=shift).share == pytest.approx(percent, abs=0.05)


def test_the_nearer_cylinder_gets_more() -> None:
    """4000 N, 50 mm apart, bearing 22 from the front: 2240 and 1760 N (statics)."""
    bar = Bar(spacing=50.0, shift=3.0)
    assert 4000.0 * bar.share_of("front") == pytest.approx(2240.0, rel=1e-15)
    assert 4000.0 * bar.share_of("rear") == pytest.approx(1760.0, rel=1e-15)
    assert bar.shift_for(0.56) == pytest.approx(3.0, rel=1e-12)


@pytest.mark.parametrize(
    ("apart", "degrees"), [(2, 1.8), (4, 3.6), (6, 5.42), (10, 9.1)]
)
def test_tilt_from_a_difference(apart: float, degrees: float) -> None:
    """sin tilt = difference / S (own arithmetic)."""
    found = math.degrees(Bar(spacing=S).tilted(apart, 0.0))
    assert found == pytest.approx(degrees, abs=0.05)


def test_a_longer_front_rod_finds_the_bar_square_at_its_load() -> None:
    bar = Bar(spacing=S, longer=Bar(spacing=S).square(17.0, 11.0))
    assert bar.tilted(17.0, 11.0) == 0.0
    assert bar.tilted(0.0, 0.0) == pytest.approx(-math.asin(6.0 / S))


class Plane:
    """A stiff bar in the plane of travel (x) and width (y), with rods of no weight.

    Its bearing is pushed along x; a rod stands at each end, so long that it stays
    parallel to x, and pushes a piston against a spring.
    """

    def __init__(self, rng: np.random.Generator) -> None:
        self.bar = Bar(spacing=rng.uniform(50.0, 76.0), shift=rng.uniform(-8.0, 8.0))
        self.rates = rng.uniform(80.0, 400.0, 2)
        self.gaps = rng.uniform(1.0, 4.0, 2)

    def piston(self, i: int, x: Any) -> Any:
        return self.rates[i] * (x - self.gaps[i])

    def ends(self, at: float, tilt: float) -> list[complex]:
        half = 0.5 * self.bar.spacing
        arms = (half - self.bar.shift, -half - self.bar.shift)
        return [at + 1j * arm * np.exp(-1j * tilt) for arm in arms]

    def residual(self, unknown: Any, push: float) -> list[float]:
        """Sum of forces along x, and of moments about the bearing."""
        at, tilt = unknown
        ends = self.ends(at, tilt)
        forces = [-self.piston(i, end.real) for i, end in enumerate(ends)]
        arms = [(end - at).imag for end in ends]
        moment = sum(arm * force for arm, force in zip(arms, forces, strict=True))
        return [push + sum(forces), moment]


def test_shares_and_tilt_of_a_solved_body() -> None:
    """Sums of forces and moments by a general solver, on random bars and springs."""
    rng = np.random.default_rng(12)
    for _ in range(many(300)):
        plane, push = Plane(rng), rng.uniform(500.0, 3000.0)
        solved = root(plane.residual, [5.0, 0.0], args=(push,), tol=1e-13).x
        assert plane.residual(solved, push) == pytest.approx([0, 0], abs=1e-6)
        front, rear = (end.real for end in plane.ends(*solved))
        share = plane.piston(0, front) / push
        assert plane.bar.share == pytest.approx(share, abs=1e-9)
        assert plane.bar.tilted(front, rear) == pytest.approx(solved[1], abs=1e-9)
        assert plane.bar.middle(front, rear) == pytest.approx(solved[0], abs=1e-8)


def bearing(plane: Plane, live: int, tilt: float, moved: float) -> float:
    """Where the bearing stands with the live end where it is, by a root finder."""

    def left(at: float) -> float:
        return float(plane.ends(at, tilt)[live].real - moved)

    return float(brentq(left, -200.0, 200.0))


@pytest.mark.parametrize("lost", ["front", "rear"])
@pytest.mark.parametrize("end", [9.0, 40.0])
def test_a_lost_circuit_in_the_solved_body(lost: Any, end: float) -> None:
    """Equilibrium with a dead piston that is free up to its end, then a wall, and a
    stop of the bar that bears a moment only."""
    rng = np.random.default_rng(13)
    dead, live = (0, 1) if lost == "front" else (1, 0)
    for _ in range(many(100)):
        plane = Plane(rng)
        limit = math.radians(rng.uniform(8.0, 14.0))
        bar = Bar(spacing=plane.bar.spacing, shift=plane.bar.shift, tilt=limit)
        force = rng.uniform(400.0, 1500.0)
        moved = plane.gaps[live] + force / plane.rates[live]
        found = swing(bar, lost, moved, end)

        turned = limit if lost == "front" else -limit
        at = bearing(plane, live, turned, moved)
        by_stop = plane.ends(at, turned)[dead].real
        if by_stop < end:
            assert found.stops == "bar"
            assert found.share == 1.0
            assert found.middle == pytest.approx(at, abs=1e-9)
            assert found.dead == pytest.approx(by_stop, abs=1e-9)
            assert abs(found.tilt) == pytest.approx(limit)
        else:
            assert found.stops == "piston"
            assert found.dead == end
            arms = [abs(e) for e in plane.ends(0.0, 0.0)]
            assert found.share == pytest.approx(arms[dead] / sum(arms), rel=1e-12)
            assert found.middle == pytest.approx(
                (arms[dead] * moved + arms[live] * end) / sum(arms), rel=1e-12
            )


def test_the_pad_of_a_lost_circuit() -> None:
    """Dead side 20 mm further on an even bar: 10 mm at the bearing, 55 to 60 mm of pad
    at 5.5 to 6 to 1 (own arithmetic)."""
    bar = Bar(spacing=S)
    more = swing(bar, "front", 11.0, 31.0).middle - bar.middle(11.0, 11.0)
    assert 55.0 <= 5.5 * more <= 6.0 * more <= 60.0


def test_a_front_rod_that_is_longer_uses_up_the_swing() -> None:
    """Cocked at rest by 6 mm, the front end can go so much farther ahead of the rear."""
    limit = math.radians(10.0)
    square = Bar(spacing=S, tilt=limit)
    cocked = Bar(spacing=S, tilt=limit, longer=6.0)
    lost = [swing(b, "front", 10.0, 99.0).dead for b in (square, cocked)]
    assert lost[1] - lost[0] == pytest.approx(6.0)
    lost = [swing(b, "rear", 10.0, 99.0).dead for b in (square, cocked)]
    assert lost[1] - lost[0] == pytest.approx(-6.0)

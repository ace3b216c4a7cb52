"""Boosters: the sum of the trade, and laws of force and gas."""

import math

import numpy as np
import pytest

from linkage.car.booster import (
    Booster,
    assist_of,
    diaphragm_area,
    next_vacuum,
)
from linkage.car.fluid import ATMOSPHERE
from linkage.car.master import Master
from tests.cases_count import many

INCH = 25.4


def test_the_knee_of_an_eight_inch_booster() -> None:
    """8 in single, 88 % effective, 0.68 bar, gain 4: 28 500 mm2, 1940 N; knee at 2587 N
    out and 647 N in, 162 N (36 lbf) of pad at 4 to 1, 5.1 MPa on 1 in (own arithmetic).
    """
    area = diaphragm_area(8.0 * INCH, effective=0.88)
    assert area == pytest.approx(28_500.0, abs=50.0)
    assist = assist_of(area, 0.068)
    assert assist == pytest.approx(1940.0, abs=1.0)
    put, got = Booster(assist=assist, gain=4.0).knee()
    assert (put, got) == pytest.approx((647.0, 2587.0), abs=0.6)
    assert put / 4.0 == pytest.approx(162.0, abs=0.5)
    assert put / 4.0 / 4.4482216 == pytest.approx(36.0, abs=0.5)
    pressure = Master(first=0.25 * math.pi * INCH**2).pressure(got)
    assert pressure == pytest.approx(5.1, abs=0.01)
    assert pressure / 0.006894757 == pytest.approx(741.0, abs=1.0)


def test_a_dead_booster_hands_the_push_through() -> None:
    """500 N x 4 on 1 in: 3.9 MPa, 572 psi (own arithmetic; nothing held back)."""
    dead = Booster(assist=1940.0, gain=4.0).output_dead(2000.0)
    pressure = dead / (0.25 * math.pi * INCH**2)
    assert pressure == pytest.approx(3.947, abs=0.001)
    assert pressure / 0.006894757 == pytest.approx(572.0, abs=0.6)
    held = Booster(assist=1940.0, gain=4.0, held=100.0)
    assert held.output_dead(2000.0) == 1900.0
    assert held.input_dead(1900.0) == 2000.0
    assert held.output_dead(60.0) == 0.0


def some(rng: np.random.Generator) -> Booster:
    threshold = rng.uniform(0.0, 120.0)
    return Booster(
        assist=rng.uniform(800.0, 4000.0),
        gain=rng.uniform(2.0, 6.0),
        threshold=threshold,
        jump=rng.uniform(0.0, 500.0),
        held=rng.uniform(0.0, 150.0),
    )


def test_input_is_the_inverse_of_output() -> None:
    rng = np.random.default_rng(2)
    for _ in range(many(200)):
        booster = some(rng)
        push = rng.uniform(booster.threshold + 1.0, 3000.0, 9)
        assert booster.input(booster.output(push)) == pytest.approx(push, rel=1e-12)
        dead = rng.uniform(booster.held + 1.0, 3000.0, 9)
        back = booster.input_dead(booster.output_dead(dead))
        assert back == pytest.approx(dead, rel=1e-12)


def test_laws_of_the_output() -> None:
    """It never adds more than its assist, rises with the input, and both branches
    meet at the knee."""
    rng = np.random.default_rng(6)
    push = np.linspace(0.0, 4000.0, 4001)
    for _ in range(many(100)):
        booster = some(rng)
        out = booster.output(push)
        assert np.all(out <= push + booster.assist + 1e-9)
        assert np.all(np.diff(out) >= 0.0)
        put, got = booster.knee()
        beyond = push > put
        assert out[beyond] == pytest.approx(push[beyond] + booster.assist)
        within = (push > booster.threshold) & ~beyond
        line = booster.jump + booster.gain * (push - booster.threshold)
        assert out[within] == pytest.approx(line[within])
        assert got == pytest.approx(float(booster.output(put + 1e-9)), abs=1e-6)


def test_no_push_comes_out_below_the_threshold() -> None:
    booster = Booster(assist=2000.0, gain=4.0, threshold=30.0, jump=300.0)
    out = booster.output(np.array([0.0, 30.0, 30.0 + 1e-9, 40.0]))
    assert out == pytest.approx([0.0, 0.0, 300.0, 340.0], abs=1e-6)
    assert booster.input(np.array([0.0, 100.0, 300.0, 340.0])) == pytest.approx(
        [0.0, 30.0, 30.0, 40.0]
    )


def test_vacuum_after_a_stop_by_counting_air() -> None:
    """Air is neither made nor lost: p V of both rooms before and after."""
    vacuum, front, rear, swept = 0.068, 2.4e6, 2e5, 28_500.0 * 25.0
    left = next_vacuum(vacuum, front, rear, swept)
    before = (ATMOSPHERE - vacuum) * front + ATMOSPHERE * (rear + swept)
    assert (ATMOSPHERE - left) * (front + rear) == pytest.approx(before, rel=1e-12)


def test_a_few_stops_are_left() -> None:
    """Two to four with a dead engine is common practice, no source."""
    vacuum, count = 0.068, 0
    while vacuum > 0.02:
        vacuum = float(next_vacuum(vacuum, 3.0e6, 2e5, 28_500.0 * 12.0))
        count += 1
    assert 2 <= count <= 4


def test_nothing_below_no_vacuum() -> None:
    assert next_vacuum(0.01, 2e6, 2e5, 28_500.0 * 30.0) == 0.0
    assert assist_of(28_500.0, 0.001, 97.0) == 0.0

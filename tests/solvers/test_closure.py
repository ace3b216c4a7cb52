"""Closures against plane geometry and against derivatives at 40 digits."""

import mpmath as mp
import numpy as np
import pytest

from solvers.closure import slide, take_up
from solvers.jet import Jet, Parts, seed, seed_driver
from solvers.planar import length, turns
from solvers.swing import swing
from solvers.turning import fan, rotate

mp.mp.dps = 40


def test_fan_is_cosine_and_sine() -> None:
    def still() -> Parts:
        return None, None, None

    rng = np.random.default_rng(5)
    for widest in (1e-5, 0.003, 0.019, 0.05):
        step = rng.uniform(-widest, widest, (7, 1))
        want = turns(step * np.arange(101))
        spun = rotate(fan(step, 101), still, 1.0).v
        np.testing.assert_allclose(spun, want, rtol=0, atol=2e-15)
    spun = rotate(fan(np.zeros((2, 1)), 5), still, 1.0).v
    np.testing.assert_array_equal(spun, np.ones((2, 5)))


def test_the_rod_spans_point_to_end() -> None:
    rng = np.random.default_rng(6)
    point = rng.uniform(-80, 80, (9, 5)) + 1j * rng.uniform(-80, 80, (9, 5))
    for sign in (1.0, -1.0):
        slid = slide(point, 100.0, sign)
        np.testing.assert_allclose(np.abs(slid.along.v - point), 100.0, rtol=1e-14)
        assert (sign * (slid.along.v - point.real) > 0.0).all()
        np.testing.assert_allclose(
            np.sin(slid.lean().v), point.imag / 100.0, rtol=1e-14
        )
        np.testing.assert_allclose(slid.back().v, point - slid.along.v, atol=1e-12)


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_slide_derivatives(sign: float) -> None:
    def end(t: mp.mpf, p: mp.mpf, q: mp.mpf) -> mp.mpf:
        point = (50 + p) * mp.expj(mp.mpf("0.7") + t / 300) + mp.mpc(-3, 7)
        rod = 120 + q
        return point.real + sign * mp.sqrt(rod**2 - point.imag**2)

    turn = seed_driver(0.0, 2, 3) * (1 / 300) + 0.7
    p, q = seed(0.0, 0, 3), seed(0.0, 1, 3)
    spin = turns(np.asarray(turn.v))
    point = rotate(spin, lambda: turn.parts, p + 50.0) + (-3 + 7j)
    _same(slide(point, q + 120.0, sign).along, end)


def _same(got: Jet, want: object) -> None:
    zero = (mp.mpf(0),) * 3

    def d(*orders: int) -> float:
        return float(mp.diff(want, zero, orders))

    assert float(np.ravel(got.v)[0]) == pytest.approx(d(0, 0, 0), rel=1e-13)
    assert float(np.ravel(got.t)[0]) == pytest.approx(d(1, 0, 0), rel=1e-12)
    first = [d(0, 1, 0), d(0, 0, 1), d(1, 0, 0)]
    mixed = [d(1, 1, 0), d(1, 0, 1), d(2, 0, 0)]
    np.testing.assert_allclose(np.ravel(got.g), first, rtol=1e-11, atol=1e-13)
    np.testing.assert_allclose(np.ravel(got.h), mixed, rtol=1e-10, atol=1e-14)


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_swing_derivatives(sign: float) -> None:
    def direction(t: mp.mpf, p: mp.mpf, q: mp.mpf) -> mp.mpf:
        point = (50 + p) * mp.expj(mp.mpf("0.7") + t / 300) + mp.mpc(-140, 7)
        arm, link = 60 + q / 2, 130 + q - t / 9
        d2 = abs(point) ** 2
        x = (d2 + arm**2 - link**2) / 2
        y = mp.sqrt(arm**2 * d2 - x**2)
        return mp.arg(point * mp.mpc(x, sign * y))

    turn = seed_driver(0.0, 2, 3) * (1 / 300) + 0.7
    p, q = seed(0.0, 0, 3), seed(0.0, 1, 3)
    point = rotate(turns(np.asarray(turn.v)), lambda: turn.parts, p + 50.0) + (
        -140 + 7j
    )
    link = q + 130.0 - seed_driver(0.0, 2, 3) * (1 / 9)
    held = swing(point, q * 0.5 + 60.0, link, sign)
    np.testing.assert_allclose(np.abs(held.arm), 60.0, rtol=1e-14)
    np.testing.assert_allclose(np.abs(held.arm - point.v), 130.0, rtol=1e-13)
    _same(Jet.later(np.angle(held.arm), held.turn), direction)


def test_out_of_reach_is_nan_in_its_own_place() -> None:
    with np.errstate(invalid="ignore"):
        slid = slide(np.array([0.5j, 2j]), 1.0, 1.0)
        held = swing(np.array([3.0 + 0j, 9.0 + 0j]), 2.0, 2.0, 1.0)
    assert np.isnan(slid.along.v).tolist() == [False, True]
    assert np.isnan(held.arm).tolist() == [False, True]
    assert (slid.margin() > 0.0).tolist() == [True, False]
    assert (held.margin() > 0.0).tolist() == [True, False]


def test_margin_is_sine_squared_of_the_transmission_angle() -> None:
    """A 3-4-5 triangle: link 3 and arm 4 are square, so the sine is 1."""
    held = swing(np.array([5.0 + 0j]), 4.0, 3.0, -1.0)
    assert held.margin()[0] == pytest.approx(1.0, rel=1e-14)
    assert float(held.arm[0].imag) < 0.0


def test_slack_holds_the_far_end_still_but_not_the_rate() -> None:
    pull = Jet(np.array([0.5, 3.0]), np.array([0.2, 0.2]))
    taken = take_up(pull, 1.5)
    assert taken.v.tolist() == [0.0, 1.5]
    assert taken.t.tolist() == [0.2, 0.2]


def test_lengths_of_what_is_rotated_stay() -> None:
    spin = turns(np.linspace(0, 3, 20))
    arm = rotate(spin, lambda: (0.1, None, None), 30 + 40j)
    np.testing.assert_allclose(length(arm).v, 50.0, rtol=1e-15)
    np.testing.assert_allclose(length(arm).t, 0.0, atol=1e-14)

"""From a start to a state: every status, and rates against second roads."""

import pickle
from itertools import pairwise

import numpy as np
import pytest

from solvers.newton import (
    MESSAGES,
    NoSolutionError,
    Solution,
    Status,
    mixed_rate,
    push,
    rate,
    solve,
)
from solvers.rows import Along, Drawn, InLine, Joined, Length, Pinned
from solvers.system import System, assemble
from tests.cases_count import many
from tests.solvers.mechanisms import FourBar, SliderCrank


def triangle(base: float = 100.0) -> System:
    return assemble(
        points=("a", "b", "c"),
        held=("a", "b"),
        rows=(
            Length(a="a", b="c", length=60.0),
            Length(a="b", b="c", length=80.0 + 100.0 - base),
        ),
    )


def produced(status: Status) -> Solution:
    """A solve that ends so."""
    places = {"a": 0.0, "b": 100.0, "c": 30 + 20j}
    if status is Status.STUCK:
        return solve(triangle(base=200.0), triangle().state({**places, "b": 200.0}))
    budget = 2 if status is Status.SPENT else 200
    return solve(triangle(), triangle().state(places), budget=budget)


@pytest.mark.parametrize("status", Status)
def test_every_status_can_be_had_and_says_what_it_means(status: Status) -> None:
    got = produced(status)
    assert got.status is status
    assert got.message == MESSAGES[status]
    if status is Status.CONVERGED:
        assert got.require() is got
        assert got.gap <= 1e-12
    else:
        with pytest.raises(NoSolutionError) as fault:
            got.require()
        assert fault.value.solution is got
        assert str(fault.value).startswith(MESSAGES[status])
        assert got.worst in str(fault.value)
        assert got.gap > 1e-6


def test_the_error_pickles() -> None:
    error = NoSolutionError(produced(Status.STUCK))
    again = pickle.loads(pickle.dumps(error))  # noqa: S301
    assert str(again) == str(error)


def test_3_4_5() -> None:
    """The right triangle that every builder squares a frame with."""
    q = produced(Status.CONVERGED).q
    assert triangle().place(q, "c") == pytest.approx(36 + 48j, abs=1e-12)


def test_the_start_chooses_the_branch() -> None:
    system = triangle()
    low = solve(system, system.state({"a": 0.0, "b": 100.0, "c": 30 - 20j})).require()
    assert system.place(low.q, "c") == pytest.approx(36 - 48j, abs=1e-12)


def test_convergence_is_quadratic() -> None:
    """Digits double: gap_k+1 < C gap_k**2 over the last steps."""
    system = triangle()
    start = system.state({"a": 0.0, "b": 100.0, "c": 34 + 45j})
    gaps = [solve(system, start, budget=k, gap=1e-9).gap for k in range(1, 4)]
    assert gaps[-1] < 1e-7
    for first, second in pairwise(gaps):
        assert second < 0.05 * first**2


def test_a_loose_gap_is_polished_once() -> None:
    """The last step is for nothing but digits: from 1e-3 to its square."""
    system = triangle()
    start = system.state({"a": 0.0, "b": 100.0, "c": 34 + 45j})
    loose = solve(system, start, gap=1e-3).require()
    assert loose.gap < 1e-6


@pytest.mark.parametrize("bad", [np.full(6, np.nan), np.full(6, np.inf), np.zeros(5)])
def test_a_bad_start_is_refused(bad: np.ndarray) -> None:
    with pytest.raises(ValueError, match="6 finite coordinates"):
        solve(triangle(), bad)


def test_a_start_without_slopes_is_stuck_not_a_crash() -> None:
    """Points on one place have no direction between them."""
    system = assemble(
        points=("a", "b", "c"),
        numbers=("w",),
        rows=(Drawn(a="a", b="b", pull="w", rest=3.0), InLine(a="c", b="a", c="b")),
    )
    assert solve(system, np.zeros(7)).status is Status.STUCK


def test_nothing_to_solve_is_solved() -> None:
    system = assemble(points=("a",), rows=())
    got = solve(system, np.ones(2)).require()
    assert (got.count, got.gap, got.worst) == (0, 0.0, "")


def test_nothing_free_is_judged() -> None:
    system = assemble(points=("a",), rows=(Pinned(a="a", at=1.0),), held=("a",))
    assert solve(system, np.array([1.0, 0.0])).status is Status.CONVERGED
    assert solve(system, np.array([2.0, 0.0])).status is Status.STUCK


def test_a_redundant_system_solves() -> None:
    system = assemble(
        points=("a", "b"),
        rows=(Pinned(a="a", at=2j), Joined(a="a", b="b"), Pinned(a="b", at=2j)),
    )
    q = solve(system, np.array([9.0, 3.0, -4.0, 5.0])).require().q
    np.testing.assert_allclose(q, [0, 2, 0, 2], atol=1e-12)


def random_bar(case: int) -> tuple[FourBar, float]:
    rng = np.random.default_rng(case)
    while True:
        a, b, c, d = rng.uniform(20, 200, 4)
        bar = FourBar(
            a=a, b=b, c=c, d=d, side=rng.choice([-1.0, 1.0]), tilt=rng.uniform(-3, 3)
        )
        theta = float(rng.uniform(-np.pi, np.pi))
        reach = abs(bar.ground - bar.crank(theta))
        if abs(b - c) + 5.0 < reach < b + c - 5.0:
            return bar, theta


@pytest.mark.parametrize("case", range(many(300)))
def test_solve_closes_random_four_bars(case: int) -> None:
    bar, theta = random_bar(case)
    rng = np.random.default_rng(case)
    near = bar.hole(theta) + complex(*rng.normal(0, 1.0, 2))
    held = bar.system().holding("turn")
    got = solve(held, bar.start(theta, near)).require()
    assert got.gap <= 1e-12
    assert abs(held.place(got.q, "b") - bar.hole(theta)) < 1e-9


@pytest.mark.parametrize("case", range(many(300)))
def test_rates_against_the_closed_form(case: int) -> None:
    """First and second, by the crank and by the coupler hole's own pivot."""
    bar, theta = random_bar(case)
    held = bar.system().holding("turn")
    q = solve(held, bar.start(theta, bar.hole(theta))).require().q
    first = rate(held, q, push(held, turn=1.0))
    second = mixed_rate(held, q, push(held, turn=1.0), push(held, turn=1.0))
    h = 1e-4
    p = [bar.hole(theta + k * h) for k in (-2, -1, 0, 1, 2)]
    d1 = (p[0] - 8 * p[1] + 8 * p[3] - p[4]) / (12 * h)
    d2 = (-p[0] + 16 * p[1] - 30 * p[2] + 16 * p[3] - p[4]) / (12 * h * h)
    assert held.place(first, "b") == pytest.approx(d1, rel=1e-7, abs=1e-6)
    assert held.place(second, "b") == pytest.approx(d2, rel=1e-4, abs=1e-2)


def test_mixed_rates_of_a_slider_by_hand() -> None:
    """X = sqrt(r^2 - w^2): x_w = -w/x, x_ww = -r^2/x^3, with the rod as a number."""
    r, w = 130.0, 50.0
    x = 120.0
    system = assemble(
        points=("a", "b"),
        numbers=("w", "r", "x"),
        held=("w", "r"),
        rows=(
            Along(a="a", way="w", start=0.0, along=1j),
            Along(a="b", way="x", start=0.0, along=1.0),
            Drawn(a="a", b="b", pull="r", rest=0.0),
        ),
    )
    q = system.state({"a": 1j * w, "b": x, "w": w, "r": r, "x": x})
    by_w, by_r = push(system, w=1.0), push(system, r=1.0)
    assert system.number(rate(system, q, by_w), "x") == pytest.approx(-w / x, rel=1e-14)
    assert system.number(rate(system, q, by_r), "x") == pytest.approx(r / x, rel=1e-14)
    for one, two, want in (
        (by_w, by_w, -(r**2) / x**3),
        (by_w, by_r, w * r / x**3),
        (by_r, by_w, w * r / x**3),
        (by_r, by_r, -(w**2) / x**3),
    ):
        got = system.number(mixed_rate(system, q, one, two), "x")
        assert got == pytest.approx(want, rel=1e-12)


@pytest.mark.parametrize("case", range(many(200)))
def test_power_in_is_power_out(case: int) -> None:
    """Statics by hand on a slider-crank: torque * turn rate = force * slide rate."""
    rng = np.random.default_rng(case)
    b = rng.uniform(80, 200)
    crank = SliderCrank(
        a=rng.uniform(20, 70), b=b, offset=rng.uniform(-9, 9), tilt=rng.uniform(-3, 3)
    )
    theta = float(rng.uniform(-3, 3))
    held = crank.system().holding("turn")
    q = solve(held, crank.start(theta, crank.along(theta))).require().q
    speed = held.number(rate(held, q, push(held, turn=1.0)), "way")
    rod = (crank.slider(theta) - crank.crank(theta)) / crank.b
    axis = np.exp(1j * crank.tilt)
    push_in_rod = (
        1.0 / (rod * np.conj(axis)).real
    )  # so that 1 N comes out of the slider
    arm = crank.crank(theta)
    torque = -(np.conj(arm) * (-push_in_rod * rod)).imag
    assert torque == pytest.approx(speed, rel=1e-9, abs=1e-9)


def test_what_is_free_has_no_rate() -> None:
    system = triangle().freeing("b")
    q = produced(Status.CONVERGED).q
    with pytest.raises(ValueError, match="no one rate"):
        rate(system, q, np.zeros(6))
    loose = assemble(points=("a",), numbers=("w",), rows=(Pinned(a="a", at=0.0),))
    with pytest.raises(ValueError, match="no rate"):
        rate(loose, np.zeros(3), np.zeros(3))

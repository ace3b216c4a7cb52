"""What SymPy derives, held against its constraint, high precision and the kernels."""

import math
import re
from functools import cache
from typing import Any

import mpmath as mp
import numpy as np
import pytest
import sympy as sp

from solvers.closure import slide
from solvers.derive import CLOSURES, WORKINGS, Line, derive, working
from solvers.derive.working import expression
from solvers.jet import Jet, seed
from solvers.swing import swing
from tests import oracles
from tests.cases_count import many

# Inputs at which each closure closes, in the order of its inputs; any branch.
AT: dict[str, tuple[float, ...]] = {
    "slider": (-30.0, 25.0, 120.0),
    "swing": (70.0, -40.0, 55.0, 90.0),
    "shortened": (70.0, -40.0, 55.0, 95.0, 7.0, 2.0),
    "drawn": (50.0, -80.0, 90.0),
    "unrolled": (30.0, 2.5, 22.0),
}


def oracle(name: str, branch: int) -> Any:
    """The same closure at high precision, from the triangles."""
    one = mp.mpf(1)
    return {
        "slider": lambda u, w, r: oracles.slider(mp.mpc(u, w), 0, one, r, branch),
        "swing": lambda x, z, c, r: oracles.swing(mp.mpc(x, z), 0, c, r, branch),
        "shortened": lambda x, z, c, r, p, k: oracles.swing(
            mp.mpc(x, z), 0, c, r - oracles.taken(p, k), branch
        ),
        "drawn": lambda x, z, rest: oracles.pull(mp.mpc(x, z), 0, rest),
        "unrolled": lambda p, k, a: oracles.taken(p, k) / a,
    }[name]


def number(expr: Any, name: str, branch: int) -> Any:
    """An expression of a closure at 40 digits, at its place in AT."""
    found = derive(name)
    f = sp.lambdify((*found.inputs, found.branch or sp.Dummy()), expr, "mpmath")
    return f(*(mp.mpf(x) for x in AT[name]), branch)


def test_every_closure_has_a_place_and_a_working() -> None:
    assert set(AT) == set(CLOSURES)
    assert {w.closure for w in WORKINGS.values()} - {""} == set(CLOSURES)


@pytest.mark.parametrize("branch", [1, -1])
@pytest.mark.parametrize("name", CLOSURES)
def test_the_value_meets_its_constraint(name: str, branch: int) -> None:
    found = derive(name)
    left = found.constraint.subs(found.unknown, found.value)
    with oracles.digits():
        assert abs(number(left, name, branch)) < 1e-33


@pytest.mark.parametrize("branch", [1, -1])
@pytest.mark.parametrize("name", CLOSURES)
def test_derivatives_by_three_roads(name: str, branch: int) -> None:
    """SymPy's of the value, of the constraint, and mpmath's differences."""
    found = derive(name)
    names = [str(symbol) for symbol in found.inputs]
    with oracles.digits():
        at, f = tuple(mp.mpf(x) for x in AT[name]), oracle(name, branch)
        assert abs(f(*at) - number(found.value, name, branch)) < 1e-35
        for i, by in enumerate(names):
            one = number(found.first(by), name, branch)
            two = found.implicit(by).subs(found.unknown, found.value)
            assert abs(one - number(two, name, branch)) < 1e-30
            assert abs(one - oracles.first(f, at, i)) < 1e-18
            for k, then in enumerate(names):
                bent = number(found.mixed(by, then), name, branch)
                assert abs(bent - oracles.mixed(f, at, i, k)) < 1e-14


def test_an_unknown_name_lists_the_known() -> None:
    with pytest.raises(KeyError, match="slider, swing, shortened, drawn, unrolled"):
        derive("circle")
    with pytest.raises(KeyError, match="slider has no input q; it has u, w, r"):
        derive("slider").first("q")
    with pytest.raises(KeyError, match="carried, slider"):
        working("circle", {})


@cache
def compiled(name: str) -> dict[tuple[str, ...], Any]:
    """Value and every derivative of a closure as functions of floats."""
    found = derive(name)
    args = (*found.inputs, found.branch)
    names = [str(symbol) for symbol in found.inputs]
    out: dict[tuple[str, ...], Any] = {(): found.value}
    out |= {(by,): found.first(by) for by in names}
    out |= {(by, then): found.mixed(by, then) for by in names for then in names}
    return {key: sp.lambdify(args, expr) for key, expr in out.items()}


def seeded(values: tuple[float, ...], driver: int) -> list[Jet]:
    """Each a parameter; one of them the driving value as well."""
    jets = [seed(v, i, len(values)) for i, v in enumerate(values)]
    jets[driver] = Jet(values[driver], 1.0, jets[driver].g)
    return jets


@pytest.mark.parametrize("case", range(many(100)))
def test_the_shipped_slider_is_the_derived_one(case: int) -> None:
    rng = np.random.default_rng(case)
    r, branch = rng.uniform(50, 200), int(rng.choice([-1, 1]))
    u, w = rng.uniform(-100, 100), rng.uniform(-0.9, 0.9) * r
    f = compiled("slider")
    for i, by in enumerate("uw"):
        pu, pw, pr = seeded((u, w, r), i)
        along = slide(pu + pw * 1j, pr, branch).along
        assert along.v == pytest.approx(f[()](u, w, r, branch), rel=1e-12, abs=1e-10)
        assert np.ravel(along.t)[0] == pytest.approx(
            f[(by,)](u, w, r, branch), rel=1e-9
        )
        for k, then in enumerate("uwr"):
            want = f[(then,)](u, w, r, branch)
            assert np.ravel(along.g[k])[0] == pytest.approx(want, rel=1e-9)
            want = f[(by, then)](u, w, r, branch)
            got = np.ravel(np.broadcast_to(along.h, (3, 1, 1))[k])[0]
            assert got == pytest.approx(want, rel=1e-8, abs=1e-14)


@pytest.mark.parametrize("case", range(many(100)))
def test_the_shipped_swing_is_the_derived_one(case: int) -> None:
    """Driven by the point; the direction's derivatives are those of the angle."""
    rng = np.random.default_rng(case)
    branch, (c, r) = int(rng.choice([-1, 1])), rng.uniform(40, 150, 2)
    d = rng.uniform(abs(c - r) + 5.0, c + r - 5.0)
    z = d * np.exp(1j * rng.uniform(-3, 3))
    at = (z.real, z.imag, c, r)
    f = compiled("swing")
    for i, by in enumerate("xz"):
        px, pz, pc, pr = seeded(at, i)
        held = swing(px + pz * 1j, pc, pr, branch)
        turn = f[()](*at, branch)
        want = c * np.exp(1j * turn)
        np.testing.assert_allclose(np.ravel(held.arm)[0], want, rtol=1e-12, atol=1e-10)
        t, g, h = held.turn()
        assert np.ravel(t)[0] == pytest.approx(f[(by,)](*at, branch), rel=1e-9)
        for k, then in enumerate("xzcr"):
            first, second = f[(then,)](*at, branch), f[(by, then)](*at, branch)
            assert np.ravel(g[k])[0] == pytest.approx(first, rel=1e-9, abs=1e-13)
            assert np.ravel(h[k])[0] == pytest.approx(second, rel=1e-8, abs=1e-13)


# Numbers for each working, in the units of its inputs (angles in rad).
PUT = {
    "carried": {"px": 120.0, "pz": 545.0, "reach": 62.1, "angle": -1.8, "turn": 0.2},
    "slider": {
        "px": 0.0,
        "pz": 0.0,
        "x": 20.0,
        "z": 20.0 * math.sqrt(3.0),
        "sx": 120.0,
        "sz": -20.0,
        "axis": 0.0,
        "rod": 120.0,
        "side": 1.0,
    },
    "swing": {
        "x": -3.0,
        "z": 0.0,
        "qx": 1.0,
        "qz": 3.0,
        "c": 5.0,
        "rod": 6.0,
        "side": -1.0,
    },
    "drawn": {"x": 3.0, "z": 4.0, "gx": -9.0, "gz": -1.0, "rest": 10.0},
    "shortened": {
        "taken": 7.0,
        "free": 60.0,
        "span": 70.0,
        "toward": -0.5,
        "c": 45.0,
        "side": 1.0,
    },
    "unrolled": {"taken": 10.5, "a": 30.0},
}


@pytest.mark.parametrize("name", WORKINGS)
def test_a_pocket_calculator_gets_the_result(name: str) -> None:
    """The line as printed, typed into a calculator set to degrees."""
    for line in working(name, PUT[name]):
        text = line.with_numbers.split(" = ")[1].replace("^", "**").replace(" deg", "")
        degrees = {
            "cos": lambda a: math.cos(math.radians(a)),
            "sin": lambda a: math.sin(math.radians(a)),
            "tan": lambda a: math.tan(math.radians(a)),
            "acos": lambda x: math.degrees(math.acos(x)),
            "asin": lambda x: math.degrees(math.asin(x)),
            "atan2": lambda y, x: math.degrees(math.atan2(y, x)),
            "sqrt": math.sqrt,
        }
        got = eval(text, {"__builtins__": {}}, degrees)  # noqa: S307 - our own text
        if name == "unrolled":
            got = math.degrees(got)
        assert got == pytest.approx(line.result, rel=1e-6, abs=1e-5)


def test_a_line_reads_like_a_book() -> None:
    assert working("swing", PUT["swing"])[0] == Line(
        what="the point from the pivot",
        formula="d = sqrt((x - qx)^2 + (z - qz)^2)",
        with_numbers="d = sqrt((-3 - 1)^2 + (0 - 3)^2)",
        result=5.0,
        unit="mm",
    )


def test_the_working_of_a_published_slider() -> None:
    """Norton, Design of Machinery, Example 4-2 (FROM MEMORY), read as a push."""
    lines = {
        line.formula.split(" = ")[0]: line for line in working("slider", PUT["slider"])
    }
    assert lines["e"].result == pytest.approx(126.8380051945 - 120.0, abs=1e-9)
    assert lines["lean"].result == pytest.approx(-27.0869284785, abs=1e-9)
    assert lines["de"].result == pytest.approx(-44.8697762357, abs=1e-9)


SUBSTITUTED: dict[str, tuple[str, dict[str, Any]]] = {
    "slider": ("e", {"x": "u", "z": "w", "sx": 0, "sz": 0, "axis": 0, "rod": "r"}),
    "swing": ("psi", {"qx": 0, "qz": 0, "rod": "r"}),
    "drawn": ("p", {"gx": 0, "gz": 0, "rest": "l"}),
    "shortened": (
        "psi",
        {
            "taken": "p - k",
            "free": "r",
            "span": "sqrt(x**2 + z**2)",
            "toward": "atan2(z, x)",
        },
    ),
    "unrolled": ("theta", {"taken": "p - k"}),
}


@pytest.mark.parametrize("name", SUBSTITUTED)
def test_the_working_is_the_derived_closure(name: str) -> None:
    """Steps put into each other give the closure's own value, symbol for symbol."""
    last, changes = SUBSTITUTED[name]
    whole: Any = sp.Symbol(last, real=True)
    for step in reversed(WORKINGS[name].steps):
        whole = whole.subs(sp.Symbol(step.name, real=True), expression(step))
    found = derive(name)
    own = {str(s): s for s in found.inputs}
    put = {
        sp.Symbol(k, real=True): sp.sympify(v, locals=own) for k, v in changes.items()
    }
    put |= {sp.Symbol(k, real=True): v for k, v in own.items() if k not in changes}
    if found.branch is not None:
        put[sp.Symbol("side", real=True)] = found.branch
    assert sp.simplify(whole.subs(put, simultaneous=True) - found.value) == 0


def test_all_that_is_wrong_is_said_at_once() -> None:
    with pytest.raises(ValueError) as fault:
        working("unrolled", {"taken": math.nan, "q": 2.0})
    assert str(fault.value) == "a is missing; q is not known; taken is not finite"


def test_a_linkage_that_does_not_close_says_where() -> None:
    short = {**PUT["slider"], "rod": 10.0}
    with pytest.raises(ValueError, match=re.escape("e = u + side * sqrt(rod^2 - w^2)")):
        working("slider", short)
    long = {**PUT["swing"], "rod": 60.0}
    with pytest.raises(ValueError, match="does not close: corner"):
        working("swing", long)


def results(name: str, numbers: dict[str, float]) -> dict[str, float]:
    lines = working(name, numbers)
    return {line.formula.split(" = ")[0]: line.result for line in lines}


@pytest.mark.parametrize("case", range(many(100)))
def test_a_chain_worked_by_hand_is_the_motion(case: int) -> None:
    """Carried, then pushed along any line: place, lean and speed at 40 digits."""
    rng = np.random.default_rng(case)
    pivot, arm = complex(*rng.uniform(-300, 300, 2)), rng.uniform(35, 90)
    angle, turn, axis, lean = rng.uniform(-1.0, 1.0, 4).tolist()
    side = float(rng.choice([-1.0, 1.0]))
    rest = pivot + arm * np.exp(1j * angle)
    rod = 2.5 * arm
    seat = rest + side * rod * np.exp(1j * (axis + 0.2 * lean))
    with oracles.digits():

        def end(by: Any) -> Any:
            hole = oracles.turned(oracles.point(rest), oracles.point(pivot), by)
            line = oracles.point(seat), mp.expj(mp.mpf(axis))
            return oracles.slider(hole, *line, mp.mpf(rod), int(side))

        want, speed = float(end(mp.mpf(turn))), float(mp.diff(end, mp.mpf(turn)))
    own = {"px": pivot.real, "pz": pivot.imag}
    carried = results("carried", {**own, "reach": arm, "angle": angle, "turn": turn})
    hole = complex(carried["x"], carried["z"])
    line = {"sx": seat.real, "sz": seat.imag, "axis": axis, "rod": rod, "side": side}
    worked = results("slider", {**own, **carried, **line})
    assert worked["e"] == pytest.approx(want, abs=1e-9)
    assert worked["de"] == pytest.approx(speed, abs=1e-9)
    span = (seat + worked["e"] * np.exp(1j * axis) - hole) / np.exp(1j * axis)
    leaning = math.degrees(math.atan(span.imag / span.real))
    assert worked["lean"] == pytest.approx(leaning, abs=1e-9)

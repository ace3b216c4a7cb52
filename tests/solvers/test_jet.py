"""Jets against mpmath's numerical derivatives at 40 digits."""

from collections.abc import Callable
from typing import Any

import mpmath as mp
import numpy as np
import pytest
from numpy.typing import NDArray

from solvers import jet, planar
from solvers.jet import Jet

mp.mp.dps = 40
T, P, Q = 0.3, -0.7, 0.4


def x_of(t: Any, p: Any, q: Any) -> Any:
    return 0.31 + 0.2 * t + 0.1 * p * t - 0.15 * q + 0.05 * t * t * q + 0.03 * p * q


def y_of(t: Any, p: Any, q: Any) -> Any:
    return 0.6 - 0.3 * t * q + 0.12 * p + 0.07 * q * q


def _as_jet(f: Callable[..., Any]) -> Jet:
    args = (mp.mpf(T), mp.mpf(P), mp.mpf(Q))

    def d(*orders: int) -> float:
        return float(mp.diff(f, args, orders))

    return Jet(
        float(f(*args)),
        d(1, 0, 0),
        np.array([d(0, 1, 0), d(0, 0, 1)]),
        np.array([d(1, 1, 0), d(1, 0, 1)]),
    )


def _complex(x: Jet, y: Jet) -> Jet:
    return Jet(
        x.v + 1j * y.v,
        *(a + 1j * b for a, b in zip(x.parts, y.parts, strict=True)),
    )


X, Y = _as_jet(x_of), _as_jet(y_of)
Z = _complex(X, Y)


def z_of(*args: Any) -> Any:
    return mp.mpc(x_of(*args), y_of(*args))


REAL: dict[str, tuple[Jet, Callable[..., Any]]] = {
    "sum": (X + Y, lambda *a: x_of(*a) + y_of(*a)),
    "difference": (X - Y, lambda *a: x_of(*a) - y_of(*a)),
    "less": (2.0 - X, lambda *a: 2 - x_of(*a)),
    "product": (X * Y, lambda *a: x_of(*a) * y_of(*a)),
    "quotient": (X / Y, lambda *a: x_of(*a) / y_of(*a)),
    "over": (3.0 / Y, lambda *a: 3 / y_of(*a)),
    "sqrt": (jet.sqrt(X), lambda *a: mp.sqrt(x_of(*a))),
    "arcsin": (jet.arcsin(X), lambda *a: mp.asin(x_of(*a))),
    "arccos": (jet.arccos(X), lambda *a: mp.acos(x_of(*a))),
    "length": (planar.length(Z), lambda *a: abs(z_of(*a))),
    "angle": (planar.angle(Z), lambda *a: mp.arg(z_of(*a))),
    "real of product": (planar.real(Z * Z), lambda *a: (z_of(*a) ** 2).real),
    "imag of quotient": (
        planar.imag(planar.conj(Z) / Z),
        lambda *a: (mp.conj(z_of(*a)) / z_of(*a)).imag,
    ),
    "cosine": (planar.real(planar.unit(X)), lambda *a: mp.cos(x_of(*a))),
    "sine": (planar.imag(planar.unit(X)), lambda *a: mp.sin(x_of(*a))),
    "between": (
        planar.between(Z, planar.conj(Z) * Z + 2j),
        lambda *a: abs(mp.arg((abs(z_of(*a)) ** 2 + 2j) / z_of(*a))),
    ),
    "where": (jet.where(np.array(True), X, Y), x_of),
}


@pytest.mark.parametrize("name", REAL)
def test_value_and_every_derivative(name: str) -> None:
    got, f = REAL[name]
    want = _as_jet(f)
    np.testing.assert_allclose(got.v, want.v, rtol=1e-13)
    for mine, theirs in zip(got.parts, want.parts, strict=True):
        np.testing.assert_allclose(mine, theirs, rtol=1e-11, atol=1e-12)


def test_a_driver_that_is_a_parameter_gives_the_second_derivative() -> None:
    t = jet.seed_driver(0.4, 0, 1)
    y = planar.unit(t * t)
    want = mp.diff(lambda s: mp.expj(s * s), mp.mpf("0.4"), 2)
    np.testing.assert_allclose(np.ravel(y.h)[0], complex(want), rtol=1e-12)


def test_constants_cost_no_parts() -> None:
    y = jet.sqrt(jet.lift(4.0)) * 3.0
    assert y.v == 6.0
    assert y.parts == (None, None, None)


def test_parts_are_worked_out_once_and_only_when_asked() -> None:
    asked = []

    def parts() -> jet.Parts:
        asked.append(1)
        return 1.0, None, None

    y = Jet.later(2.0, parts) + 1.0
    assert y.v == 3.0
    assert asked == []
    assert (y.t, y.t) == (1.0, 1.0)
    assert asked == [1]


def test_known_lengths_change_nothing() -> None:
    rng = np.random.default_rng(3)
    a, b = (rng.normal(size=(2, 40, 2)) @ [1, 1j]).reshape(2, 40)
    lengths = np.abs(a) * np.abs(b)
    plain: NDArray[np.float64] = planar.between(a, b).v
    np.testing.assert_allclose(planar.between(a, b, lengths).v, plain, rtol=1e-12)
    nearly = a * np.exp(1e-7j)
    np.testing.assert_allclose(
        planar.between(a, nearly, np.abs(a) ** 2).v, 1e-7, rtol=1e-8
    )

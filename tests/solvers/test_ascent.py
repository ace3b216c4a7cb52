"""Ascents against linear programming, non-negative least squares and geometry."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import linprog, nnls

from solvers.ascent import ascend, nearest
from solvers.bands import Bands
from tests.cases_count import many

Matrix = NDArray[np.float64]


class Flat:
    """Rows that are straight: ``a u``."""

    def __init__(self, a: Matrix) -> None:
        self.a = a

    @property
    def size(self) -> int:
        return int(self.a.shape[1])

    def __call__(self, u: Matrix) -> Matrix:
        return np.asarray(u @ self.a.T)

    def jacobian(self, u: Matrix) -> tuple[Matrix, Matrix]:
        return self(u), np.broadcast_to(self.a, (len(u), *self.a.shape)).copy()


class Round:
    """Two rows: the height, and the square of the distance from the middle."""

    size = 2

    def __call__(self, u: Matrix) -> Matrix:
        return np.stack([u[:, 1], ((u - 0.5) ** 2).sum(axis=1)], axis=1)

    def jacobian(self, u: Matrix) -> tuple[Matrix, Matrix]:
        top = np.broadcast_to([0.0, 1.0], u.shape)
        return self(u), np.stack([top, 2.0 * (u - 0.5)], axis=1)


def raised(rows: Flat | Round, low: Matrix, high: Matrix, start: Matrix) -> float:
    """Return the greatest first row found within bands of the others."""
    fixed = Bands(low=low, high=high, unit=np.ones(len(low)))
    found = ascend(
        rows,
        lambda _, level: fixed.put(0, level, np.inf),
        lambda _, y: np.where(fixed.met(y), y[:, 0], -np.inf),
        start[None],
        step=0.1,
        least=1e-9,
    )
    assert fixed.met(found.y).all()
    assert ((found.u >= 0.0) & (found.u <= 1.0)).all()
    return float(found.level[0])


@pytest.mark.parametrize("seed", range(many(60)))
def test_straight_rows_against_linear_programming(seed: int) -> None:
    rng = np.random.default_rng(seed)
    size, count = int(rng.integers(2, 8)), int(rng.integers(2, 9))
    a = rng.normal(size=(count, size))
    start = rng.uniform(0.2, 0.8, size)
    low = a @ start - rng.uniform(0.01, 0.4, count)
    high = a @ start + rng.uniform(0.01, 0.4, count)
    low[0], high[0] = -np.inf, np.inf
    best = linprog(
        -a[0],
        A_ub=np.vstack([a[1:], -a[1:]]),
        b_ub=np.concatenate([high[1:], -low[1:]]),
        bounds=[(0.0, 1.0)] * size,
    )
    assert best.fun is not None
    found = raised(Flat(a), low, high, start)
    assert found == pytest.approx(-best.fun, abs=1e-5)


def test_the_top_of_a_circle() -> None:
    """The highest point within 0.3 of the middle is 0.3 above it."""
    low, high = np.array([-np.inf, -np.inf]), np.array([np.inf, 0.09])
    for start in ([0.5, 0.5], [0.25, 0.5], [0.6, 0.3]):
        found = raised(Round(), low, high, np.array(start))
        assert found == pytest.approx(0.8, abs=1e-5)


def test_no_level_beyond_the_top() -> None:
    rows = Flat(np.eye(2))
    bands = Bands(low=np.full(2, -np.inf), high=np.full(2, np.inf), unit=np.ones(2))
    found = ascend(
        rows,
        lambda _, level: bands.put(0, level, np.inf),
        lambda _, y: y[:, 0],
        np.array([[0.1, 0.1]]),
        step=0.1,
        least=1e-6,
        top=0.4,
    )
    assert found.level[0] == pytest.approx(0.4)


@pytest.mark.parametrize("seed", range(many(100)))
def test_the_nearest_point_of_a_polyhedron(seed: int) -> None:
    """It lies in it, and no feasible direction comes nearer (Kuhn and Tucker)."""
    rng = np.random.default_rng(seed)
    size, count = int(rng.integers(2, 8)), int(rng.integers(3, 30))
    g = rng.normal(size=(count, size))
    h = g @ (30.0 * rng.normal(size=size)) - rng.exponential(size=count)
    x = nearest(g, h)
    assert x is not None
    assert (g @ x - h).min() > -1e-7
    held = np.abs(g @ x - h) < 1e-6
    _, left = nnls(g[held].T, x) if held.any() else (None, float(np.linalg.norm(x)))
    assert left < 1e-6 * max(1.0, float(np.linalg.norm(x)))


def test_half_spaces_apart_have_no_nearest_point() -> None:
    assert nearest(np.array([[1.0, 0.0], [-1.0, 0.0]]), np.array([1.0, 1.0])) is None

"""Families, duplicates, and what stays free, on sets whose shape is known."""

import numpy as np
import pytest

from solvers.family import distinct, families, free_directions, joined
from solvers.lm import meet
from solvers.screen import scatter
from tests.solvers.planes import RINGS, Smooth, bands, stack

ON_RING = bands((-0.01, 0.01))


def test_two_rings_are_two_families() -> None:
    landed = meet(RINGS, ON_RING, scatter(40, 2))
    u = landed.u[landed.met]
    label = families(RINGS, ON_RING, u)
    outer = np.linalg.norm(u - 0.5, axis=1) > 0.3
    assert set(label.tolist()) == {0, 1}
    assert len({(bool(o), int(n)) for o, n in zip(outer, label, strict=True)}) == 2


def test_a_path_bends_round_but_does_not_jump() -> None:
    a = np.array([[0.95, 0.5], [0.95, 0.5]])
    b = np.array([[0.5, 0.95], [0.7, 0.5]])
    assert joined(RINGS, ON_RING, a, b).tolist() == [True, False]
    assert joined(RINGS, ON_RING, b, a).tolist() == [True, False]


@pytest.mark.parametrize("count", [2, 3, 4])
def test_as_many_islands_as_there_are(count: int) -> None:
    """cos(2 pi count x) = 1 within the box: so many separate places."""
    waves = Smooth(
        size=2,
        f=lambda u: stack(np.cos(2.0 * np.pi * count * (u[:, 0] - 0.5 / count))),
    )
    wanted = bands((0.99, 1.01))
    landed = meet(waves, wanted, scatter(60, 2))
    label = families(waves, wanted, landed.u[landed.met])
    assert label.max() + 1 == count


def test_families_are_counted_in_order_of_appearance() -> None:
    u = np.array([[0.95, 0.5], [0.7, 0.5], [0.5, 0.95], [0.5, 0.7]])
    assert families(RINGS, ON_RING, u).tolist() == [0, 1, 0, 1]


def test_near_layouts_are_one() -> None:
    u = np.array([[0.5, 0.5], [0.5, 0.5001], [0.9, 0.5], [0.5, 0.5]])
    assert distinct(u).tolist() == [0, 2]


def test_free_directions_are_what_the_rows_leave() -> None:
    rng = np.random.default_rng(3)
    j = rng.normal(size=(3, 7))
    assert free_directions(j) == 4
    assert free_directions(np.vstack([j, j[:1] + 2.0 * j[1:2]])) == 4
    assert free_directions(np.zeros((0, 5))) == 5
    assert free_directions(np.zeros((2, 5))) == 5
    assert free_directions(np.diag([1.0, 1e-5, 1e-7])) == 1

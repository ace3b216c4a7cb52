"""Every kind of row: its slope, its scale, and what it calls itself."""

from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from solvers import rows
from solvers.rows import (
    KINDS,
    Along,
    Apart,
    Carried,
    Drawn,
    Given,
    InLine,
    Joined,
    Length,
    OnLine,
    Pinned,
    Row,
    Run,
    Turn,
    Unrolled,
)

EXAMPLE: dict[type[Row], Row] = {
    Length: Length(a="a", b="b", length=3.0),
    Pinned: Pinned(a="a", at=2.0 - 1.0j),
    Joined: Joined(a="a", b="b"),
    OnLine: OnLine(a="a", through=1.0 + 2.0j, along=3.0 - 1.0j),
    InLine: InLine(a="a", b="b", c="c"),
    Apart: Apart(a="a", b="b", along=1.0 + 1.0j, by=2.0),
    Turn: Turn(a="a", b="b", turn="t", reference=2.0 + 1.0j),
    Carried: Carried(a="a", b="b", turn="t", arm=3.0 - 2.0j),
    Along: Along(a="a", way="w", start=1.0 - 2.0j, along=-1.0 + 2.0j),
    Drawn: Drawn(a="a", b="b", pull="w", rest=1.5, gain=-1.0),
    Run: Run(a="a", b="b", c="c", d="d", share=2.0, total=5.0),
    Unrolled: Unrolled(a="v", b="w", radius_a=20.0, radius_b=-1.0, total=3.0),
    Given: Given(a="v", value=0.5, weight=40.0),
}

# Coordinates at which the example row holds exactly, found by hand.
HOLDS: dict[type[Row], list[float]] = {
    Length: [1, 1, 1, 4],
    Pinned: [2, -1],
    Joined: [4, 5, 4, 5],
    OnLine: [7, 0],
    InLine: [3, 3, 1, 1, 2, 2],
    Apart: [0, 0, np.sqrt(8.0), 0],
    Turn: [1, 1, 0, 3, np.pi / 2],
    Carried: [1, 1, 3, 4, np.pi / 2],
    Along: [0, 0, np.sqrt(5.0)],
    Drawn: [0, 0, 3, 4, -3.5],
    Run: [0, 0, 1, 0, 0, 0, 0, 2],
    Unrolled: [0.1, -1.0],
    Given: [0.5],
}


def size(row: Row) -> int:
    return 2 * len(row.points) + len(row.numbers)


def kinds(kind: type[Row]) -> str:
    return kind.__name__


def test_every_kind_has_an_example() -> None:
    assert set(EXAMPLE) == set(HOLDS) == set(KINDS)
    shipped = {x for x in vars(rows).values() if isinstance(x, type)}
    assert shipped - {Row} == set(KINDS)


@pytest.mark.parametrize("kind", KINDS, ids=kinds)
def test_jacobian_is_the_derivative(kind: type[Row]) -> None:
    """Complex step: exact to rounding, no step size to tune."""
    row = EXAMPLE[kind]
    p = np.random.default_rng(7).normal(size=size(row))
    slopes: NDArray[Any] = np.array(row.jacobian(p))
    assert slopes.shape == (kind.EQUATIONS, size(row))
    for i in range(size(row)):
        q = p.astype(complex)
        q[i] += 1e-30j
        got = np.imag(row.residual(q)) / 1e-30
        np.testing.assert_allclose(slopes[:, i], got, rtol=1e-14, atol=1e-15)


@pytest.mark.parametrize("kind", KINDS, ids=kinds)
def test_a_row_holds_where_a_hand_says_so(kind: type[Row]) -> None:
    left = EXAMPLE[kind].residual(HOLDS[kind])
    np.testing.assert_allclose(left, 0.0, atol=1e-14)
    assert len(left) == kind.EQUATIONS


@pytest.mark.parametrize("kind", KINDS, ids=kinds)
def test_every_coordinate_counts(kind: type[Row]) -> None:
    """No field of a row is without effect at a place in general position."""
    row = EXAMPLE[kind]
    p = np.random.default_rng(11).normal(size=size(row))
    assert np.all(np.any(np.array(row.jacobian(p)) != 0.0, axis=0))


@pytest.mark.parametrize("kind", KINDS, ids=kinds)
def test_arrays_equal_scalars(kind: type[Row]) -> None:
    row = EXAMPLE[kind]
    many = np.random.default_rng(3).normal(size=(size(row), 5))
    whole: tuple[Any, ...] = row.residual(list(many))
    for k in range(5):
        one = row.residual(many[:, k].tolist())
        np.testing.assert_array_equal([r[k] for r in whole], one)


def test_a_small_residual_is_a_distance() -> None:
    """A rod 1e-6 mm too long shows as 1e-6 mm."""
    row = Length(a="a", b="b", length=100.0)
    assert row.residual([0.0, 0.0, 100.000001, 0.0])[0] == pytest.approx(1e-6, rel=1e-6)


def test_a_run_over_a_guide_shares_one_for_one() -> None:
    """An ellipse by two pins and a string: 3-4-5 twice, 2 x 5 long."""
    string = Run(a="f", b="p", c="p", d="g", total=10.0)
    assert string.residual([-3.0, 0.0, 0.0, 4.0, 0.0, 4.0, 3.0, 0.0]) == (0.0,)


def test_label_is_the_name_or_made_from_what_is_tied() -> None:
    assert Length(a="hole", b="seat", length=1.0).label == "length hole seat"
    assert Length(a="hole", b="seat", length=1.0, name="rod").label == "rod"
    assert Given(a="turn", value=0.0).label == "given turn"

"""What is free and what is too much, on frameworks from the textbooks."""

from itertools import combinations

import numpy as np
import pytest

from solvers.newton import Status, solve
from solvers.rank import dependent, examine
from solvers.rows import Along, Carried, Given, Joined, Length, Pinned, Row
from solvers.system import System, assemble
from tests.cases_count import many

SQUARE = {"a": 0.0, "b": 100.0, "c": 100 + 100j, "d": 100j}
SIDES = ("ab", "bc", "cd", "da")


def frame(
    places: dict[str, complex],
    bars: tuple[str, ...],
    held: tuple[str, ...] = ("a", "b"),
) -> System:
    """Bars between points named by one letter each."""
    rows = (
        Length(
            a=bar[0], b=bar[1], length=abs(places[bar[1]] - places[bar[0]]), name=bar
        )
        for bar in bars
    )
    return assemble(points=places, rows=rows, held=held)


def test_a_triangle_on_two_pins_is_just_stiff() -> None:
    places = {"a": 0.0, "b": 80.0, "c": 30 + 60j}
    system = frame(places, ("ac", "bc"))
    rank = examine(system, system.state(places))
    assert (rank.rank, rank.unknowns, rank.equations) == (2, 2, 2)
    assert rank.free == ()
    assert rank.too_many == ()


def test_a_square_of_bars_racks() -> None:
    """Common practice, no source: without a diagonal the top moves sideways."""
    system = frame(SQUARE, SIDES[1:])
    (free,) = examine(system, system.state(SQUARE)).free
    assert set(free) == {"c", "d"}
    assert free["c"] == pytest.approx(free["d"])
    assert abs(free["c"].real) == pytest.approx(1.0)
    assert free["c"].imag == pytest.approx(0.0, abs=1e-12)


def test_both_diagonals_are_one_bar_too_many() -> None:
    """The braced square: any five of its six bars carry the same (textbook case)."""
    system = frame(SQUARE, (*SIDES, "ac", "bd"), held=("a",))
    rank = examine(system, system.state(SQUARE))
    assert rank.redundant == (("ab", "bc", "cd", "da", "ac", "bd"),)
    assert rank.fighting == ()
    assert len(rank.free) == 1  # turns about a


def test_a_wrong_diagonal_fights() -> None:
    rows = frame(SQUARE, (*SIDES[1:], "ac")).rows
    long = Length(a="b", b="d", length=150.0, name="bd")
    system = assemble(points=SQUARE, rows=(*rows, long), held=("a", "b"))
    stuck = solve(system, system.state(SQUARE))
    assert stuck.status is Status.STUCK
    rank = examine(system, stuck.q)
    assert rank.fighting == (("bc", "cd", "da", "ac", "bd"),)
    assert rank.too_many[0].gap > 1.0


def test_sides_that_cannot_meet_fight_by_what_is_missing() -> None:
    """1 + 1 is 1 short of 3: shared out over three bars in a line, 1/sqrt(3) each."""
    places = {"a": 0.0, "b": 1.0, "c": 2 + 0.3j}
    system = assemble(
        points=places,
        held=("a",),
        rows=(
            Length(a="a", b="b", length=1.0),
            Length(a="b", b="c", length=1.0),
            Length(a="a", b="c", length=3.0),
        ),
    )
    stuck = solve(system, system.state(places))
    assert stuck.status is not Status.CONVERGED
    assert stuck.gap > 0.2
    (group,) = examine(system, stuck.q).too_many
    assert group.fights
    assert group.rows == ("length a b", "length b c", "length a c")


def test_two_pins_for_one_point_fight() -> None:
    pins = (Pinned(a="a", at=0.0, name="first"), Pinned(a="a", at=3.0, name="second"))
    system = assemble(points=("a", "b"), rows=(*pins, Joined(a="a", b="b")))
    stuck = solve(system, np.zeros(4))
    assert stuck.status is Status.STUCK
    rank = examine(system, stuck.q)
    assert rank.fighting == (("first", "second"),)
    assert rank.redundant == (("first", "second"),)  # their heights agree


def test_a_row_that_ties_nothing_is_too_many_alone() -> None:
    system = assemble(points=("a",), rows=(Joined(a="a", b="a"),))
    rank = examine(system, np.zeros(2))
    assert rank.redundant == (("joined a a",), ("joined a a",))
    assert rank.free == ({"a": 1}, {"a": 1j})


def test_numbers_are_free_by_name() -> None:
    system = assemble(
        points=("o", "a"),
        numbers=("turn", "way", "loose"),
        held=("o",),
        rows=(
            Carried(a="o", b="a", turn="turn", arm=50j),
            Along(a="a", way="way", start=0.0, along=1j),
        ),
    )
    q = system.state({"o": 0, "a": 50j, "turn": 0, "way": 50, "loose": 0})
    assert examine(system, q).free == ({"loose": 1},)
    assert examine(system.holding("loose"), q).free == ()


def test_a_fold_leaves_a_direction_free_to_first_order() -> None:
    """Coupler and rocker in line: the held crank does not stop their joint."""
    places: dict[str, complex] = {"a": 0.0, "b": 100.0, "c": 40.0}
    system = frame(places, ("ac", "bc"))
    rank = examine(system, system.state(places))
    assert rank.redundant == (("ac", "bc"),)
    (free,) = rank.free
    assert free["c"] == pytest.approx(1j)


@pytest.mark.parametrize("case", range(many(100)))
def test_self_stress_and_motions_balance(case: int) -> None:
    """Maxwell-Calladine: motions - redundant bars = 2 joints - bars."""
    rng = np.random.default_rng(case)
    names = "abcdefg"[: rng.integers(3, 8)]
    places = {n: complex(*rng.uniform(0, 300, 2)) for n in names}
    pairs = [m + n for m, n in combinations(names, 2)]
    chosen = rng.permutation(pairs)[: rng.integers(1, len(pairs) + 1)]
    system = frame(places, tuple(chosen.tolist()), held=())
    rank = examine(system, system.state(places))
    assert len(rank.free) - len(rank.too_many) == 2 * len(names) - len(chosen)
    assert len(rank.free) >= 3
    assert rank.fighting == ()


@pytest.mark.parametrize("case", range(many(100)))
def test_weights_are_circuits(case: int) -> None:
    """They annul the matrix, and lose that with any one row left out."""
    rng = np.random.default_rng(case)
    a = rng.integers(-2, 3, (7, 4)) @ rng.integers(-2, 3, (4, 6)).astype(float)
    basis, weights = dependent(a)
    assert len(basis) == np.linalg.matrix_rank(a)
    assert len(basis) + len(weights) == 7
    for w in weights:
        np.testing.assert_allclose(w @ a, 0.0, atol=1e-10)
        support = np.flatnonzero(w)
        assert np.linalg.matrix_rank(a[support]) == len(support) - 1


def test_scale_of_a_row_does_not_matter() -> None:
    rows: tuple[Row, ...] = (
        Given(a="t", value=0.0, weight=1e-6),
        Given(a="u", value=0.0, weight=1e6),
    )
    system = assemble(points=(), numbers=("t", "u"), rows=rows)
    assert examine(system, np.zeros(2)).rank == 2

"""Irreducible sets against the definition, tried out on every subset."""

from itertools import chain, combinations

import numpy as np
import pytest

from solvers.subsets import Oracle, Set, conflicts, shrink
from tests.cases_count import many


def powerset(count: int) -> list[Set]:
    every = chain.from_iterable(
        combinations(range(count), size) for size in range(count + 1)
    )
    return [frozenset(each) for each in every]


def by_definition(bad: list[Set], count: int) -> set[Set]:
    """Every set that is not met while each set with one member less is."""

    def met(wants: Set) -> bool:
        return not any(each <= wants for each in bad)

    return {
        wants
        for wants in powerset(count)
        if not met(wants) and all(met(wants - {one}) for one in wants)
    }


@pytest.mark.parametrize("seed", range(many(60)))
def test_all_irreducible_sets_and_no_other(seed: int) -> None:
    rng = np.random.default_rng(seed)
    count = int(rng.integers(2, 7))
    every = powerset(count)[1:]
    bad = [every[i] for i in rng.integers(0, len(every), size=int(rng.integers(1, 4)))]
    oracle = Oracle(search=lambda wants: not any(each <= wants for each in bad))
    assert oracle(range(count)) is False
    found = conflicts(oracle, range(count), most=99)
    assert len(set(found)) == len(found)
    assert set(found) == by_definition(bad, count)


def test_nothing_is_asked_twice_or_where_it_is_known() -> None:
    asked: list[Set] = []

    def search(wants: Set) -> bool:
        asked.append(wants)
        return not {1, 3} <= wants

    oracle = Oracle(search=search)
    oracle.witness([0, 1, 2])
    assert oracle([0, 2]) is True
    assert oracle(range(5)) is False
    assert oracle(range(5)) is False
    assert shrink(oracle, range(5)) == frozenset({1, 3})
    assert len(set(asked)) == len(asked)
    assert not any(wants <= {0, 1, 2} for wants in asked)


def test_searches_run_out() -> None:
    oracle = Oracle(search=lambda wants: len(wants) < 3, left=1)
    assert oracle(range(6)) is False
    assert oracle([0, 1, 2]) is None
    assert shrink(oracle, range(6)) is None
    assert conflicts(oracle, range(6)) == ()


def test_a_witness_corrects_a_search_that_missed() -> None:
    oracle = Oracle(search=lambda _: False)
    assert oracle([0, 1]) is False
    oracle.witness([0, 1, 4])
    assert oracle([0, 1]) is True


def test_a_want_that_nobody_can_meet_is_a_set_of_its_own() -> None:
    oracle = Oracle(search=lambda wants: 2 not in wants)
    assert oracle(range(4)) is False
    assert conflicts(oracle, range(4)) == (frozenset({2}),)


def test_where_not_even_nothing_is_met_the_set_is_empty() -> None:
    oracle = Oracle(search=lambda _: False)
    assert oracle(range(3)) is False
    assert conflicts(oracle, range(3)) == (frozenset(),)

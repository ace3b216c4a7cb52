"""Impossible questions: no answer is claimed, and each conflict is what it is said to be.

The second road is a global search that shares nothing with the program's own but the
rows: scipy's differential evolution.
"""

import re
from typing import Any

import numpy as np
import pytest
from scipy.optimize import differential_evolution

from linkage.loading import load_text
from linkage.placing.layouts import Layouts
from linkage.placing.place import place
from linkage.placing.records import Clash, Conflict
from solvers.bands import Bands
from tests.cases_count import many
from tests.linkage.placing.asked import SHORT, asked, problem_of
from tests.linkage.placing.impossible import TROUBLES, impossible

evolve: Any = differential_evolution  # its types know no vectorised cost
HARD = 1e6  # what a layout costs that does not exist


def least_cost(problem: Layouts, bands: Bands, seed: int) -> float:
    """Return the least sum of squared misses that differential evolution finds."""

    def cost(x: np.ndarray) -> np.ndarray:
        miss = bands.miss(problem(np.atleast_2d(x.T)))
        total = (miss * miss).sum(axis=1)
        return np.where(np.isfinite(total), total, HARD)

    found = evolve(
        cost,
        [(0.0, 1.0)] * problem.size,
        vectorized=True,
        updating="deferred",
        popsize=25,
        maxiter=400,
        tol=1e-12,
        polish=False,
        rng=np.random.default_rng(seed),
        callback=lambda intermediate_result: intermediate_result.fun == 0.0,
    )
    return float(found.fun)


def with_targets(text: str, keep: list[int]) -> str:
    """Return a design's text with only some of its targets, counted from 1."""
    head, *targets = re.split(r"(?=\[\[pedal\.brake\.target\]\])", text)
    return head + "".join(targets[number - 1] for number in keep)


def applied(text: str, clash: Clash) -> str:
    """Return the text with one target giving way as named."""
    assert clash.would_do is not None
    angle = "angle" in clash.wish.target.of or "turn" in clash.wish.target.of
    number = float(np.degrees(clash.would_do)) if angle else clash.would_do
    head, *targets = re.split(r"(?=\[\[pedal\.brake\.target\]\])", text)
    index = clash.wish.target.number - 1
    changed, count = re.subn(
        rf"(?m)^{clash.bound} = .*$", f"{clash.bound} = {number:.9f}", targets[index]
    )
    assert count == 1
    targets[index] = changed
    return head + "".join(targets)


def assert_irreducible(problem: Layouts, conflict: Conflict, seed: int) -> None:
    numbers = [clash.wish.target.number for clash in conflict.clashes]
    wants = [n - 1 for n in numbers]
    whole = problem.bands.only(problem.rows_of(wants))
    assert least_cost(problem, whole, seed) > 0.0
    for one in wants:
        rest = problem.bands.only(problem.rows_of([i for i in wants if i != one]))
        assert least_cost(problem, rest, seed) == 0.0


@pytest.mark.parametrize("trouble", TROUBLES)
def test_impossible_questions(trouble: str) -> None:
    for seed in range(many(10)):
        planted = impossible(trouble, np.random.default_rng([seed, len(trouble)]))
        placement = place(load_text(planted.text))
        assert placement.status == "conflict", planted.text
        problem = problem_of(load_text(planted.text))
        for conflict in placement.conflicts:
            assert_irreducible(problem, conflict, seed)
            numbers = [clash.wish.target.number for clash in conflict.clashes]
            for clash in conflict.clashes:
                assert clash.missed_by > 0.0
                if clash.would_do is not None:
                    given = with_targets(applied(planted.text, clash), numbers)
                    assert place(load_text(given)).status == "placed", given
            for give in conflict.gives:
                given = re.sub(
                    r"travel = .*", f"travel = {give.would_do}", planted.text
                )
                assert place(load_text(given)).status == "placed", given


@pytest.mark.parametrize("trouble", ["bound", "twice", "short"])
def test_what_can_be_proved_is_proved(trouble: str) -> None:
    planted = impossible(trouble, np.random.default_rng(3))
    placement = place(load_text(planted.text))
    assert any(conflict.proof for conflict in placement.conflicts)


def test_a_bound_of_the_lever_rule() -> None:
    """100 mm at 5.5 or more is 18.18 mm of piston; 100 / 23.8 is the mean ratio left.

    What would do can come near these bounds and never beyond them.
    """
    (conflict,) = asked(SHORT).conflicts
    stroke, ratio = conflict.clashes
    assert conflict.proof == "100 of pad at 5.5 or more moves the piston 18.2 at most."
    assert stroke.would_do is not None
    assert ratio.would_do is not None
    assert 18.18 - 0.3 < stroke.would_do < 100.0 / 5.5 + 0.2
    assert 0.985 * 100.0 / 23.8 < ratio.would_do < 100.0 / 23.8
    (travel,) = conflict.gives
    assert 5.5 * 23.8 < travel.would_do < 5.5 * 23.8 + 4.0


def test_what_would_do_is_the_nearest() -> None:
    """Half way back to what was wanted, differential evolution meets nothing."""
    (conflict,) = asked(SHORT).conflicts
    for clash in conflict.clashes:
        assert clash.would_do is not None
        target = clash.wish.target
        wanted = target.exact if clash.bound == "is" else target.least
        assert wanted is not None
        unit = clash.wish.unit
        nearer = clash.would_do + np.sign(wanted - clash.would_do) * 0.5 * unit
        text = re.sub(
            rf"(?m)^{clash.bound} = {wanted:g}$", f"{clash.bound} = {nearer:.6f}", SHORT
        )
        problem = problem_of(load_text(text))
        assert least_cost(problem, problem.bands, 0) > 0.0


def test_the_least_worst_miss_is_shared() -> None:
    """Beyond their bands both miss by the same number of units."""
    (conflict,) = asked(SHORT).conflicts
    stroke, ratio = conflict.clashes
    assert (stroke.missed_by - 0.2) / 0.2 == pytest.approx(
        ratio.missed_by / 0.05, rel=0.02
    )


def test_two_conflicts_are_both_told() -> None:
    text = SHORT + (
        '[[pedal.brake.target]]\nof = "crank angle"\nat = "rest"\nleast = 100\n'
        '[[pedal.brake.target]]\nof = "crank angle"\nat = "rest"\nmost = 95\n'
    )
    placement = asked(text)
    sets = [
        {clash.wish.target.number for clash in conflict.clashes}
        for conflict in placement.conflicts
    ]
    assert {1, 2} in sets
    assert {3, 4} in sets


def test_a_gap_counts_before_the_bound() -> None:
    """The rod end's 18.18 mm less half a millimetre of play."""
    text = SHORT.replace("stroke = 60", "free_play = 0.5").replace(
        "40 to 70", "40 to 80"
    )
    (conflict,) = asked(text).conflicts
    assert conflict.proof == "100 of pad at 5.5 or more moves the piston 17.7 at most."

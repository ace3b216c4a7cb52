"""Impossible questions: no answer is claimed, and each conflict is what it is said to be.

The second road is scipy's differential evolution, on rows of plain triangles
(`plain_rows`) that are held against the constraint solver.
"""

import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from scipy.optimize import differential_evolution

from linkage.loading import load_text
from linkage.placing import answers, hunt
from linkage.placing.layouts import Layouts
from linkage.placing.place import place
from linkage.placing.records import Clash, Conflict
from solvers.bands import Bands
from solvers.lm import Landed
from solvers.search import seek
from tests.cases_count import many
from tests.linkage.placing.asked import SHORT, asked, problem_of
from tests.linkage.placing.impossible import TROUBLES, impossible
from tests.linkage.placing.plain_rows import (
    HARD,
    Judge,
    by_constraints,
    columns,
    missed_by_constraints,
)
from tests.linkage.placing.planted import KINDS, Planted, filled, plant

evolve: Any = differential_evolution  # its types know no vectorised cost


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


class Work:
    """Counts what the program's searches cost that met nothing: the greatest of them.

    One evaluation is one layout whose rows are worked out, with derivatives or without.
    """

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.greatest = self.count = 0
        rows, slopes = Layouts.__call__, Layouts.jacobian

        def call(problem: Layouts, u: np.ndarray) -> np.ndarray:
            self.count += len(u)
            return rows(problem, u)

        def jacobian(problem: Layouts, u: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
            self.count += len(u)
            return slopes(problem, u)

        def counted(*args: Any, **more: Any) -> Landed:
            before = self.count
            landed = seek(*args, **more)
            if not landed.met.any():
                self.greatest = max(self.greatest, self.count - before)
            return landed

        monkeypatch.setattr(Layouts, "__call__", call)
        monkeypatch.setattr(Layouts, "jacobian", jacobian)
        for module in (hunt, answers):
            monkeypatch.setattr(module, "seek", counted)


def hunted(judge: Judge, effort: float, seed: int) -> tuple[float, np.ndarray]:
    """Return the least cost and its place: differential evolution, again and again.

    Ends when something is met, or when ``effort`` layouts were judged.
    """
    best, place = np.inf, np.full(judge.size, 0.5)
    rng = np.random.default_rng(seed)
    while best > 0.0 and judge.spent < effort:
        found = evolve(
            lambda x: judge(np.atleast_2d(x.T)),
            [(0.0, 1.0)] * judge.size,
            vectorized=True,
            updating="deferred",
            popsize=60,
            maxiter=400,
            tol=1e-9,
            polish=False,
            rng=rng,
            callback=lambda intermediate_result: (
                intermediate_result.fun == 0.0 or judge.spent >= effort
            ),
        )
        if found.fun < best:
            best, place = float(found.fun), found.x
    return best, place


def assert_irreducible(planted: Planted, conflict: Conflict, effort: int) -> None:
    """Ten times the effort on rows of plain triangles, held to the constraint solver.

    The set is not met on a coarse grid (which asks less than the whole stretch); each
    proper subset is met, and by the constraint solver's columns too. A subset of one
    that is met is met whatever else is left out.
    """
    targets = load_text(planted.text).pedals["brake"].targets
    wants = [targets[clash.wish.target.number - 1] for clash in conflict.clashes]
    judge = Judge(planted, wants, grid=9)
    cost, place = hunted(judge, 10 * effort, 1)
    assert cost > 0.0, judge.text(place)
    assert judge.spent >= 10 * effort > 100_000
    if cost < HARD:
        assert max(missed_by_constraints(judge, place, wants)) > 0.0
    for one in wants:
        rest = [want for want in wants if want is not one]
        judge = Judge(planted, rest, grid=41)
        cost, place = hunted(judge, 10 * effort, 2)
        assert cost == 0.0, [want.number for want in rest]
        assert all(gap < 1e-6 for gap in missed_by_constraints(judge, place, rest))


def assert_does(text: str, planted: Planted) -> None:
    """A text with one thing given way is placed; the constraint solver says so too."""
    found = place(load_text(text))
    assert found.status == "placed", text
    answer = found.answers[0]
    design = load_text(answer.text)
    names = {path_of(planted.kind, key): key for key in planted.layout}
    layout = dict(planted.layout) | {
        names[path]: float(np.degrees(v)) if path.endswith("axis") else v
        for path, v in answer.values.items()
    }
    layout["travel"] = design.pedals["brake"].full.value.nominal
    judge = Judge(replace(planted, layout=layout, spans={}), [], grid=41)
    wants = design.pedals["brake"].targets
    gaps = missed_by_constraints(judge, np.zeros(0), wants)
    assert all(gap < 1e-6 for gap in gaps), answer.text


def path_of(kind: str, key: str) -> str:
    """The path of a planted number in the design."""
    where = {"lever": "train.1.pivot", "seat": f"train.{1 + (kind == 'crank')}.seat"}
    name, _, axis = key.partition(".")
    if name in ("input", "output", "ferrule", "slack"):
        where[name] = f"train.1.{name}"
    if name == "axis":
        where[name] = f"train.{1 + (kind == 'crank')}.axis"
    return f"brake.{where.get(name, name)}" + (f".{axis}" if axis else "")


@pytest.mark.parametrize("trouble", TROUBLES)
def test_impossible_questions(trouble: str, monkeypatch: pytest.MonkeyPatch) -> None:
    for seed in range(many(10)):
        planted = impossible(trouble, np.random.default_rng([seed, len(trouble)]))
        with monkeypatch.context() as patch:
            work = Work(patch)
            placement = place(load_text(planted.text))
        assert placement.status == "conflict", planted.text
        for conflict in placement.conflicts:
            assert_irreducible(planted, conflict, work.greatest)
            numbers = [clash.wish.target.number for clash in conflict.clashes]
            for clash in conflict.clashes:
                assert clash.missed_by > 0.0
                if clash.would_do is not None:
                    given = with_targets(applied(planted.text, clash), numbers)
                    assert_does(given, planted)
            for give in conflict.gives:
                given = re.sub(
                    r"travel = .*", f"travel = {give.would_do}", planted.text
                )
                assert_does(given, planted)


def test_the_plain_rows_are_the_constraint_solvers() -> None:
    """On layouts drawn at random: every column of the second road, 1e-9."""
    for kind in ("direct", "crank", "cable"):
        for seed in range(many(40)):
            planted = plant(kind, np.random.default_rng(seed), free=6, wants=3)
            layout = {k: np.array([[v]]) for k, v in planted.layout.items()}
            text = filled(KINDS[kind], {k: repr(v) for k, v in planted.layout.items()})
            travel = np.linspace(0.0, planted.layout["travel"], 7)[None, :]
            own = columns(kind, layout, travel)
            seen = by_constraints(text, travel[0].tolist())
            assert set(seen) - set(own) <= {"arm_angle", "crank_1_angle"}
            for name in set(own) & set(seen):
                np.testing.assert_allclose(
                    own[name], seen[name], rtol=1e-9, atol=1e-9, err_msg=name
                )


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

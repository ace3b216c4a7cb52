"""`place`: fill in what is free so that every target holds, or say which fight."""

from collections.abc import Callable

import numpy as np
from msgspec.structs import replace

from linkage import arguments
from linkage.design.frees import Group
from linkage.design.records import Design
from linkage.faults import DesignError
from linkage.placing.answers import Task, answers, best, find
from linkage.placing.best import Field, ranked
from linkage.placing.conflicts import explain, sort_out
from linkage.placing.gives import gives_of
from linkage.placing.hunt import Hunt
from linkage.placing.judge import obstacle, standing_of
from linkage.placing.leeway import leeway
from linkage.placing.picks import picks
from linkage.placing.question import group_of
from linkage.placing.records import Answer, Placement
from linkage.units import inches, say
from solvers.lm import Landed
from solvers.search import USUAL, Effort

Progress = Callable[[float], None]
Scored = tuple[Task, Answer, tuple[float, ...]]

#: The share of the bar that the search for answers takes; the rest is for conflicts.
SEARCHING = 0.5
#: Families beyond this are not told.
MOST_ANSWERS = 40
#: Conflicts beyond this are not told.
MOST_CONFLICTS = 4


def place(
    design: Design,
    *,
    pedal: str | None = None,
    seed: int = 0,
    mark: float | None = None,
    progress: Progress | None = None,
    effort: Effort = USUAL,
) -> Placement:
    """Place what a design leaves free.

    Parameters
    ----------
    design : Design
    pedal : str, optional
        A pedal of the group that is meant; needed where several groups ask.
    seed : int
        Same seed, same answer.
    mark : float, optional
        The step to which lengths are rounded, mm.
    progress : callable, optional
        Called with the share that is done, 0 to 1, now and then.
    effort : Effort
        How hard to look.

    Returns
    -------
    Placement

    Raises
    ------
    DesignError
        Where nothing is free, nothing is wanted, or a target asks for what a train
        has not.
    """
    tell = progress or (lambda _: None)
    if pedal is not None:
        arguments.named(design, pedal)
    arguments.whole("seed", seed, 0, None, "Give a whole number, 0 or more.")
    mark = arguments.step(mark)
    group = group_of(design, pedal)
    tasks = [Task.of(design, group, pick, mark, seed) for pick in picks(design, group)]
    found: list[Scored] = []
    known: dict[bytes, tuple[Task, Landed, Field | None]] = {}
    for count, task in enumerate(tasks):
        traits = task.fingerprint
        if traits not in known:
            landed = find(task, effort)
            known[traits] = task, landed, best(task, landed)
        found += _scored(task, known[traits][2])
        tell(SEARCHING * (count + 1.0) / len(tasks))
    landings = [(task, landed) for task, landed, _ in known.values()]
    met = any(landed.met.any() for _, landed in landings)
    if found:
        tell(1.0)
        return _placed(found)
    if met:
        return _without(design, group, _why_unwritten(mark, design.units), mark, seed)
    hunt = Hunt(tasks=[task for task, _ in landings], effort=effort)
    return _refused(hunt, landings, tell)


def _scored(task: Task, field: Field | None) -> list[Scored]:
    if field is None:
        return []
    return [(task, answer, scores) for answer, scores in answers(task, field)]


def _placed(found: list[Scored]) -> Placement:
    first = found[0][0]
    soft = [wish.unit for wish in first.problem.wishes if wish.soft]
    moving = any(free.near is not None for free in first.group.frees)
    units = [*soft, *([0.0] if moving else []), 1.0]
    order = ranked([scores for _, _, scores in found], units, len(soft))
    texts = [found[index][1].text for index in order]
    order = [i for place, i in enumerate(order) if texts[place] not in texts[:place]]
    task, top, _ = found[order[0]]
    written = np.array([top.values[free.path] for free in task.problem.frees])
    return Placement(
        design=first.design,
        group=first.group,
        status="placed",
        answers=tuple(found[index][1] for index in order[:MOST_ANSWERS]),
        leeway=leeway(task.problem, task.problem.unit(written)),
        mark=first.mark,
        seed=first.seed,
    )


def _why_unwritten(mark: float | None, units: str) -> str:
    if mark is None:
        return "Layouts were met, but none that can be written in hundredths."
    return (
        "Layouts were met, but none whose lengths are whole steps of "
        f"{_said(mark, units)}. Try a finer --mark."
    )


def _said(mark: float, units: str) -> str:
    """Return a step as it was most likely typed: "0.5 mm", "1/16 in"."""
    steps = mark / 25.4 * 64
    ruled = units == "in" and abs(steps - round(steps)) < 1e-9
    return inches(mark, 64) if ruled else say(mark, units, 5)


def _without(
    design: Design, group: Group, why: str, mark: float | None, seed: int
) -> Placement:
    return Placement(
        design=design,
        group=group,
        status="no answer found",
        why=why,
        mark=mark,
        seed=seed,
    )


def _refused(
    hunt: Hunt, landings: list[tuple[Task, Landed]], tell: Progress
) -> Placement:
    """Return which targets fight, or why that could not be told."""
    first = hunt.tasks[0]
    for task, landed in landings:
        hunt.note(task, landed)
    outcome = sort_out(hunt, MOST_CONFLICTS)
    tell(0.75)
    late = [
        each
        for task, landed in outcome.met
        for each in _scored(task, best(task, landed))
    ]
    if late:
        return _placed(late)
    if outcome.sets and not outcome.sets[0]:
        bare = _without(
            first.design, first.group, _why_bare(first), first.mark, first.seed
        )
        return replace(bare, gives=gives_of(hunt, first.group.pedals))
    if not outcome.sets:
        why = "The search met no layout, and could not tell which targets fight."
        return _without(first.design, first.group, why, first.mark, first.seed)
    count = len(outcome.sets)
    told = [
        explain(
            hunt,
            wants,
            lambda share, i=i: tell(0.75 + 0.25 * (i + share) / count),  # type: ignore[misc]
            fixed=i == 0,
        )
        for i, wants in enumerate(outcome.sets)
    ]
    tell(1.0)
    return Placement(
        design=first.design,
        group=first.group,
        status="conflict",
        conflicts=tuple(told),
        mark=first.mark,
        seed=first.seed,
    )


def _why_bare(task: Task) -> str:
    """Say why no layout at all makes its travel, by the one the file stands for."""
    values = task.numbers(task.start[0])
    for name in task.group.pedals:
        try:
            said = obstacle(standing_of(task.design, name, values, task.pick.names))
        except DesignError as error:
            said = str(error)
        if said:
            return (
                "Whatever its targets, no layout makes its whole travel. In the middle "
                f"of the ranges, {name}: {said.rstrip('.')}."
            )
    return "Whatever its targets, no layout within these ranges makes its whole travel."

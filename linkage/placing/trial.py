"""Whether a question that is changed a little would be answered: by answering it.

What a refusal names as giving way is put to the same search, the same rounding and the
same judge as a file in which it stands.
"""

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from linkage.placing.answers import Task, best, find, written
from linkage.placing.judge import judge_one, obstacle, standing_of
from linkage.placing.layouts import layouts
from linkage.placing.picks import Pick
from linkage.placing.records import NOTHING
from linkage.placing.wishes import Wish
from solvers.search import Effort


def answered(
    task: Task,
    wishes: Sequence[Wish],
    effort: Effort,
    numbers: Mapping[str, float] = NOTHING,
) -> bool:
    """Tell whether an answer is found that can be written.

    Parameters
    ----------
    task : Task
        Its wishes are not asked.
    wishes : sequence of Wish
        What is asked in their place.
    effort : Effort
    numbers : mapping of str to float, optional
        Values by path that stand in place of the file's, internal units.
    """
    pick = Pick(numbers={**task.pick.numbers, **numbers}, names=task.pick.names)
    problem = layouts(
        task.design,
        task.group.pedals,
        task.problem.frees,
        wishes,
        numbers=pick.numbers,
        names=pick.names,
    )
    trial = replace(task, problem=problem, pick=pick)
    field = best(trial, find(trial, effort))
    return field is not None and any(
        _holds(trial, x)
        for index in range(len(field.u))
        for x in written(trial, field, index)
    )


def _holds(trial: Task, x: NDArray[np.float64]) -> bool:
    frees = {f.path: float(v) for f, v in zip(trial.problem.frees, x, strict=True)}
    values = {**frees, **trial.pick.numbers}
    for pedal in trial.group.pedals:
        rest = standing_of(trial.design, pedal, values, trial.pick.names)
        if obstacle(rest):
            return False
        mine = [wish for wish in trial.problem.wishes if wish.pedal == pedal]
        if not all(judge_one(rest, wish.target).met for wish in mine):
            return False
    return True

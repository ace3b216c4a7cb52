"""Searches for sets of targets: over every way to choose, with what was seen kept."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from linkage.placing.answers import Task
from solvers.bands import Bands
from solvers.lm import Landed
from solvers.search import Effort, seek
from solvers.subsets import Oracle, Set

Matrix = NDArray[np.float64]


class Hunt:
    """Looks for layouts that meet some of the targets.

    Attributes
    ----------
    tasks : sequence of Task
        One for each way to choose.
    effort : Effort
    oracle : Oracle
    """

    def __init__(self, tasks: Sequence[Task], effort: Effort) -> None:
        self.tasks = tasks
        self.effort = effort
        self.oracle = Oracle(search=self.search)

    @property
    def hard(self) -> Set:
        """Return the numbers of the wishes that have to hold."""
        wishes = self.tasks[0].problem.wishes
        return frozenset(i for i, wish in enumerate(wishes) if not wish.soft)

    def bands(self, task: Task, wants: Set) -> Bands:
        """Return the bands of some targets, the rules always in."""
        problem = task.problem
        return problem.bands.only(problem.rows_of(sorted(wants)))

    def search(self, wants: Set) -> bool:
        """Tell whether one layout for these targets was found."""
        for task in self.tasks:
            landed = self.look(task, wants, first=True)
            self.note(task, landed)
            if landed.met.any():
                return True
        return False

    def look(
        self,
        task: Task,
        wants: Set,
        *,
        first: bool = False,
        factor: int = 1,
        also: Matrix | None = None,
    ) -> Landed:
        """Search one way to choose for layouts that meet some targets."""
        start = task.start if also is None else np.vstack([task.start, also])
        return seek(
            task.problem,
            self.bands(task, wants),
            effort=self.effort.times(factor) if factor > 1 else self.effort,
            seed=task.seed + 1000 * (factor - 1),
            also=start,
            first=first,
        )

    def note(self, task: Task, landed: Landed) -> None:
        """Tell the oracle which sets the layouts of a search meet."""
        owner, bands = task.problem.owner, task.problem.bands
        good = bands.margin(landed.y) >= 0.0
        sound = good[:, owner < 0].all(axis=1)
        wishes = sorted(self.hard)
        met = np.stack([good[:, owner == i].all(axis=1) for i in wishes], axis=1)
        for mask in np.unique(met[sound], axis=0):
            self.oracle.witness(i for i, yes in zip(wishes, mask, strict=True) if yes)

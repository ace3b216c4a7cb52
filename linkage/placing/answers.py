"""From a problem to written answers: search, families, the best of each, rounding."""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.design.fill import fill
from linkage.design.frees import Group
from linkage.design.records import Design
from linkage.loading import load_text
from linkage.placing.best import Field, hard_rows, improve, inward
from linkage.placing.judge import Judged, judge, judge_one, obstacle, standing_of
from linkage.placing.layouts import Free, Layouts, layouts
from linkage.placing.picks import Pick
from linkage.placing.records import Answer, Touched
from linkage.placing.rounding import Grid, candidates, in_order
from linkage.placing.sifting import sifted
from linkage.placing.wishes import wishes_of
from solvers.family import distinct, families, free_directions
from solvers.lm import Landed
from solvers.screen import scatter
from solvers.search import Effort, gather, seek

Matrix = NDArray[np.float64]

#: Families are told apart among so many met layouts, of a first and a second look.
CROWD = 36
#: Of each family so many are improved.
CREW = 4
#: Written numbers that are judged on the file before an answer is given up.
CHANCES = 6
#: Layouts by which one way to choose is told from another.
PRINTS = 12
#: A margin below this share of a unit is touching.
TOUCH = 0.02


class Task(Struct, frozen=True, kw_only=True, eq=False):
    """What is to be placed, for one way to choose."""

    design: Design
    group: Group
    pick: Pick
    problem: Layouts
    mark: float | None
    seed: int

    @classmethod
    def of(
        cls, design: Design, group: Group, pick: Pick, mark: float | None, seed: int
    ) -> "Task":
        """Return the task for one way to choose."""
        problem = layouts(
            design,
            group.pedals,
            [Free.of(free) for free in group.frees],
            wishes_of(design, group.pedals),
            numbers=pick.numbers,
            names=pick.names,
        )
        return cls(
            design=design,
            group=group,
            pick=pick,
            problem=problem,
            mark=mark,
            seed=seed,
        )

    @property
    def fingerprint(self) -> bytes:
        """Return what tells its rows from those of other ways to choose.

        A bore that is chosen moves nothing: what was found for one serves all.
        """
        return self.problem(scatter(PRINTS, self.problem.size)).tobytes()

    @property
    def start(self) -> Matrix:
        """Where the file would have its free values if nothing were wanted, (1, k)."""
        nominal = {free.path: free.nominal for free in self.group.frees}
        return self.problem.within(nominal)[None]

    def numbers(self, u: Matrix) -> dict[str, float]:
        """Return the values of one layout by path, choices of numbers included."""
        x = self.problem.at(u)
        frees = {f.path: float(v) for f, v in zip(self.problem.frees, x, strict=True)}
        return {**frees, **self.pick.numbers}


def find(task: Task, effort: Effort) -> Landed:
    """Search for layouts that meet every target; look twice where there are any."""
    one = seek(
        task.problem,
        task.problem.bands,
        effort=effort,
        seed=task.seed,
        also=task.start,
    )
    if not one.met.any():
        return one
    two = seek(
        task.problem, task.problem.bands, effort=effort.once, seed=task.seed + 101
    )
    return gather([one, two])


def best(task: Task, landed: Landed) -> Field | None:
    """Return the best layout of each family; None where none was met."""
    seen = landed.u[landed.met]
    if not len(seen):
        return None
    u = _crowd(seen)
    label = families(task.problem, task.problem.bands, u)
    crew = np.concatenate(
        [np.flatnonzero(label == one)[:CREW] for one in range(label.max() + 1)]
    )
    return improve(task.problem, u[crew], label[crew], seen)


def answers(task: Task, field: Field) -> list[tuple[Answer, tuple[float, ...]]]:
    """Return the answers that can be written, with their scores; unordered."""
    found = []
    for index in range(len(field.u)):
        answer = write(task, field, index)
        if answer is not None:
            scores = tuple(float(score[index]) for score in field.scores)
            found.append((answer, scores))
    return found


def _crowd(u: Matrix) -> Matrix:
    """Return met layouts that differ, at most so many, evenly from all that there are.

    The first, from where the file stands, is always among them.
    """
    u = u[distinct(u)]
    if len(u) <= CROWD:
        return u
    return u[_spread(u, CROWD)]


def _spread(u: Matrix, count: int) -> NDArray[np.intp]:
    """Choose the first, then again and again the one farthest from all chosen."""
    chosen = [0]
    gap = np.linalg.norm(u - u[0], axis=1)
    while len(chosen) < count:
        chosen.append(int(np.argmax(gap)))
        gap = np.minimum(gap, np.linalg.norm(u - u[chosen[-1]], axis=1))
    return np.array(chosen)


def written(task: Task, field: Field, index: int) -> Matrix:
    """Return the written layouts (n, k) near one of a field, the best first."""
    values = {free.path: free for free in task.group.frees}
    grid = Grid(problem=task.problem, values=values, mark=task.mark)
    rows, bands = field.rows, field.rows.bands(task.problem.bands)
    won = field.bands.take(np.array(index))
    found = candidates(grid, rows, bands, won, field.u[index], CHANCES)
    if len(found) or not task.problem.size:
        return found
    u = inward(field, index, hard_rows(task.problem))
    found = candidates(grid, rows, bands, won, u, CHANCES)
    if len(found):
        return found
    seen = np.vstack([field.u[index], field.seen])
    anywhere = sifted(grid, task.problem, task.problem.bands, seen)
    return in_order(grid, rows, bands, won, anywhere)[:CHANCES]


def write(task: Task, field: Field, index: int) -> Answer | None:
    """Return a layout as it would be written; None where none near it holds."""
    for x in written(task, field, index):
        answer = _answer(task, field.u[index], x)
        if answer is not None:
            return answer
    return None


def _answer(task: Task, u: Matrix, x: Matrix) -> Answer | None:
    """Judge one layout on the file as written; None where it does not hold."""
    paths = [free.path for free in task.problem.frees]
    values = dict(zip(paths, map(float, x), strict=True)) | dict(task.pick.numbers)
    filled = fill(task.design, values, task.pick.names, mark=task.mark)
    design = load_text(filled.text, task.design.file)
    rests = [standing_of(design, pedal) for pedal in task.group.pedals]
    if any(obstacle(rest) for rest in rests):
        return None
    judged = tuple(each for rest in rests for each in judge(rest))
    if not all(each.met for each in judged):
        return None
    exact = task.numbers(u)
    unit = task.problem.unit(x)[None]
    return Answer(
        values=values,
        names=task.pick.names,
        exact=exact,
        judged=judged,
        exactly=_exactly(task, exact, judged),
        free_directions=_free(task.problem, unit),
        touched=_touched(task.problem, x, unit),
        moves=_moves(task.problem.frees, x),
        text=filled.text,
        lines=filled.lines,
    )


def _exactly(
    task: Task, values: dict[str, float], judged: tuple[Judged, ...]
) -> tuple[Judged, ...]:
    """Judge a layout before rounding, at the same places as it was judged written."""
    rests = {
        pedal: standing_of(task.design, pedal, values, task.pick.names)
        for pedal in task.group.pedals
    }
    return tuple(
        judge_one(rests[each.pedal], each.target, each.travel) for each in judged
    )


def _free(problem: Layouts, u: Matrix) -> int:
    """Return the free directions at a layout: k less the rank of its ``is`` rows."""
    y, j = problem.jacobian(u)
    rows = [np.zeros(problem.size)]
    for index, wish in enumerate(problem.wishes):
        if wish.target.exact is None:
            continue
        mine = np.flatnonzero(problem.owner == index)
        off = np.abs(y[0, mine] - wish.target.exact)
        worst = mine[int(np.argmax(np.where(np.isnan(off), -1.0, off)))]
        rows.append(j[0, worst] / wish.unit)
    return free_directions(np.array(rows))


def _moves(frees: Sequence[Free], x: Matrix) -> float:
    return float(
        sum(
            ((v - free.near) / max(free.high - free.low, 1e-12)) ** 2
            for free, v in zip(frees, x, strict=True)
            if free.near is not None
        )
    )


def _touched(problem: Layouts, x: Matrix, u: Matrix) -> tuple[Touched, ...]:
    found = []
    for free, number in zip(problem.frees, x, strict=True):
        close = 1e-6 * max(free.high - free.low, 1e-9)
        if number <= free.low + close:
            found.append(Touched(path=free.path, end="low"))
        elif number >= free.high - close:
            found.append(Touched(path=free.path, end="high"))
    y = problem(u)
    margin = problem.bands.margin(y)[0]
    for index in np.flatnonzero((margin < TOUCH) & np.isfinite(margin)):
        path = _name(problem, int(index))
        found.append(Touched(path=path, end="limit"))
    return tuple(dict.fromkeys(found))


def _name(problem: Layouts, row: int) -> str:
    """Return what a touched row is called: a target, or a cylinder."""
    owner = int(problem.owner[row])
    if owner < 0:
        pedals = [g.pedal.name for g in problem.gauges for _ in range(g.rules)]
        return f"{pedals[int(np.count_nonzero(problem.owner[:row] < 0))]}.stroke"
    wish = problem.wishes[owner]
    return f"{wish.pedal}.target.{wish.target.number}"

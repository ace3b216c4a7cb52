"""Which targets fight, by how much they miss, and what would do instead."""

from collections.abc import Callable, Mapping

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from linkage.placing.answers import Task
from linkage.placing.bounds import proof_of
from linkage.placing.gives import gives_of
from linkage.placing.giving import Way, least_give, ways
from linkage.placing.hunt import Hunt
from linkage.placing.judge import judge_one, standing_of
from linkage.placing.records import Bound, Clash, Conflict
from linkage.placing.trial import answered
from linkage.placing.wishes import Wish, wish_of
from solvers.ascent import ascend
from solvers.levels import inside, margins
from solvers.lm import Landed, meet
from solvers.subsets import Set, conflicts

Matrix = NDArray[np.float64]

#: A set is looked at again with so many times the effort before it is called a conflict.
AGAIN = 3
#: Layouts from which the least worst miss is looked for.
CROWD = 16
#: Of these so many are brought to their very best.
FINEST = 4
#: A target's numbers by what the file calls them.
KEYS: Mapping[Bound, str] = {"is": "exact", "least": "least", "most": "most"}
#: How often sets are sorted out anew where a second look met one of them.
TURNS = 4


class Outcome(Struct, frozen=True, kw_only=True, eq=False):
    """What sorting out gave: sets of targets, or layouts that meet all after all."""

    sets: tuple[Set, ...] = ()
    met: tuple[tuple[Task, Landed], ...] = ()


def sort_out(hunt: Hunt, most: int = 4) -> Outcome:
    """Return irreducible sets of targets that were not met, looked at twice."""
    hunt.oracle.unmet.append(hunt.hard)
    for _ in range(TURNS):
        sets = conflicts(hunt.oracle, hunt.hard, most)
        doubtful = False
        for wants in sets:
            met = _second_look(hunt, wants)
            if met and wants == hunt.hard:
                return Outcome(met=met)
            doubtful |= bool(met)
        if not doubtful:
            return Outcome(sets=sets)
    return Outcome()


def _second_look(hunt: Hunt, wants: Set) -> tuple[tuple[Task, Landed], ...]:
    found = []
    for task in hunt.tasks:
        landed = hunt.look(task, wants, factor=AGAIN, first=True)
        hunt.note(task, landed)
        if landed.met.any():
            found.append((task, landed))
    return tuple(found)


def explain(
    hunt: Hunt,
    wants: Set,
    tick: Callable[[float], None] = lambda _: None,
    *,
    fixed: bool = True,
) -> Conflict:
    """Return a set as a conflict: misses, what would do, and a proof where there is one.

    ``tick`` is called with the share that is done; ``fixed``: try also
    what else could give, the travel and the cylinders' strokes.
    """
    order = sorted(wants)
    wishes = hunt.tasks[0].problem.wishes
    task, values = _least_miss(hunt, wants)
    clashes = []
    for count, index in enumerate(order):
        would_do, bound = _would_do(hunt, wants, index)
        tick((count + 1.0) / (len(order) + 1.0))
        clashes.append(
            Clash(
                wish=wishes[index],
                missed_by=_missed(task, wishes[index], values),
                would_do=would_do,
                bound=bound,
            )
        )
    names = tuple(dict.fromkeys(wishes[index].pedal for index in order))
    gives = gives_of(hunt, names) if fixed else ()
    proof = proof_of(task.design, task.problem, [wishes[i] for i in order])
    return Conflict(clashes=tuple(clashes), gives=gives, proof=proof)


def _least_miss(hunt: Hunt, wants: Set) -> tuple[Task, dict[str, float]]:
    """Return the layout whose worst miss is least."""
    best: tuple[float, Task, Matrix] | None = None
    for task in hunt.tasks:
        problem, bands = task.problem, hunt.bands(task, wants)
        landed = hunt.look(task, wants)
        rules = bands.only(problem.owner < 0)
        ruled = meet(problem, rules, landed.u)
        u = ruled.u[ruled.met]
        if not len(u):
            continue
        worst = bands.margin(ruled.y[ruled.met]).min(axis=1)
        u = u[np.argsort(-worst, kind="stable")[:CROWD]]
        which = np.isin(problem.owner, sorted(wants))
        raised = margins(problem, bands, which, u)
        at, reached = inside(bands, which)
        order = np.argsort(-raised.level, kind="stable")[:FINEST]
        raised = ascend(
            problem, at, reached, raised.u[order], step=0.25, least=1e-5, top=0.0
        )
        top = int(np.argmax(raised.level))
        if best is None or raised.level[top] > best[0]:
            best = (float(raised.level[top]), task, raised.u[top])
    if best is None:
        task = hunt.tasks[0]
        return task, task.numbers(task.start[0])
    return best[1], best[1].numbers(best[2])


def _missed(task: Task, wish: Wish, values: dict[str, float]) -> float:
    """Return how far a target is from what was wanted, exactly, at a layout."""
    rest = standing_of(task.design, wish.pedal, values, task.pick.names)
    target = wish.target
    got = judge_one(rest, target).got
    if got is None:
        return float("nan")
    if target.exact is not None:
        return abs(got - target.exact)
    size = abs(got) if wish.size or wish.mirrored else got
    low = 0.0 if target.least is None else target.least - size
    high = 0.0 if target.most is None else size - target.most
    return max(low, high, 0.0)


def _would_do(hunt: Hunt, wants: Set, index: int) -> tuple[float | None, Bound]:
    """Return the nearest value of a target with which its set is met."""
    best: tuple[float, float, Bound] | None = None
    first: Bound = "is"
    for task in hunt.tasks:
        wish = task.problem.wishes[index]
        landed = hunt.look(task, wants - {index})
        starts = landed.u[landed.met]
        for way in ways(task, hunt.bands(task, wants), index):
            first = way.bound if best is None and first == "is" else first
            change = _Change(hunt=hunt, task=task, wants=wants, index=index, way=way)
            give = least_give(task, way, starts, wish.unit, change.holds)
            if give is None or (best is not None and give >= best[0]):
                continue
            best = (give, change.value(give), way.bound)
    return (None, first) if best is None else (best[1], best[2])


class _Change(Struct, frozen=True, kw_only=True, eq=False):
    """A set of targets, one of which gives way."""

    hunt: Hunt
    task: Task
    wants: Set
    index: int
    way: Way

    def value(self, give: float) -> float:
        """Return what then stands at the bound that gives."""
        side = self.way.up if self.way.bound == "most" else self.way.down
        wish = self.task.problem.wishes[self.index]
        return _wanted(wish, self.way.bound) + side * give

    def holds(self, give: float) -> bool:
        """Tell whether the set is answered then."""
        wishes = list(self.task.problem.wishes)
        wish, key = wishes[self.index], KEYS[self.way.bound]
        target = replace(wish.target, **{key: self.value(give)})
        wishes[self.index] = wish_of(wish.pedal, target)
        asked = [wishes[index] for index in sorted(self.wants)]
        return answered(self.task, asked, self.hunt.effort)


def _wanted(wish: Wish, bound: Bound) -> float:
    target = wish.target
    number: float | None = getattr(target, KEYS[bound])
    if number is None:
        raise TypeError(f"target {target.number} has no {bound}")
    return number

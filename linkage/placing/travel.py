"""Giving way in the travel instead of in a target: how much more, or less, would do."""

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from linkage.design.records import Pedal
from linkage.placing.answers import Task
from linkage.placing.hunt import Hunt
from linkage.placing.layouts import Free, layouts
from linkage.placing.pull import Pulled
from linkage.placing.records import Give
from solvers.bands import Bands
from solvers.levels import climb
from solvers.lm import meet
from solvers.search import seek
from solvers.subsets import Set

Matrix = NDArray[np.float64]

#: A travel is tried from this share of what it is to this many times it.
LEAST, MOST = 0.4, 2.2
#: The name is rounded away from what it is to this step, mm.
STEP = 1.0
#: Layouts from which a whole step is tried.
STARTS = 16


def travel_gives(hunt: Hunt, wants: Set) -> tuple[Give, ...]:
    """Return the nearest travel of each pedal of a set with which all targets are met."""
    wishes = hunt.tasks[0].problem.wishes
    design = hunt.tasks[0].design
    names = dict.fromkeys(wishes[index].pedal for index in sorted(wants))
    found = []
    for name in names:
        pedal = design.pedals[name]
        if pedal.full.how == "travel" and pedal.full.value.kind == "fixed":
            gives = [_give(hunt, task, pedal) for task in hunt.tasks]
            good = [give for give in gives if give is not None]
            if good:
                found.append(min(good, key=lambda give: abs(give.would_do - give.now)))
    return tuple(found)


def _give(hunt: Hunt, task: Task, pedal: Pedal) -> Give | None:
    now = pedal.full.value.nominal
    own = Free(path=pedal.full.value.path, low=LEAST * now, high=MOST * now, near=now)
    frees = [replace(free, near=None) for free in task.problem.frees]
    problem = layouts(
        task.design,
        task.group.pedals,
        [*frees, own],
        task.problem.wishes,
        numbers=task.pick.numbers,
        names=task.pick.names,
    )
    home = np.full(problem.size, np.nan)
    home[-1] = (now - own.low) / (own.high - own.low)
    rows = Pulled(rows=problem, home=home)
    bands = rows.bands(problem.bands)
    landed = seek(rows, bands, effort=hunt.effort, seed=task.seed)
    if not landed.met.any():
        return None
    raised = climb(
        rows,
        lambda _, level: _near(bands, level),
        lambda _, y: np.where(bands.met(y), -y[:, -1], -np.inf),
        landed.u[landed.met][:24],
        step=0.05,
        least=2e-4,
        top=0.0,
    )
    best = raised.u[int(np.argmax(raised.level))]
    order = np.argsort(-raised.level, kind="stable")[:STARTS]
    return _rounded(task, pedal, float(problem.at(best)[-1]), raised.u[order, :-1])


def _near(bands: Bands, level: Matrix) -> Bands:
    return bands.put(len(bands.unit) - 1, -np.inf, -level)


def _rounded(task: Task, pedal: Pedal, travel: float, starts: Matrix) -> Give | None:
    """Return a travel in whole steps with which every target is met."""
    value = pedal.full.value
    away = np.ceil if travel > value.nominal else np.floor
    for more in range(3):
        sign = 1.0 if travel > value.nominal else -1.0
        asked = float(away(travel / STEP) * STEP + sign * more * STEP)
        if not LEAST * value.nominal <= asked <= MOST * value.nominal:
            return None
        fixed = {**task.pick.numbers, value.path: asked}
        problem = layouts(
            task.design,
            task.group.pedals,
            task.problem.frees,
            task.problem.wishes,
            numbers=fixed,
            names=task.pick.names,
        )
        # Narrowed a little: what is met so can also be written.
        bands = problem.bands.shrunk(0.05)
        if meet(problem, bands, starts, first=True).met.any():
            return Give(path=value.path, now=value.nominal, would_do=asked)
    return None

"""Giving way in what is fixed instead of in a target: the travel, a cylinder's stroke."""

from collections.abc import Iterator

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.design.records import Pedal
from linkage.design.values import Value
from linkage.parts.cylinder import Cylinder
from linkage.placing.answers import Task
from linkage.placing.hunt import Hunt
from linkage.placing.layouts import Free, layouts
from linkage.placing.pull import Pulled
from linkage.placing.records import Give
from linkage.placing.trial import answered
from linkage.quantities.register import is_loaded
from solvers.ascent import ascend
from solvers.bands import Bands
from solvers.levels import climb
from solvers.search import seek

Matrix = NDArray[np.float64]

#: So many steps further are tried where the first is a hair too little.
FURTHER = 3
#: Layouts that are brought as near as they go, and of these to the very nearest.
STARTS, FINEST = 24, 4


class Opening(Struct, frozen=True, kw_only=True):
    """A fixed value that could be another.

    Attributes
    ----------
    value : Value
    least, most : float
        It is tried from this share of what it is to this many times it.
    step : float
        What is named is rounded away from what it is to this step, mm.
    """

    value: Value
    least: float
    most: float
    step: float


def openings(pedal: Pedal) -> Iterator[Opening]:
    """Return the fixed values of a pedal that could give way.

    A stroke does not where a target is about the pressed brake: its fluid rests on it.
    """
    full = pedal.full.value
    if pedal.full.how == "travel" and full.kind == "fixed":
        step = 1.27 if full.unit == "in" else 1.0
        yield Opening(value=full, least=0.4, most=2.2, step=step)
    for part in () if any(map(is_loaded, pedal.targets)) else pedal.train:
        stroke = part.stroke if isinstance(part, Cylinder) else None
        if stroke is not None:
            step = 0.254 if stroke.unit == "in" else 0.1
            yield Opening(value=stroke, least=1.0, most=8.0, step=step)


def gives_of(hunt: Hunt, pedals: tuple[str, ...]) -> tuple[Give, ...]:
    """Return what of some pedals could give way, each alone, all targets met."""
    found = []
    for name in pedals:
        for opening in openings(hunt.tasks[0].design.pedals[name]):
            gives = [_give(hunt, task, opening) for task in hunt.tasks]
            good = [give for give in gives if give is not None]
            if good:
                found.append(min(good, key=lambda give: abs(give.would_do - give.now)))
    return tuple(found)


def _give(hunt: Hunt, task: Task, opening: Opening) -> Give | None:
    value, now = opening.value, opening.value.nominal
    nearest = _nearest(hunt, task, opening)
    if nearest is None:
        return None
    sign = 1.0 if nearest > now else -1.0
    first = np.ceil(sign * nearest / opening.step - 1e-6)
    for more in range(FURTHER):
        asked = sign * float(first + more) * opening.step
        if not opening.least * now <= asked <= opening.most * now:
            return None
        asked = round(asked, 6)
        if answered(task, task.problem.wishes, hunt.effort, {value.path: asked}):
            return Give(path=value.path, now=now, would_do=asked)
    return None


def _nearest(hunt: Hunt, task: Task, opening: Opening) -> float | None:
    """Return what a value has to be at least, or at most, for all targets."""
    value, now = opening.value, opening.value.nominal
    low, high = opening.least * now, opening.most * now
    problem = layouts(
        task.design,
        task.group.pedals,
        [*task.problem.frees, Free(path=value.path, low=low, high=high)],
        task.problem.wishes,
        numbers=task.pick.numbers,
        names=task.pick.names,
    )
    home = np.full(problem.size, np.nan)
    home[-1] = (now - low) / (high - low)
    rows = Pulled(rows=problem, home=home)
    bands = rows.bands(problem.bands)
    landed = seek(rows, bands, effort=hunt.effort, seed=task.seed)
    if not landed.met.any():
        return None

    def at(_: NDArray[np.intp], level: Matrix) -> Bands:
        return bands.put(len(bands.unit) - 1, -np.inf, -level)

    def reached(_: NDArray[np.intp], y: Matrix) -> Matrix:
        return np.where(bands.met(y), -y[:, -1], -np.inf)

    starts = landed.u[landed.met][:STARTS]
    raised = climb(rows, at, reached, starts, step=0.05, least=2e-3, top=0.0)
    best = raised.u[np.argsort(-raised.level, kind="stable")[:FINEST]]
    raised = ascend(rows, at, reached, best, step=0.05, least=1e-6, top=0.0)
    return float(problem.at(raised.u[int(np.argmax(raised.level))])[-1])

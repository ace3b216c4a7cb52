"""How far a target would have to give way so that its set is met."""

from collections.abc import Callable, Iterator

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.placing.answers import Task
from linkage.placing.records import Bound
from solvers.ascent import ascend
from solvers.bands import Bands
from solvers.levels import climb
from solvers.lm import meet

Matrix = NDArray[np.float64]
Mask = NDArray[np.bool_]
Index = NDArray[np.intp]
Holds = Callable[[float], bool]

#: A give is named with so much to spare, in units: what it names can be written.
SPARES = (0.002, 0.01, 0.02, 0.03, 0.045, 0.06, 0.1, 0.25, 1.5)
#: ... and then as little as this share of it beyond what would not be answered.
NEAREST = 0.01
#: Layouts from which a give is looked for.
STARTS = 12
#: Of these so many are brought to their very best.
FINEST = 4


class Way(Struct, frozen=True, kw_only=True, eq=False):
    """One way in which a target may give: which bound, and to which side.

    Attributes
    ----------
    bands : Bands
        Of the set; the target's rows as they stand.
    mine : ndarray of bool
        The rows of the target.
    down, up : float
        How the lower and the upper ends move where the target gives by 1.
    """

    bound: Bound
    bands: Bands
    mine: Mask
    down: float
    up: float

    def at(self, give: Matrix) -> Bands:
        """Return the bands where the target gives by ``give`` (n,)."""
        by = np.where(self.mine, np.asarray(give)[:, None], 0.0)
        return Bands(
            low=self.bands.low + self.down * by,
            high=self.bands.high + self.up * by,
            unit=self.bands.unit,
        )

    def needed(self, y: Matrix) -> Matrix:
        """Return by how much the target must give for rows (n, m)."""
        short = np.full(len(y), -np.inf)
        if self.down < 0.0:
            short = np.maximum(short, (self.bands.low - y)[:, self.mine].max(axis=1))
        if self.up > 0.0:
            short = np.maximum(short, (y - self.bands.high)[:, self.mine].max(axis=1))
        return np.asarray(np.maximum(short, 0.0))

    def reached(self, _: Index, y: Matrix) -> Matrix:
        """Return the level (less give is higher) that rows have reached."""
        give = self.needed(y)
        give = np.where(np.isfinite(give), give, 0.0)
        met = self.at(give * (1.0 + 1e-12) + 1e-12).met(y)
        return np.where(met, -give, -np.inf)


def ways(task: Task, bands: Bands, index: int) -> Iterator[Way]:
    """Return the ways in which one target may give."""
    problem = task.problem
    wish = problem.wishes[index]
    mine = np.asarray(problem.owner == index)
    kinds: list[tuple[Bound, float, float]] = []
    if wish.target.exact is not None:
        kinds += [("is", -1.0, -1.0), ("is", 1.0, 1.0)]
    if wish.target.least is not None:
        kinds.append(("least", -1.0, 0.0))
    if wish.target.most is not None:
        kinds.append(("most", -1.0 if wish.mirrored else 0.0, 1.0))
    for bound, down, up in kinds:
        yield Way(bound=bound, bands=bands, mine=mine, down=down, up=up)


def least_give(
    task: Task, way: Way, starts: Matrix, unit: float, holds: Holds
) -> float | None:
    """Return the least give with which a written layout was met.

    Parameters
    ----------
    starts : ndarray, shape (n, k)
        Layouts that meet the set without the target.
    unit : float
        Of the target.
    holds : callable
        Tells whether a give would be answered.
    """
    if not len(starts):
        return None
    rows = task.problem
    y = rows(starts)
    order = np.argsort(way.needed(y), kind="stable")[:STARTS]
    starts, y = starts[order], y[order]
    begin = meet(rows, way.at(way.needed(y) + unit), starts, steps=25)
    if not begin.met.any():
        return None
    raised = climb(
        rows,
        lambda _, level: way.at(-level),
        way.reached,
        begin.u[begin.met],
        step=unit,
        least=0.1 * unit,
        top=0.0,
    )
    raised = ascend(
        rows,
        lambda _, level: way.at(-level),
        way.reached,
        raised.u[np.argsort(-raised.level, kind="stable")[:FINEST]],
        step=unit,
        least=1e-5 * unit,
        top=0.0,
    )
    give = -float(raised.level.max())
    if not np.isfinite(give):
        return None
    return _nearest(give, unit, holds)


def _nearest(give: float, unit: float, holds: Holds) -> float | None:
    """Return the least give from one on that would be answered, to a share of it."""
    less = give
    for spare in SPARES:
        more = give + spare * unit
        if holds(more):
            break
        less = more
    else:
        return None
    while more - less > NEAREST * more:
        middle = 0.5 * (less + more)
        less, more = (less, middle) if holds(middle) else (middle, more)
    return more

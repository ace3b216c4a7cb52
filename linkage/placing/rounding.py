"""Answers in the numbers that would be written, still meeting their targets.

Rounding moves a layout a little, and a layout at the edge of its targets out of them.
So the written numbers around it are tried, many together, and the best that meets is
taken; where none does, one number after another is written and the rest made to follow.
"""

from collections.abc import Mapping

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.design.fill import rounded
from linkage.design.values import Value
from linkage.placing.layouts import Layouts
from linkage.placing.pull import Pulled
from solvers.ascent import ascend
from solvers.bands import Bands
from solvers.levels import inside
from solvers.lm import Rows, meet
from solvers.screen import scatter

Matrix = NDArray[np.float64]

FINEST = {"deg": np.radians(0.01), "in": 0.0127}
TRIES = 768
REACHES = (0.5, 1.0, 2.0)
#: Layouts on the way inwards, where wishes leave less room than a step.
INWARDS = 24
#: A margin is raised by such steps, until less is won: units.
RISE, ENOUGH = 0.01, 1e-5


class Held(Struct, frozen=True, kw_only=True, eq=False):
    """A problem in which some coordinates stay where they are."""

    rows: Rows
    held: NDArray[np.bool_]

    @property
    def size(self) -> int:
        """Number of coordinates."""
        return self.rows.size

    def __call__(self, u: Matrix) -> Matrix:
        """Return the rows."""
        return self.rows(u)

    def jacobian(self, u: Matrix) -> tuple[Matrix, Matrix]:
        """Return the rows; none changes with what is held."""
        y, j = self.rows.jacobian(u)
        return y, np.where(self.held, 0.0, j)


def step_of(value: Value, mark: float | None) -> float:
    """Return about how far apart the written numbers of a value are, internal units."""
    if value.unit == "deg":
        return float(FINEST["deg"])
    return mark if mark is not None else FINEST.get(value.unit, 0.01)


class Grid(Struct, frozen=True, kw_only=True, eq=False):
    """The written numbers around a layout."""

    problem: Layouts
    values: Mapping[str, Value]
    mark: float | None

    @property
    def steps(self) -> Matrix:
        """Return about how far apart the written numbers of each coordinate are."""
        frees = self.problem.frees
        return np.array([step_of(self.values[free.path], self.mark) for free in frees])

    def written(self, index: int, number: float) -> float:
        """Return a coordinate's number as it would be written, internal units."""
        path = self.problem.frees[index].path
        return rounded(self.values[path], number, self.mark)

    def ladder(self, index: int, number: float, reach: int = 2) -> Matrix:
        """Return written numbers about one number, in order."""
        step = step_of(self.values[self.problem.frees[index].path], self.mark)
        free = self.problem.frees[index]
        around = number + step * np.arange(-reach, reach + 1)
        inside = np.clip(around, free.low, free.high)
        return np.unique([self.written(index, float(each)) for each in inside])

    def between(self, index: int, low: float, high: float) -> Matrix:
        """Return the written numbers from one number to another, in order."""
        half = 0.5 * float(self.steps[index])  # whole steps could all fall between two
        around = np.append(np.arange(low, high, half), high)
        return np.unique([self.written(index, float(each)) for each in around])

    def coarsest(self, rows: Rows, bands: Bands, u: Matrix) -> NDArray[np.intp]:
        """Return the coordinates in order, those whose steps are felt most first."""
        _, j = rows.jacobian(u[None])
        weight = np.abs(j[0] / bands.unit[:, None]).max(axis=0, initial=0.0)
        shares = self.steps / np.maximum(self.problem.widths, 1e-12)
        return np.argsort(-weight * shares, kind="stable")


def candidates(
    grid: Grid, rows: Pulled, bands: Bands, won: Bands, u: Matrix, most: int
) -> Matrix:
    """Return written layouts near one that meet its bands, the best first.

    Parameters
    ----------
    grid : Grid
    rows : Pulled
    bands : Bands
        Which every one of them meets.
    won : Bands
        The same with wishes and moves held to what this layout has of them: what
        falls short of them the least, wish by wish, comes first.
    u : ndarray, shape (k,)
        In the unit box.
    most : int
        No more than so many.

    Returns
    -------
    ndarray, shape (n, k)
        Values in internal units; none where nothing near meets.
    """
    if not len(u):
        return np.zeros((1, 0))
    tries = _around(grid, u)
    if not won.met(rows(grid.problem.unit(tries))).any():
        for each in (won, bands):
            stepwise = _stepwise(grid, rows, each, u)
            tries = np.vstack([tries, _around(grid, stepwise)])
            if bands.met(rows(grid.problem.unit(tries))).any():
                break
    granted, first = _granted(grid.problem, won)
    if first.any() and not granted.met(rows(grid.problem.unit(tries))).any():
        tries = np.vstack([tries, _inwards(grid, rows, granted, first, u)])
    return in_order(grid, rows, bands, won, tries)[:most]


def _granted(problem: Layouts, won: Bands) -> tuple[Bands, NDArray[np.bool_]]:
    """Return what holds before the last wish is asked, and the rows of wishes in it."""
    soft = [index for index, wish in enumerate(problem.wishes) if wish.soft]
    owner = np.append(problem.owner, soft[-1] if soft else -1)
    return won.only(~np.isin(owner, soft[-1:])), np.isin(owner, soft[:-1])


def _inwards(
    grid: Grid, rows: Pulled, granted: Bands, first: NDArray[np.bool_], u: Matrix
) -> Matrix:
    """Return written layouts on the way to where the first wishes leave most room.

    A later wish is won in a corner of what the first ones leave, where no written
    number may lie.
    """
    at, reached = inside(granted, first)
    room = ascend(rows, at, reached, u[None], step=RISE, least=ENOUGH)
    shares = np.linspace(0.0, 1.0, INWARDS)[:, None]
    return np.vstack([_around(grid, each) for each in u + shares * (room.u[0] - u)])


def _around(grid: Grid, u: Matrix) -> Matrix:
    """Return written layouts about one, itself as written the first."""
    x = grid.problem.at(u)
    ladders = [grid.ladder(i, float(number)) for i, number in enumerate(x)]
    plain = np.array([[grid.written(i, float(number)) for i, number in enumerate(x)]])
    around = [plain]
    shares = scatter(TRIES // len(REACHES), len(x)) * 2.0 - 1.0
    for reach in REACHES:
        wanted = x + reach * grid.steps * shares
        around.append(
            np.stack(
                [_nearest(ladder, wanted[:, i]) for i, ladder in enumerate(ladders)], 1
            )
        )
    return np.vstack(around)


def in_order(
    grid: Grid, rows: Pulled, bands: Bands, won: Bands, tries: Matrix
) -> Matrix:
    """Return the tries that meet, those that fall short of what is won last."""
    if not len(tries):
        return tries
    plain = tries[0]
    tries = np.unique(tries, axis=0)
    y = rows(grid.problem.unit(tries))
    good = bands.met(y)
    tries, y = tries[good], y[good]
    miss = np.abs(won.miss(y))
    problem = grid.problem
    shorts = [
        miss[:, np.append(problem.owner == index, False)].max(axis=1, initial=0.0)
        for index, wish in enumerate(problem.wishes)
        if wish.soft
    ]
    other = (tries != plain).any(axis=1)
    margin = won.margin(y).min(axis=1, initial=np.inf)
    keys = [-margin, np.round(y[:, -1], 6), other, miss[:, -1], *reversed(shorts)]
    return np.asarray(tries[np.lexsort(keys)])


def _nearest(ladder: Matrix, wanted: Matrix) -> Matrix:
    gaps = np.abs(ladder[None] - wanted[:, None])
    return np.asarray(ladder[np.argmin(gaps, axis=1)])


def _stepwise(grid: Grid, rows: Pulled, bands: Bands, u: Matrix) -> Matrix:
    """Write one number after another, the coarsest first, the rest following."""
    u = np.array(u)
    held = np.zeros(len(u), bool)
    for index in grid.coarsest(rows, bands, u):
        held[index] = True
        number = float(grid.problem.at(u)[index])
        options = np.repeat(u[None], 3, axis=0)
        ladder = grid.ladder(int(index), number, 1)
        order = np.argsort(np.abs(ladder - number))[:3]
        options = options[: len(order)]
        options[:, index] = grid.problem.unit(
            np.broadcast_to(ladder[order][:, None], (len(order), len(u)))
        )[:, index]
        landed = meet(Held(rows=rows, held=held), bands, options, steps=15)
        pick = int(np.argmax(landed.met))
        u = landed.u[pick]
    return u

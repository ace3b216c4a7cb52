"""Written layouts looked for through the whole of what meets about met layouts.

How far each coordinate goes is found first: as far as one layout can be moved, and as
far as the others lie, for a layout does not slide along a thin and curved region. Where few written numbers lie between,
every combination is tried; where many do, layouts are spread over them, and of each one
number after another is written, the rest following. The last number is the least felt:
both its neighbours are tried. It knows no order among what it finds.
"""

from itertools import pairwise

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.placing.leeway import LEAST, leeway
from linkage.placing.rounding import Grid, Held
from solvers.bands import Bands
from solvers.lm import Rows, meet
from solvers.screen import scatter

Matrix = NDArray[np.float64]

#: So many combinations of written numbers are tried one by one.
EVERY = 100_000
#: Otherwise so many layouts are spread over what meets.
TEETH = 1_024
#: Rows are worked out for so many layouts at a time.
BATCH = 4_096


class Sieve(Struct, frozen=True, kw_only=True, eq=False):
    """The written numbers between the ends of what meets, coordinate by coordinate."""

    grid: Grid
    rows: Rows
    bands: Bands
    ladders: tuple[Matrix, ...]

    def met(self, x: Matrix) -> Matrix:
        """Return those of some layouts (n, k) that meet, internal units."""
        parts = [x[i : i + BATCH] for i in range(0, len(x), BATCH)]
        good = [
            self.bands.met(self.rows(self.grid.problem.unit(part))) for part in parts
        ]
        return x[np.concatenate(good)] if parts else x


def sifted(grid: Grid, rows: Rows, bands: Bands, u: Matrix) -> Matrix:
    """Return written layouts that meet, from all that lies between met ones.

    Parameters
    ----------
    grid : Grid
    rows : Rows
    bands : Bands
        Which every one of them meets.
    u : ndarray, shape (n, k)
        Met layouts in the unit box; from the first it is told how far they go.

    Returns
    -------
    ndarray, shape (n, k)
        Values in internal units, in no order.
    """
    ladders = _ladders(grid, u)
    sieve = Sieve(grid=grid, rows=rows, bands=bands, ladders=ladders)
    if np.prod([float(len(ladder)) for ladder in ladders]) <= EVERY:
        mesh = np.meshgrid(*ladders, indexing="ij")
        return sieve.met(np.stack([each.ravel() for each in mesh], axis=1))
    return sieve.met(_combed(sieve, u[0]))


def _ladders(grid: Grid, u: Matrix) -> tuple[Matrix, ...]:
    """Return the written numbers that each coordinate can have, in order."""
    problem = grid.problem
    spans = leeway(problem, u[0])
    x = problem.at(u)
    lows, highs = x.min(axis=0), x.max(axis=0)
    ladders = []
    for index, free in enumerate(problem.frees):
        low, high = spans.get(free.path, (np.inf, -np.inf))
        low, high = min(low, float(lows[index])), max(high, float(highs[index]))
        more = LEAST * (free.high - free.low) + grid.steps[index]
        ends = max(low - more, free.low), min(high + more, free.high)
        ladders.append(grid.between(index, *ends))
    return tuple(ladders)


def _combed(sieve: Sieve, u: Matrix) -> Matrix:
    """Return layouts of which all numbers are written, the rest having followed."""
    problem, ladders = sieve.grid.problem, sieve.ladders
    order = sieve.grid.coarsest(sieve.rows, sieve.bands, u)
    lows = problem.unit(np.array([ladder[0] for ladder in ladders]))
    highs = problem.unit(np.array([ladder[-1] for ladder in ladders]))
    points = lows + scatter(TEETH, len(u)) * (highs - lows)
    held = np.zeros(len(u), bool)
    for turn, index in enumerate(order[:-1]):
        ladder = ladders[index]
        numbers = problem.at(points)[:, index]
        near = _nearest(ladder, numbers)
        if turn == 0 and len(ladder) <= TEETH:
            near = np.arange(len(points)) % len(ladder)
        points[:, index] = _unit(sieve, index, ladder[near])
        held[index] = True
        landed = meet(Held(rows=sieve.rows, held=held), sieve.bands, points, steps=15)
        points = landed.u[landed.met]
    return _finished(sieve, points, int(order[-1]))


def _finished(sieve: Sieve, points: Matrix, last: int) -> Matrix:
    """Return layouts with their last number written, below and above."""
    x, ladder = sieve.grid.problem.at(points), sieve.ladders[last]
    for index, each in enumerate(sieve.ladders):
        x[:, index] = (
            x[:, index] if index == last else each[_nearest(each, x[:, index])]
        )
    above = np.clip(np.searchsorted(ladder, x[:, last]), 0, len(ladder) - 1)
    tries = []
    for rung in (np.maximum(above - 1, 0), above):
        one = x.copy()
        one[:, last] = ladder[rung]
        tries.append(one)
    return np.unique(np.vstack(tries), axis=0)


def _nearest(ladder: Matrix, numbers: Matrix) -> NDArray[np.intp]:
    """Return which rung of a ladder lies nearest to each number."""
    middles = np.array([0.5 * (a + b) for a, b in pairwise(ladder)])
    return np.searchsorted(middles, numbers)


def _unit(sieve: Sieve, index: int, numbers: Matrix) -> Matrix:
    problem = sieve.grid.problem
    return np.asarray(
        (numbers - problem.lows[index]) / max(float(problem.widths[index]), 1e-12)
    )

"""Levels raised as far as they go, every layout staying within its bands.

A level is a number on which some bands depend: the least that a row may be, the most
that a distance may be, the margin to all bands. Raise it, let the layout follow; where
it cannot, try less. What is found is the best near each start, good to the last
step tried.
"""

from collections.abc import Callable

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from solvers.bands import Bands
from solvers.lm import Rows, meet

Matrix = NDArray[np.float64]

Index = NDArray[np.intp]
#: Bands for some of the layouts (n,) at levels (n,).
At = Callable[[Index, Matrix], Bands]
#: The level that some of the layouts (n,) have reached, from their rows (n, m).
Reached = Callable[[Index, Matrix], Matrix]

FASTER, SLOWER = 2.0, 0.25
#: Units by which a level is aimed beyond: a layout lands inside it, not beside it.
AIM = 0.002


class Raised(Struct, frozen=True, kw_only=True, eq=False):
    """Layouts ``u`` (n, k) with their rows ``y`` and the levels they reached (n,)."""

    u: Matrix
    y: Matrix
    level: Matrix

    def take(self, index: Index) -> "Raised":
        """Return some of them."""
        return Raised(u=self.u[index], y=self.y[index], level=self.level[index])


def climb(
    rows: Rows,
    at: At,
    reached: Reached,
    starts: Matrix,
    *,
    step: float,
    least: float,
    top: float = np.inf,
    rounds: int = 40,
    steps: int = 25,
) -> Raised:
    """Raise a level from each start as far as it goes.

    Parameters
    ----------
    rows : Rows
    at : callable
        Bands for levels; a greater level asks for more.
    reached : callable
        The greatest level whose bands rows are within.
    starts : ndarray, shape (n, k)
        Each must reach a finite level.
    step, least : float
        The first step of the level, and the one below which a layout is at its best.
    top : float
        No level beyond this is asked for.
    rounds, steps : int
        At most so many tries, each with so many steps of the layouts.

    Returns
    -------
    Raised
    """
    u, y = np.array(starts), rows(starts)
    level = np.minimum(reached(np.arange(len(u)), y), top)
    size = np.full(len(u), step)
    live = np.flatnonzero(np.isfinite(level) & (level < top))
    for _ in range(rounds):
        if not len(live):
            break
        asked = np.minimum(level[live] + size[live], top)
        landed = meet(rows, at(live, asked), u[live], steps=steps, aim=AIM)
        won = live[landed.met]
        u[won], y[won] = landed.u[landed.met], landed.y[landed.met]
        level[won] = np.clip(reached(won, y[won]), asked[landed.met], top)
        size[live] *= np.where(landed.met, FASTER, SLOWER)
        live = live[(size[live] >= least) & (level[live] < top)]
    return Raised(u=u, y=y, level=level)


def inside(bands: Bands, which: NDArray[np.bool_]) -> tuple[At, Reached]:
    """Return the least margin to some of the bands as a level, the others kept."""
    counted, others = bands.only(which), bands.only(~which)

    def at(index: Index, level: Matrix) -> Bands:
        return bands.take(index).shrunk(np.where(which, level[:, None], 0.0))

    def reached(index: Index, y: Matrix) -> Matrix:
        inside = counted.take(index).margin(y).min(axis=-1)
        ruled = others.take(index).met(y)
        return np.asarray(np.where(ruled, inside, -np.inf))

    return at, reached


def margins(
    rows: Rows, bands: Bands, which: NDArray[np.bool_], starts: Matrix
) -> Raised:
    """Bring layouts as far inside their bands as they go.

    Parameters
    ----------
    which : ndarray of bool, shape (m,)
        The rows whose margin counts; the others only have to be met.

    Returns
    -------
    Raised
        The level is the least margin, in units: below 0 where bands could not be met.
    """
    at, reached = inside(bands, which)
    widths = (bands.high - bands.low) / bands.unit
    top = float(0.5 * widths[..., which].min()) - 2.0 * AIM if which.any() else 0.0
    return climb(rows, at, reached, starts, step=0.25, least=0.01, top=min(top, 1e3))

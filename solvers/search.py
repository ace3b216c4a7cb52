"""A search of the whole unit box for layouts that meet their bands.

Many points are looked at, the most promising are moved into their bands together. Not
meeting is no proof: it says that this search, with this effort, met nothing.
"""

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from solvers.ascent import ascend
from solvers.bands import Bands
from solvers.lm import Landed, Rows, meet
from solvers.screen import promising, scatter

Matrix = NDArray[np.float64]


class Effort(Struct, frozen=True, kw_only=True):
    """How hard to look.

    Attributes
    ----------
    points, starts : int
        Points looked at, and how many of them are moved.
    rounds : int
        Further rounds of as many, each with fresh points, while nothing is met.
    """

    points: int = 2048
    starts: int = 64
    rounds: int = 3

    @property
    def once(self) -> "Effort":
        """Return the same effort, one round of it."""
        return Effort(points=self.points, starts=self.starts, rounds=1)

    def times(self, factor: int) -> "Effort":
        """Return so many times the effort in each round."""
        return Effort(
            points=self.points * factor, starts=self.starts * factor, rounds=self.rounds
        )


USUAL = Effort()
QUICK = Effort(points=192, starts=12, rounds=1)
#: Points whose rows are worked out at once: what fits the cache of a core.
BLOCK = 2048
#: So many layouts that miss by no more than so many units are looked at again.
NEAREST, ALL_BUT = 4, 0.3


def look(rows: Rows, bands: Bands, points: Matrix) -> tuple[Matrix, Matrix]:
    """Return rows and merit of points; the merit is 0 where met, nan where nothing.

    A logarithm tames rows that are far off, so that one of them does not hide what
    the others say.
    """
    y = np.vstack([rows(points[i : i + BLOCK]) for i in range(0, len(points), BLOCK)])
    miss = bands.miss(y)
    return y, np.log1p(miss * miss).sum(axis=1)


def seek(
    rows: Rows,
    bands: Bands,
    *,
    effort: Effort = USUAL,
    seed: int = 0,
    also: Matrix | None = None,
    first: bool = False,
) -> Landed:
    """Look for layouts that meet their bands.

    Parameters
    ----------
    rows : Rows
    bands : Bands
        The same for all layouts.
    effort : Effort
    seed : int
        Same seed, same layouts.
    also : ndarray, shape (n, k), optional
        Layouts to start from besides.
    first : bool
        One that meets is enough: a quick look comes first.

    Returns
    -------
    Landed
        Of the last round: everything that was moved, met or not. Empty where no point
        gave a layout at all.
    """
    if not rows.size:
        return meet(rows, bands, np.zeros((1, 0)))
    if first:
        landed = _round(rows, bands, QUICK, seed, 0, also, first=True)
        if landed.met.any():
            return landed
    landed = _round(rows, bands, effort, seed, 0, also, first=first)
    for turn in range(1, effort.rounds):
        if landed.met.any():
            break
        landed = _round(rows, bands, effort, seed, turn, None, first=first)
    return landed


def _round(
    rows: Rows,
    bands: Bands,
    effort: Effort,
    seed: int,
    turn: int,
    also: Matrix | None,
    *,
    first: bool,
) -> Landed:
    points = scatter(effort.points, rows.size, seed, skip=effort.points * turn)
    _, merit = look(rows, bands, points)
    starts = points[promising(points, merit, effort.starts)]
    if also is not None:
        starts = np.vstack([also, starts])
    landed = meet(rows, bands, starts, first=first)
    return landed if landed.met.any() else close(rows, bands, landed)


def close(rows: Rows, bands: Bands, landed: Landed) -> Landed:
    """Bring layouts that all but meet their bands in, where the bands leave a sliver.

    Parameters
    ----------
    landed : Landed
        None of which has met.
    """
    margin = bands.margin(landed.y).min(axis=1, initial=np.inf)
    order = np.argsort(-margin, kind="stable")[:NEAREST]
    order = order[margin[order] > -ALL_BUT]
    if not len(order):
        return landed
    raised = ascend(
        rows,
        lambda index, level: bands.take(index).shrunk(level[:, None]),
        lambda _, y: bands.margin(y).min(axis=1),
        landed.u[order],
        step=0.1,
        least=1e-6,
        top=0.0,
    )
    u, y = landed.u.copy(), landed.y.copy()
    u[order], y[order] = raised.u, raised.y
    return Landed(u=u, y=y, met=bands.met(y))


def gather(found: list[Landed]) -> Landed:
    """Return several landings as one."""
    return Landed(
        u=np.vstack([each.u for each in found]),
        y=np.vstack([each.y for each in found]),
        met=np.concatenate([each.met for each in found]),
    )

"""The best layout of each family: wishes first, then staying near, then margin."""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from linkage.placing.layouts import Free, Layouts
from linkage.placing.pull import Pulled
from linkage.placing.wishes import Wish
from solvers.ascent import ascend
from solvers.bands import Bands
from solvers.levels import Raised, climb, margins

Matrix = NDArray[np.float64]
Mask = NDArray[np.bool_]

#: A wish is had where it is within this share of its best before the next is asked.
SHARE = 0.01
#: ... or within this many units of it, where its best is next to nothing: less than
#: written numbers can tell.
NEXT_TO_NOTHING = 1e-3
#: A wish is raised until less than so many units are won: first roughly, then finely.
ROUGH, FINE = 0.1, 1e-4
#: What comes after the last wish has this part of that to itself, no more.
LAST = 0.04
#: Moves from ``near`` smaller than this share of a range are none.
STILL = 1e-5


class Field(Struct, frozen=True, kw_only=True, eq=False):
    """Met layouts of one choice under way to their best.

    Attributes
    ----------
    rows : Pulled
        The problem, with the distance from ``near`` as its last row.
    bands : Bands
        For each layout: what has been won so far is kept.
    u : ndarray, shape (n, k)
    family : ndarray of int, shape (n,)
    scores : tuple of ndarray, shape (n,)
        Each wish and the moves, greater is better.
    seen : ndarray, shape (m, k)
        Every met layout that the search has seen, as it was met.
    """

    rows: Pulled
    bands: Bands
    u: Matrix
    family: NDArray[np.intp]
    seen: Matrix
    scores: tuple[Matrix, ...] = ()

    def take(self, index: NDArray[np.intp]) -> "Field":
        """Return some of the layouts."""
        return replace(
            self,
            bands=self.bands.take(index),
            u=self.u[index],
            family=self.family[index],
            scores=tuple(score[index] for score in self.scores),
        )


def slack(score: float, unit: float, *, last: bool) -> float:
    """Return by how much a wish may fall short of its best and still be had."""
    share = LAST * SHARE if last else SHARE
    return max(share * abs(score), NEXT_TO_NOTHING * unit)


def improve(
    problem: Layouts, u: Matrix, family: NDArray[np.intp], seen: Matrix
) -> Field:
    """Bring met layouts to their best; one of each family is left.

    Parameters
    ----------
    problem : Layouts
    u : ndarray, shape (n, k)
        Met layouts, several of a family where there are.
    family : ndarray of int, shape (n,)
    seen : ndarray, shape (m, k)
        Every met layout of the search.

    Returns
    -------
    Field
        Its layouts in order of family; ``scores`` end with the margin.
    """
    home = np.array(
        [
            np.nan if free.near is None else (free.near - free.low) / _width(free)
            for free in problem.frees
        ]
    )
    rows = Pulled(rows=problem, home=home)
    bands = Pulled.bands(problem.bands)
    every = np.broadcast_to(bands.low, (len(u), len(bands.unit)))
    bands = Bands(
        low=every, high=np.broadcast_to(bands.high, every.shape), unit=bands.unit
    )
    field = Field(rows=rows, bands=bands, u=u, family=family, seen=seen)
    soft = [index for index, wish in enumerate(problem.wishes) if wish.soft]
    for index in soft:
        mine = np.append(problem.owner == index, False)
        last = index == soft[-1]
        field = _grant(field, problem.wishes[index], mine, last=last)
    if np.isfinite(home).any():
        field = _settle(field)
    return _centre(field, np.append(hard_rows(problem), False))


def _width(free: Free) -> float:
    return max(free.high - free.low, 1e-12)


def hard_rows(problem: Layouts) -> Mask:
    """Return a mask of the rows of targets that are no wishes."""
    soft = [index for index, wish in enumerate(problem.wishes) if wish.soft]
    return np.asarray((problem.owner >= 0) & ~np.isin(problem.owner, soft))


def score_of(wish: Wish, y: Matrix) -> Matrix:
    """Return how well rows of a wish (n, r) do: greater is better."""
    if wish.target.prefer == "large":
        return np.asarray(y.min(axis=1))
    return -np.asarray(_sized(wish, y).max(axis=1))


def _sized(wish: Wish, y: Matrix) -> Matrix:
    return np.abs(y) if wish.mirrored else y


def _ask(bands: Bands, wish: Wish, mine: Mask, level: Matrix) -> Bands:
    """Return bands that hold a wish to a level (n,)."""
    low, high = np.array(bands.low), np.array(bands.high)
    if wish.target.prefer == "large":
        low[:, mine] = level[:, None]
    else:
        high[:, mine] = -level[:, None]
        if wish.mirrored:
            low[:, mine] = level[:, None]
    return Bands(low=low, high=high, unit=bands.unit)


def _grant(field: Field, wish: Wish, mine: Mask, *, last: bool) -> Field:
    """Raise one wish as far as it goes; keep the layouts that come near the best."""
    bands = field.bands
    reach = _Reach(bands=bands, wish=wish, mine=mine)
    raised = _climb(field, reach, step=wish.unit, least=ROUGH * wish.unit, top=np.inf)
    raised = ascend(
        field.rows,
        reach.at,
        reach.reached,
        raised.u,
        step=wish.unit,
        least=FINE * wish.unit,
    )
    field = replace(field, u=raised.u)
    field = _best_of_each(field, raised.level, wish.unit, last=last)
    level = field.scores[-1]
    best = [float(level[field.family == family].max()) for family in field.family]
    least = np.array([each - slack(each, wish.unit, last=last) for each in best])
    return replace(field, bands=_ask(field.bands, wish, mine, least))


class _Reach(Struct, frozen=True, kw_only=True, eq=False):
    """Levels of one wish: bands for them, and which rows have reached."""

    bands: Bands
    wish: Wish
    mine: Mask

    def at(self, index: NDArray[np.intp], level: Matrix) -> Bands:
        return _ask(self.bands.take(index), self.wish, self.mine, level)

    def reached(self, index: NDArray[np.intp], y: Matrix) -> Matrix:
        met = self.bands.take(index).met(y)
        score = score_of(self.wish, y[:, self.mine])
        return np.where(met & np.isfinite(score), score, -np.inf)


def _climb(
    field: Field, reach: "_Reach | _Still", *, step: float, least: float, top: float
) -> Raised:
    return climb(
        field.rows, reach.at, reach.reached, field.u, step=step, least=least, top=top
    )


class _Still(Struct, frozen=True, kw_only=True, eq=False):
    """Levels of staying near: less and less distance."""

    bands: Bands

    def at(self, index: NDArray[np.intp], level: Matrix) -> Bands:
        own = self.bands.take(index)
        high = np.array(own.high)
        high[:, -1] = -level
        return Bands(low=own.low, high=high, unit=own.unit)

    def reached(self, index: NDArray[np.intp], y: Matrix) -> Matrix:
        return np.where(self.bands.take(index).met(y), -y[:, -1], -np.inf)


def _settle(field: Field) -> Field:
    """Bring layouts as near home as they go; those at home stay exactly there."""
    still = _Still(bands=field.bands)
    raised = _climb(field, still, step=0.05, least=1e-4, top=0.0)
    raised = ascend(
        field.rows, still.at, still.reached, raised.u, step=0.05, least=1e-6, top=0.0
    )
    u = np.where(np.isnan(field.rows.home), raised.u, field.rows.home)
    home = field.bands.met(field.rows(u)) & (raised.level > -0.02)
    u = np.where(home[:, None], u, raised.u)
    level = np.where(home, 0.0, raised.level)
    field = _best_of_each(replace(field, u=u), level, 0.0, last=True)
    most = -field.scores[-1] * (1.0 + LAST * SHARE) + STILL
    high = np.array(field.bands.high)
    high[:, -1] = most
    bands = Bands(low=field.bands.low, high=high, unit=field.bands.unit)
    return replace(field, bands=bands)


def _centre(field: Field, hard: Mask) -> Field:
    """Bring layouts as far inside their targets as they go."""
    raised = margins(field.rows, field.bands, hard, field.u)
    home = np.where(np.isnan(field.rows.home), raised.u, field.rows.home)
    still = field.rows.away(raised.u) <= 2.0 * STILL
    still &= field.bands.met(field.rows(home))
    field = replace(field, u=np.where(still[:, None], home, raised.u))
    order = np.lexsort([-raised.level, field.family])
    _, first = np.unique(field.family[order], return_index=True)
    field = replace(field, scores=(*field.scores, raised.level))
    return field.take(order[first])


def inward(field: Field, index: int, hard: Mask) -> Matrix:
    """Return a layout that is farther inside its targets, for a share more of moves.

    What lies at the very edge may have nothing near it that can be written.
    """
    bands = field.bands.take(np.array([index]))
    high = np.array(bands.high)
    high[:, -1] = high[:, -1] * (1.0 + SHARE)
    loose = Bands(low=bands.low, high=high, unit=bands.unit)
    raised = margins(field.rows, loose, np.append(hard, False), field.u[[index]])
    return np.asarray(raised.u[0])


def _best_of_each(field: Field, score: Matrix, unit: float, *, last: bool) -> Field:
    """Keep the layouts of each family that come near enough to its best."""
    keep = np.zeros(len(score), bool)
    for family in np.unique(field.family):
        mine = field.family == family
        best = float(score[mine].max())
        keep |= mine & (score >= best - max(slack(best, unit, last=last), 1e-9))
    field = replace(field, scores=(*field.scores, score))
    return field.take(np.flatnonzero(keep))


def ranked(
    scores: Sequence[Sequence[float]], units: Sequence[float], wishes: int
) -> list[int]:
    """Return answers in order: by each score in turn, those near the best alike.

    Parameters
    ----------
    scores : sequence of sequence of float
        For each answer its wishes, its moves (negative) and its margin.
    units : sequence of float
        For each score what counts as one; the last score is not shared.
    wishes : int
        How many of the scores are wishes.
    """
    lasts = [place >= wishes - 1 for place in range(len(units))]
    return _ranked(list(range(len(scores))), scores, units, lasts, 0)


def _ranked(
    left: list[int],
    scores: Sequence[Sequence[float]],
    units: Sequence[float],
    lasts: Sequence[bool],
    place: int,
) -> list[int]:
    if len(left) < 2:
        return left
    if place == len(units) - 1:
        return sorted(left, key=lambda i: -scores[i][place])
    best = max(scores[i][place] for i in left)
    near = slack(best, units[place], last=lasts[place])
    first = [i for i in left if scores[i][place] >= best - near]
    rest = [i for i in left if scores[i][place] < best - near]
    return _ranked(first, scores, units, lasts, place + 1) + _ranked(
        rest, scores, units, lasts, place
    )

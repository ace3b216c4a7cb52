"""One pedal's rows over many layouts, with exact derivatives.

Over a stretch the extremes are looked for on a coarse grid and then between its
points. Where an extreme lies inside its stretch its derivative by the free values is
that of the quantity at a held place (the envelope theorem); at the ends the place
moves with the stretch, which comes to the same formula.
"""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.design.records import Design, Pedal, Target
from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import Run, move
from linkage.places import Places
from linkage.placing.wishes import Row, Wish
from linkage.quantities.loaded import Fluid, told
from linkage.quantities.register import QUANTITIES
from solvers.jet import Jet, Num, lift, value

Matrix = NDArray[np.float64]

GRID = 17
SHARES = np.linspace(0.0, 1.0, GRID)
#: Up to so many columns one run serves all laws; beyond it each law has its own.
TOGETHER = 8
#: A difference is taken so near, as a share of the number (or of 1).
NEAR = 1e-5

Law = tuple[str, Any, tuple[str, ...]]


class Column(Struct, frozen=True, kw_only=True):
    """One row of the problem: a wish and what it looks at.

    ``fluid`` is that of a wish about a pressed brake; else None.
    """

    wish: Wish
    row: Row
    fluid: Fluid | None = None

    @property
    def law(self) -> Law:
        """What tells one law from another."""
        target = self.wish.target
        return target.of, target.which, target.between


class Gauge(Struct, frozen=True, kw_only=True, eq=False):
    """Measures layouts of one pedal.

    Attributes
    ----------
    design, pedal, choices
        The pedal, and which named points are chosen.
    columns : tuple of Column
        Its rows, in order; before them stand its rules: see `rules`.
    """

    design: Design
    pedal: Pedal
    choices: Mapping[str, str]
    columns: tuple[Column, ...]

    @property
    def rules(self) -> int:
        """Number of rows ahead of the columns: soundness, and room in each cylinder."""
        return 1 + len(self._cylinders)

    @property
    def _cylinders(self) -> list[int]:
        return [
            index
            for index, part in enumerate(self.pedal.train)
            if part.KIND == "cylinder" and getattr(part, "stroke", None) is not None
        ]

    def _told(
        self,
        column: Column,
        fluid: Fluid,
        plain: Mapping[str, Num],
        seeded: Mapping[str, Num],
    ) -> Jet:
        """Return one row about a pressed brake; its derivatives by differences."""

        def at(numbers: Mapping[str, Num]) -> Matrix:
            rest = at_rest(Places(self.design, numbers, self.choices), self.pedal)
            y = np.asarray(told(rest, column.wish.target, fluid)[0], float)
            return np.abs(y) if column.wish.size else y

        frees = [path for path, number in seeded.items() if isinstance(number, Jet)]
        if not frees:
            return Jet(at(plain))
        numbers, steps = _around(plain, frees)
        y = at(numbers).reshape(1 + 2 * len(frees), -1, 1)
        return Jet(y[0], None, (y[1::2] - y[2::2]) / (2.0 * steps))

    def measure(self, plain: Mapping[str, Num], seeded: Mapping[str, Num]) -> list[Num]:
        """Return every row as an array or jet of shape (n, 1).

        Parameters
        ----------
        plain : mapping
            By path: numbers, arrays of shape (n, 1).
        seeded : mapping
            The same as jets; the same object where no derivatives are wanted.
        """
        bare = at_rest(Places(self.design, plain, self.choices), self.pedal)
        grid = move(bare, np.atleast_2d(np.asarray(value(bare.travel)) * SHARES))
        shares = self._shares(bare, grid)
        rest = bare
        if seeded is not plain:
            rest = at_rest(Places(self.design, seeded, self.choices), self.pedal)
        rows: list[Num] = [_sound(bare, grid)]
        if self._cylinders:
            rows += self._left(move(rest, _at(rest, [0.0], [1.0], True, 1.0)))
        found = rows + self._columns(rest, shares)
        for index, column in enumerate(self.columns):
            if column.fluid is not None:
                row = self._told(column, column.fluid, plain, seeded)
                found[self.rules + index] = row
        return found

    def _left(self, run: Run) -> list[Num]:
        """Return what each cylinder has left at full."""
        left = []
        for index in self._cylinders:
            part: Any = self.pedal.train[index]
            number = run.rest.places.number
            whole = number(part.stroke) + number(part.free_play)
            left.append(whole - run.steps[index].end())
        return left

    def _shares(self, rest: PedalRest, grid: Run) -> list[Any]:
        """Return for each column where in its stretch it looks, 0 to 1."""
        known: dict[tuple[Law, float, float, bool], Matrix] = {}
        shares: list[Any] = []
        for column in self.columns:
            target = column.wish.target
            if target.at.single:
                shares.append(0.0)
                continue
            key = (column.law, target.at.low, target.at.high, target.at.share)
            if key not in known:
                known[key] = self._look(rest, grid, target)
            shares.append(self._share(rest, column, known[key]))
        return shares

    def _share(self, rest: PedalRest, column: Column, y: Matrix) -> Any:
        """Return where one column looks; an end without a value gives way inwards."""
        where = column.row.where
        if where == "farthest":
            return locate(np.abs(y))
        if where in ("most", "least"):
            y = np.abs(y) if column.wish.size else y
            return locate(y if where == "most" else -y)
        end = 1.0 if where == "high" else 0.0
        lost = np.isnan(y[:, -1 if where == "high" else 0])
        if not lost.any():
            return end
        return np.where(lost, self._brink(rest, column, y), end)

    def _brink(self, rest: PedalRest, column: Column, y: Matrix) -> Matrix:
        """Return where a quantity begins (or ends) to have a value, 0 to 1."""
        target, high = column.wish.target, column.row.where == "high"
        shares = np.broadcast_to(SHARES, y.shape)
        low, wide = ends(rest, target)[0], np.subtract(*ends(rest, target)[::-1])
        for _ in range(3):
            there = ~np.isnan(y[:, ::-1] if high else y)
            first = np.argmax(there, axis=1)
            index = GRID - 1 - first if high else first
            lines = np.arange(len(y))
            has = shares[lines, index]
            lacks = shares[lines, np.clip(index + (1 if high else -1), 0, GRID - 1)]
            low_end, high_end = (has, lacks) if high else (lacks, has)
            shares = low_end[:, None] + (high_end - low_end)[:, None] * SHARES
            run = move(rest, np.atleast_2d(low + wide * shares))
            y = np.broadcast_to(QUANTITIES[target.of].law(run, target).v, shares.shape)
        return np.asarray(has)

    def _look(self, rest: PedalRest, grid: Run, target: Target) -> Matrix:
        """Return a quantity on the grid of its stretch, (n, GRID)."""
        at = target.at
        run = grid
        if not (at.share and at.low == 0.0 and at.high == 1.0):
            low, high = ends(rest, target)
            run = move(rest, np.atleast_2d(low + (high - low) * SHARES))
        return np.atleast_2d(QUANTITIES[target.of].law(run, target).v)

    def _columns(self, rest: PedalRest, shares: list[Any]) -> list[Num]:
        found: list[Num] = [0.0] * len(self.columns)
        laws: dict[Law, list[int]] = {}
        bare = [i for i, each in enumerate(self.columns) if each.fluid is None]
        for index in bare:
            laws.setdefault(self.columns[index].law, []).append(index)
        if len(bare) <= TOGETHER and len(laws) > 1:
            every = bare
            run = self._run(rest, shares, every)
            for indices in laws.values():
                self._fill(found, run, indices, [bare.index(i) for i in indices])
            return found
        for indices in laws.values():
            run = self._run(rest, shares, indices)
            self._fill(found, run, indices, range(len(indices)))
        return found

    def _run(self, rest: PedalRest, shares: list[Any], indices: list[int]) -> Run:
        ats = [self.columns[i].wish.target.at for i in indices]
        share = [np.reshape(shares[i], (-1, 1)) for i in indices]
        count = max(len(each) for each in share)
        along = np.hstack([np.broadcast_to(each, (count, 1)) for each in share])
        lows, highs = [at.low for at in ats], [at.high for at in ats]
        return move(rest, _at(rest, lows, highs, [at.share for at in ats], along))

    def _fill(self, found: list[Num], run: Run, indices: Any, places: Any) -> None:
        target = self.columns[indices[0]].wish.target
        raw = QUANTITIES[target.of].law(run, target)
        beyond = run.travel.v > value(run.rest.travel) * (1.0 + 1e-9)
        y = Jet.later(np.where(beyond, np.nan, raw.v), lambda: raw.parts)
        for index, place in zip(indices, places, strict=True):
            one = _pick(y, place)
            if self.columns[index].wish.size:
                one = lift(one * np.where(one.v < 0.0, -1.0, 1.0))
            found[index] = one


def _around(
    plain: Mapping[str, Num], frees: Sequence[str]
) -> tuple[dict[str, Num], Matrix]:
    """Return layouts, and behind them each of them with one number moved either way.

    Parameters
    ----------
    plain : mapping
        Arrays (n, 1) under ``frees``.

    Returns
    -------
    numbers : dict
        Under ``frees`` arrays (n + 2 k n, 1): as they are, the first number more, the
        first less, the second more ...
    steps : ndarray, shape (k, n, 1)
    """
    here = np.stack(np.broadcast_arrays(*(np.asarray(plain[path]) for path in frees)))
    steps = NEAR * np.maximum(np.abs(here), 1.0)
    numbers: dict[str, Num] = dict(plain)
    for index, path in enumerate(frees):
        moved = np.repeat(here[index][None], 1 + 2 * len(frees), axis=0)
        moved[1 + 2 * index] += steps[index]
        moved[2 + 2 * index] -= steps[index]
        numbers[path] = moved.reshape(-1, 1)
    return numbers, np.asarray(steps)


def ends(rest: PedalRest, target: Target) -> tuple[Any, Any]:
    """Return where the stretch of a target begins and ends, mm."""
    at = target.at
    if at.share:
        whole = np.asarray(value(rest.travel))
        return at.low * whole, at.high * whole
    return at.low, at.high


def locate(y: Matrix) -> Matrix:
    """Return where the greatest value of each line lies, 0 to 1 along it.

    Between the points of the grid by a parabola; nan is passed over.
    """
    y = np.where(np.isnan(y), -np.inf, y)
    best = np.argmax(y, axis=1)
    middle = np.clip(best, 1, y.shape[1] - 2)
    lines = np.arange(len(y))
    before, here, after = (y[lines, middle + i] for i in (-1, 0, 1))
    bend = before - 2.0 * here + after
    with np.errstate(invalid="ignore", divide="ignore"):
        shift = 0.5 * (before - after) / bend
    peak = middle + np.clip(shift, -1.0, 1.0)
    usable = (bend < 0.0) & np.isfinite(shift) & (np.abs(peak - best) <= 1.0)
    return np.asarray(np.where(usable, peak, best) / (y.shape[1] - 1.0))


def _at(rest: PedalRest, low: Any, high: Any, share: Any, along: Any) -> Jet:
    """Return places of the travel as the driving value, with its own derivatives."""
    low, high, share = np.asarray(low), np.asarray(high), np.asarray(share)
    part = low + (high - low) * along
    travel = rest.travel
    v = np.where(share, part * np.asarray(value(travel)), part)
    g = travel.g if isinstance(travel, Jet) else None
    return Jet(v, 1.0, None if g is None else np.where(share, part, 0.0) * g)


def _pick(y: Jet, place: int) -> Jet:
    """Return one column of a jet."""
    wide = y.v.shape[1]

    def parts() -> Any:
        g = y.g
        if g is not None and g.ndim == 3 and g.shape[2] == wide:
            g = g[:, :, place : place + 1]
        return None, g, None

    return Jet.later(y.v[:, place : place + 1], parts)


def _sound(rest: PedalRest, grid: Run) -> Matrix:
    """Return 1 where a layout stands and can make its whole travel, else nan."""
    good = rest.sound() & (np.asarray(value(rest.travel)) > 0.0)
    if grid.steps:
        for step in grid.steps:
            for margin in step.margins:
                good = good & (np.asarray(margin.room()) > 0.0).all(
                    axis=-1, keepdims=True
                )
        for step in grid.steps[-1 if rest.bar is None else -2 :]:
            rate = np.asarray(step.end().t)
            good = good & (rate > 0.0).all(axis=-1, keepdims=True)
    return np.where(good, 1.0, np.nan)

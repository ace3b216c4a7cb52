"""A design as a problem over the unit box: free values in, rows out."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.design.records import Design, Pedal
from linkage.design.values import Value
from linkage.places import Places
from linkage.placing.gauge import Column, Gauge
from linkage.placing.wishes import Wish
from linkage.quantities.loaded import Fluid, fluid_of
from linkage.quantities.register import is_loaded
from solvers.bands import Bands
from solvers.jet import Jet, Num, seed, value

Matrix = NDArray[np.float64]

#: The size of a miss that counts as one where a cylinder is too short, mm.
ROOM_UNIT = 0.5


class Free(Struct, frozen=True, kw_only=True):
    """One coordinate: a value that may be anything from low to high."""

    path: str
    low: float
    high: float
    near: float | None = None

    @classmethod
    def of(cls, free: Value) -> "Free":
        """Return a free value as the file has it."""
        if free.low is None or free.high is None:
            raise TypeError(f"{free.path} is not free")
        return cls(path=free.path, low=free.low, high=free.high, near=free.near)


class Layouts(Struct, frozen=True, kw_only=True, eq=False):
    """Rows of some pedals over their free values, for one choice of the rest.

    Attributes
    ----------
    frees : tuple of Free
        The coordinates.
    numbers, names : mapping
        What is chosen: numbers and named points, by path.
    wishes : tuple of Wish
    gauges : tuple of Gauge
        One a pedal.
    bands : Bands
        Of every row; of a soft wish open.
    owner : ndarray of int, shape (m,)
        Which wish a row belongs to; -1 for the rules of the mechanism itself.
    """

    frees: tuple[Free, ...]
    numbers: Mapping[str, float]
    names: Mapping[str, str]
    wishes: tuple[Wish, ...]
    gauges: tuple[Gauge, ...]
    bands: Bands
    owner: NDArray[np.intp]

    @property
    def size(self) -> int:
        """Number of coordinates."""
        return len(self.frees)

    @property
    def lows(self) -> Matrix:
        """Lower ends of the ranges."""
        return np.array([free.low for free in self.frees])

    @property
    def widths(self) -> Matrix:
        """Widths of the ranges."""
        return np.array([free.high - free.low for free in self.frees])

    def at(self, u: Matrix) -> Matrix:
        """Return the values of points of the unit box, internal units."""
        return np.asarray(self.lows + u * self.widths)

    def unit(self, x: Matrix) -> Matrix:
        """Return values, internal units, as points of the unit box."""
        return np.asarray((x - self.lows) / np.maximum(self.widths, 1e-12))

    def within(self, values: Mapping[str, float]) -> Matrix:
        """Return values by path as a point of the unit box; what is missing is 1/2."""
        u = [
            (values.get(free.path, 0.5 * (free.low + free.high)) - free.low)
            / max(free.high - free.low, 1e-12)
            for free in self.frees
        ]
        return np.asarray(np.clip(np.array(u, float), 0.0, 1.0))

    def rows_of(self, wishes: Sequence[int]) -> NDArray[np.bool_]:
        """Return a mask of the rows of some wishes, the rules always in."""
        return np.isin(self.owner, [-1, *wishes])

    def __call__(self, u: Matrix) -> Matrix:
        """Return the rows (n, m) of layouts (n, k)."""
        if not len(u):
            return np.zeros((0, len(self.owner)))
        x = self.at(u)
        plain: dict[str, Num] = dict(self.numbers)
        for index, free in enumerate(self.frees):
            plain[free.path] = x[:, index : index + 1]
        rows = self._measure(plain, plain)
        y: Matrix = np.hstack([_column(row, len(u)) for row in rows])
        return y

    def jacobian(self, u: Matrix) -> tuple[Matrix, Matrix]:
        """Return rows (n, m) and derivatives (n, m, k) by the unit box."""
        if not len(u):
            return self(u), np.zeros((0, len(self.owner), self.size))
        x = self.at(u)
        plain: dict[str, Num] = dict(self.numbers)
        seeded: dict[str, Num] = dict(self.numbers)
        for index, free in enumerate(self.frees):
            column = x[:, index : index + 1]
            plain[free.path] = column
            seeded[free.path] = seed(column, index, self.size)
        rows = self._measure(plain, seeded)
        y: Matrix = np.hstack([_column(row, len(u)) for row in rows])
        j = np.zeros((len(u), len(rows), self.size))
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            for index, row in enumerate(rows):
                if isinstance(row, Jet) and row.g is not None:
                    j[:, index, :] = np.asarray(row.g)[..., 0].T
        j *= self.widths
        if not np.isfinite(j).all():
            j[~np.isfinite(j)] = 0.0
        return y, j

    def _measure(
        self, plain: Mapping[str, Num], seeded: Mapping[str, Num]
    ) -> list[Num]:
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            return [
                row for gauge in self.gauges for row in gauge.measure(plain, seeded)
            ]


def layouts(
    design: Design,
    pedals: Sequence[str],
    frees: Sequence[Free],
    wishes: Sequence[Wish],
    *,
    numbers: Mapping[str, float],
    names: Mapping[str, str],
) -> Layouts:
    """Return a design as a problem.

    Parameters
    ----------
    design : Design
    pedals : sequence of str
        The pedals that are placed together.
    frees : sequence of Free
        What may be moved.
    wishes : sequence of Wish
        In the order in which they are counted.
    numbers, names : mapping
        What is chosen, by path.
    """
    gauges, owner, low, high, unit = [], [], [], [], []
    for pedal in pedals:
        mine = [(i, wish) for i, wish in enumerate(wishes) if wish.pedal == pedal]
        places, owner_of = Places(design, numbers, names), design.pedals[pedal]
        columns = [
            (i, Column(wish=wish, row=row, fluid=_fluid(places, owner_of, wish)))
            for i, wish in mine
            for row in wish.rows
        ]
        gauge = Gauge(
            design=design,
            pedal=owner_of,
            choices=names,
            columns=tuple(column for _, column in columns),
        )
        gauges.append(gauge)
        owner += [-1] * gauge.rules + [i for i, _ in columns]
        low += [0.0] * gauge.rules + [column.row.low for _, column in columns]
        high += [np.inf] * gauge.rules + [column.row.high for _, column in columns]
        unit += [ROOM_UNIT] * gauge.rules
        unit += [column.wish.unit for _, column in columns]
    return Layouts(
        frees=tuple(frees),
        numbers=numbers,
        names=names,
        wishes=tuple(wishes),
        gauges=tuple(gauges),
        bands=Bands(low=np.array(low), high=np.array(high), unit=np.array(unit)),
        owner=np.array(owner),
    )


def _fluid(places: Places, pedal: Pedal, wish: Wish) -> Fluid | None:
    """Return what a wish about a pressed brake rests on; None for any other."""
    if not is_loaded(wish.target):
        return None
    return fluid_of(places, pedal, wish.target.case)


def _column(row: Any, count: int) -> Matrix:
    """Return a row of the problem as a column of numbers."""
    return np.broadcast_to(np.asarray(value(row), float), (count, 1))

"""Points, numbers and the rows that tie them: one vector of equations.

A state is a flat real vector: x and z of every point in order, then the numbers.
Held names keep what they have; the other coordinates are free. Nothing here solves.
"""

from collections.abc import Iterable, Mapping
from itertools import chain
from typing import Any

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from solvers.rows import Row

State = NDArray[Any]  # shape (size,): real, or complex under a complex step


class System(Struct, frozen=True, kw_only=True, eq=False):
    """Rows on named points and numbers; made by `assemble`.

    Attributes
    ----------
    points, numbers : tuple of str
    rows : tuple of Row
    held : frozenset of str
        Names that no solve may move.
    slots : tuple of tuple of int
        For each row the places of its coordinates in the state.
    free : ndarray of int
        Places of the free coordinates in the state.
    owner : ndarray of int
        For each equation the number of its row.
    entries : ndarray of int
        Where each slope of each row belongs in the flat Jacobian.
    """

    points: tuple[str, ...]
    numbers: tuple[str, ...]
    rows: tuple[Row, ...]
    held: frozenset[str]
    slots: tuple[tuple[int, ...], ...]
    free: NDArray[np.int_]
    owner: NDArray[np.int_]
    entries: NDArray[np.int_]

    @property
    def size(self) -> int:
        """Return the length of a state."""
        return 2 * len(self.points) + len(self.numbers)

    @property
    def names(self) -> tuple[str, ...]:
        """Return all names, points first."""
        return self.points + self.numbers

    def where(self, name: str) -> tuple[int, ...]:
        """Return the places of ``name`` in the state: two for a point, else one."""
        if name in self.points:
            first = 2 * self.points.index(name)
            return first, first + 1
        return (2 * len(self.points) + self.numbers.index(name),)

    def state(self, values: Mapping[str, complex]) -> NDArray[np.float64]:
        """Pack a value for every name; points are complex, x + iz.

        Raises
        ------
        ValueError
            A name is missing, unknown, or not finite; all of them at once.
        """
        wrong = [f"{name} has no value" for name in self.names if name not in values]
        wrong += [f"{name} is not known" for name in values if name not in self.names]
        wrong += [f"{k} is not finite" for k, v in values.items() if not np.isfinite(v)]
        if wrong:
            raise ValueError("; ".join(wrong))
        places = np.array([values[name] for name in self.points], complex)
        numbers = [float(np.real(values[name])) for name in self.numbers]
        return np.concatenate([places.view(float), numbers])

    def place(self, q: State, point: str) -> complex:
        """Return where ``point`` is, x + iz."""
        x, z = self.where(point)
        return complex(q[x], q[z])

    def number(self, q: State, name: str) -> float:
        """Return the number ``name``."""
        return float(q[self.where(name)[0]])

    def residual(self, q: State) -> NDArray[Any]:
        """Return every equation, shape (equations,), mm."""
        p = q.tolist()
        pairs = zip(self.rows, self.slots, strict=True)
        parts = (row.residual([p[i] for i in at]) for row, at in pairs)
        return np.array(list(chain.from_iterable(parts)))

    def jacobian(self, q: State) -> NDArray[Any]:
        """Return all slopes, shape (equations, size); held coordinates too."""
        p = q.tolist()
        pairs = zip(self.rows, self.slots, strict=True)
        parts = (row.jacobian([p[i] for i in at]) for row, at in pairs)
        slopes = list(chain.from_iterable(chain.from_iterable(parts)))
        shape = len(self.owner), self.size
        # Summed, not set: a row may tie a point to itself.
        out = np.zeros(shape[0] * shape[1], q.dtype)
        np.add.at(out, self.entries, slopes)
        return out.reshape(shape)

    def label(self, equation: int) -> str:
        """Return the name of the row that ``equation`` belongs to."""
        row = self.rows[int(self.owner[equation])]
        return row.label

    def holding(self, *names: str) -> "System":
        """Return a copy that holds these as well."""
        return _held(self, self.held | set(names))

    def freeing(self, *names: str) -> "System":
        """Return a copy that no longer holds these."""
        return _held(self, self.held - set(names))


def assemble(
    *,
    points: Iterable[str],
    rows: Iterable[Row],
    numbers: Iterable[str] = (),
    held: Iterable[str] = (),
) -> System:
    """Put rows on points together.

    Raises
    ------
    ValueError
        A name is given twice, or a row or ``held`` uses one that is not there; all
        of them at once.
    """
    points, numbers, rows = tuple(points), tuple(numbers), tuple(rows)
    _refuse(points, numbers, rows, tuple(held))
    bare = System(
        points=points,
        numbers=numbers,
        rows=rows,
        held=frozenset(),
        slots=(),
        free=np.zeros(0, int),
        owner=np.repeat(np.arange(len(rows)), [row.EQUATIONS for row in rows]),
        entries=np.zeros(0, int),
    )
    slots = tuple(
        tuple(chain.from_iterable(bare.where(name) for name in row.ties))
        for row in rows
    )
    lines = [
        at for at, row in zip(slots, rows, strict=True) for _ in range(row.EQUATIONS)
    ]
    places = [line * bare.size + i for line, at in enumerate(lines) for i in at]
    entries = np.array(places, int)
    return _held(replace(bare, slots=slots, entries=entries), frozenset(held))


def _refuse(
    points: tuple[str, ...],
    numbers: tuple[str, ...],
    rows: tuple[Row, ...],
    held: tuple[str, ...],
) -> None:
    names = points + numbers
    wrong = [f"{n} is there twice" for n in dict.fromkeys(names) if names.count(n) > 1]
    for row in rows:
        wrong += [f"{row.label}: no point {n}" for n in row.points if n not in points]
        wrong += [
            f"{row.label}: no number {n}" for n in row.numbers if n not in numbers
        ]
    wrong += [f"held: nothing is called {name}" for name in held if name not in names]
    if wrong:
        raise ValueError("; ".join(wrong))


def _held(system: System, held: frozenset[str]) -> System:
    loose = [system.where(name) for name in system.names if name not in held]
    free = np.array(list(chain.from_iterable(loose)), int)
    return replace(system, held=held, free=free)

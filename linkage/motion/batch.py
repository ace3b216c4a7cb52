"""Many layouts of one pedal through their whole travel, in blocks that stay in cache.

The same lines as for one pedal (`at_rest`, `move_evenly`, the laws): only the rows are
handed on a few hundred at a time.
"""

import sys
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.design.records import Design, Pedal
from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import Run, move_evenly
from linkage.places import Places
from solvers.jet import Jet, put

#: Positions in one block: large enough that a call costs nothing, small enough that
#: a dozen arrays of them stay in the cache of a core.
BLOCK = 24_000
#: Bytes: arrays below this are kept for the next block.
KEEP = 1 << 28


def runs(rest: PedalRest, count: int) -> Iterator[tuple[slice, Run]]:
    """Carry every layout of ``rest`` through its travel, block by block.

    Parameters
    ----------
    rest : PedalRest
        Of n layouts: its arrays have shape (n, 1).
    count : int
        Equal steps of the whole travel, both ends in.

    Yields
    ------
    rows : slice
        The layouts of this block.
    run : Run
        Shape (rows, count).
    """
    total = np.size(rest.sense)
    size = max(1, BLOCK // count)
    keep_pages()
    for start in range(0, total, size):
        rows = slice(start, min(start + size, total))
        yield rows, move_evenly(take(rest, rows, total), count)


@cache
def keep_pages() -> None:
    """Ask the C library (glibc) to keep freed memory for the next block.

    Left alone it gives every block's arrays back to the system and takes fresh pages
    for the next one, which costs more than the arithmetic. Elsewhere: no effect.
    """
    if not sys.platform.startswith("linux"):
        return
    import ctypes

    mallopt = getattr(ctypes.CDLL(None), "mallopt", None)
    if mallopt is not None:
        trim_threshold, mmap_threshold = -1, -3  # malloc.h
        mallopt(trim_threshold, KEEP)
        mallopt(mmap_threshold, KEEP)


def sweep_layouts(
    design: Design,
    pedal: Pedal,
    values: Mapping[str, NDArray[np.float64]],
    count: int,
    laws: Mapping[str, Callable[[Run], Jet]],
) -> dict[str, NDArray[np.float64]]:
    """Sweep many layouts of one pedal.

    Parameters
    ----------
    design, pedal
        What is not in ``values`` is as the file has it.
    values : mapping
        By path of a value: arrays of shape (n, 1), internal units.
    count : int
        Positions, both ends in.
    laws : mapping
        What to work out, by any names: see `linkage.quantities.laws`.

    Returns
    -------
    dict of ndarray, shape (n, count)
        nan where a mechanism cannot go.
    """
    rest = at_rest(Places(design, values), pedal)
    total = np.size(rest.sense)
    out = {name: np.empty((total, count)) for name in laws}
    with np.errstate(divide="ignore", invalid="ignore"):
        for rows, run in runs(rest, count):
            for name, law in laws.items():
                put(law(run), out[name][rows])
    return out


def take(record: Any, rows: slice, total: int) -> Any:
    """Return a record of arrays over layouts with some of its rows."""
    kind = type(record)
    return kind(
        **{name: _rows(getattr(record, name), rows, total) for name in _names(kind)}
    )


_NAMES: dict[type, tuple[str, ...]] = {}


def _names(kind: type) -> tuple[str, ...]:
    """Return the fields of a record that may hold arrays over layouts."""
    if kind not in _NAMES:
        holds = kind.__name__.endswith(("Rest", "Drive"))
        _NAMES[kind] = (
            kind.__struct_fields__ if holds and issubclass(kind, Struct) else ()
        )
    return _NAMES[kind]


def _rows(item: Any, rows: slice, total: int) -> Any:
    if isinstance(item, np.ndarray):
        return item[rows] if item.ndim == 2 and len(item) == total else item
    if isinstance(item, tuple):
        return tuple([_rows(each, rows, total) for each in item])
    return take(item, rows, total) if _names(type(item)) else item

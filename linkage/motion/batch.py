"""Many layouts of one pedal through their whole travel, in blocks that stay in cache.

The same lines as for one pedal (`at_rest`, `move_evenly`, the laws): only the rows are
handed on a few hundred at a time.
"""

import sys
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linkage.design.records import Design, Pedal
from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import Run, move_evenly
from linkage.places import Places
from solvers.jet import Jet, put

#: Positions in one block: so many that a call costs next to nothing, so few that what
#: is worked on stays in the cache. Found by trying; half or twice it changes little.
BLOCK = 40_000
#: Bytes: arrays below this are kept for the next block.
KEEP = 1 << 28


def runs(rest: PedalRest, total: int, count: int) -> Iterator[tuple[slice, Run]]:
    """Carry every layout of ``rest`` through its travel, block by block.

    Parameters
    ----------
    rest : PedalRest
        Of all layouts: what differs among them has shape (total, 1).
    total : int
        How many layouts.
    count : int
        Equal steps of the whole travel, both ends in.

    Yields
    ------
    rows : slice
        The layouts of this block.
    run : Run
        Shape (rows, count).
    """
    size = max(1, BLOCK // count)
    take = taker(rest, total) or (lambda _: rest)
    keep_pages()
    for start in range(0, total, size):
        rows = slice(start, min(start + size, total))
        yield rows, move_evenly(take(rows), count)


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
    total = max((len(column) for column in values.values()), default=1)
    out = {name: np.empty((total, count)) for name in laws}
    with np.errstate(divide="ignore", invalid="ignore"):
        for rows, run in runs(rest, total, count):
            for name, law in laws.items():
                put(law(run), out[name][rows])
    return out


def taker(item: Any, total: int) -> Callable[[slice], Any] | None:
    """Return what takes some rows out of a record of arrays over layouts.

    None where the item holds no such array. Looked through once, taken from for every
    block.
    """
    if isinstance(item, np.ndarray):
        return item.__getitem__ if item.ndim == 2 and len(item) == total else None
    if isinstance(item, tuple):
        each = [taker(one, total) for one in item]
        if not any(each):
            return None
        pairs = list(zip(item, each, strict=True))
        return lambda rows: tuple([take(rows) if take else one for one, take in pairs])
    if not type(item).__name__.endswith(("Rest", "Drive")):
        return None
    kind, kept, cut = type(item), {}, {}
    for name in kind.__struct_fields__:
        held = getattr(item, name)
        take = taker(held, total)
        if take is None:
            kept[name] = held
        else:
            cut[name] = take
    if not cut:
        return None
    return lambda rows: kind(**kept, **{n: take(rows) for n, take in cut.items()})

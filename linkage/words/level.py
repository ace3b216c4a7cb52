"""Pads that lie so level with their pivot that forward does not say which way.

A pad within 30 degrees of level needs ``press``; it is looked for over all ranges.
"""

from collections.abc import Iterator, Mapping
from itertools import product
from typing import Any

import numpy as np

from linkage.design.records import Design, Pedal
from linkage.design.values import Value
from linkage.faults import DesignError, Fault
from linkage.places import Places
from linkage.words.account import LEVEL
from solvers.jet import seed, value

#: A box of ranges is looked at in three places each, up to this many in all.
_MOST = 6561


def judge(design: Design) -> None:
    """Refuse a pad that lies nearly level with its pivot and has no ``press``.

    Raises
    ------
    DesignError
        With a fault for each such pedal, wherever in its ranges that is.
    """
    faults = []
    for pedal in design.pedals.values():
        off = None if pedal.press else _lowest(design, pedal)
        if off is not None and off < LEVEL - 1e-12:
            where = " somewhere in its ranges" if _is_open(design, pedal) else ""
            near = np.degrees(np.arcsin(max(off, 0.0)))
            faults.append(
                Fault(
                    file=design.file,
                    line=pedal.lines.get("pad", pedal.line),
                    key=f"{pedal.name}: pad",
                    wrong=(
                        f"it lies {near:.0f} deg off level with its pivot{where}, so "
                        "forward does not say which way it is pressed."
                    ),
                    right=(
                        f'Write press = "down", "up" or "forward" under '
                        f"[pedal.{pedal.name}]."
                    ),
                )
            )
    if faults:
        raise DesignError(faults)


def _lowest(design: Design, pedal: Pedal) -> float | None:
    """Return the least sine of the pad's height angle over all ranges; 0 across level.

    None where the pad lies on its pivot: that is another fault.
    """
    values = _that_move(design, pedal)
    levels = [_levels(each) for each in values]
    if 3 ** len(values) <= _MOST:
        rows = np.array(list(product(*levels)), float)
    else:
        low, high = np.array([(min(each), max(each)) for each in levels]).T
        rows = np.random.default_rng(0).uniform(low, high, (_MOST, len(values)))
    sines = []
    for choice in _choices(design, pedal):
        given = {each.path: rows[:, [i]] for i, each in enumerate(values)}
        reach = _reach(Places(design, given, choice), pedal)
        size = np.abs(reach)
        if not np.all(size > 0.0):
            return None
        sines.append(np.ravel(reach.imag / size))
    every = np.concatenate(sines)
    across = every.min() < 0.0 < every.max()
    return 0.0 if across else float(np.abs(every).min())


def _reach(places: Places, pedal: Pedal) -> Any:
    pad = value(places.point(f"{pedal.name}.pad"))
    return np.atleast_2d(pad - value(places.point(f"{pedal.name}.pivot")))


def _that_move(design: Design, pedal: Pedal) -> list[Value]:
    """Return the free numbers on which the pad's place from its pivot depends."""
    free = [each for each in design.values.values() if each.kind != "fixed"]
    seeds = {each.path: seed(each.nominal, i, len(free)) for i, each in enumerate(free)}
    places = Places(design, seeds)
    reach = places.point(f"{pedal.name}.pad") - places.point(f"{pedal.name}.pivot")
    slopes = getattr(reach, "g", None)
    if slopes is None:
        return []
    moved = np.abs(np.reshape(slopes, (len(free), -1))).max(axis=1) > 0.0
    return [each for each, moves in zip(free, moved, strict=True) if moves]


def _levels(each: Value) -> tuple[float, ...]:
    if each.options:
        return each.options
    low = each.nominal if each.low is None else each.low
    high = each.nominal if each.high is None else each.high
    return low, 0.5 * (low + high), high


def _choices(design: Design, pedal: Pedal) -> Iterator[Mapping[str, str]]:
    """Return every choice of names for pivot and pad."""
    own = [
        chosen
        for path, chosen in design.choices.items()
        if path in (f"{pedal.name}.pad", f"{pedal.name}.pivot")
    ]
    for names in product(*(chosen.names for chosen in own)):
        yield {chosen.path: name for chosen, name in zip(own, names, strict=True)}


def _is_open(design: Design, pedal: Pedal) -> bool:
    return bool(_that_move(design, pedal)) or len(list(_choices(design, pedal))) > 1

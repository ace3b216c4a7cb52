"""Pads whose first motion is not said: nearly level, or square to their ``press``.

A pad within 30 degrees of level needs ``press``, and what ``press`` says has to be a way
that the pad goes. Both are looked for over all ranges and tolerances. Welded points that
are free are told beside them.
"""

from collections.abc import Iterable, Iterator, Mapping
from itertools import product
from typing import Any

import numpy as np

from linkage.design.records import Design, Pedal
from linkage.design.values import Value
from linkage.faults import DesignError, Fault
from linkage.motion.lie import side_faults
from linkage.places import Places
from linkage.quantities.asked import locked_faults
from linkage.words.account import LEVEL
from solvers.jet import seed, value

#: A box of ranges is looked at in three places each, up to this many in all.
_MOST = 6561


#: A pad whose first motion is nearer than this to square to its ``press``, as a sine.
SQUARE = np.sin(np.radians(1.0))


def judge(design: Design) -> None:
    """Refuse first motions and sides that are not said, and free points that are welded.

    Raises
    ------
    DesignError
        With a fault for each, wherever in its ranges that is.
    """
    faults = [*locks(design), *side_faults(design)]
    for pedal in design.pedals.values():
        faults += level_faults(design, pedal)
    if faults:
        raise DesignError(in_order(faults))


def in_order(faults: Iterable[Fault]) -> list[Fault]:
    """Return faults in the order of the file, each once."""
    return sorted(dict.fromkeys(faults), key=lambda each: each.line)


def locks(design: Design) -> Iterator[Fault]:
    """Say of each welded point what of it is free."""
    for pedal in design.pedals.values():
        if pedal.locked:
            yield from locked_faults(design, pedal)


def level_faults(design: Design, pedal: Pedal) -> list[Fault]:
    """Return what is wrong with the way a pedal is said to be pressed."""
    across = pedal.press in ("up", "down")
    off = _lowest(design, pedal, across=across)
    if off is None or off >= (SQUARE if pedal.press else LEVEL) - 1e-12:
        return []
    where = " somewhere in its ranges" if _is_open(design, pedal) else ""
    near = float(np.degrees(np.arcsin(max(off, 0.0))))
    wrong, right = _unsaid(pedal, near, where)
    line = pedal.lines.get("press" if pedal.press else "pad", pedal.line)
    key = f"{pedal.name}: {'press' if pedal.press else 'pad'}"
    return [Fault(file=design.file, line=line, key=key, wrong=wrong, right=right)]


def _unsaid(pedal: Pedal, near: float, where: str) -> tuple[str, str]:
    """Return the sentence for a pad whose first motion is not said."""
    if not pedal.press:
        return (
            f"it lies {near:.0f} deg off level with its pivot{where}, so forward does "
            "not say which way it is pressed.",
            f'Write press = "down", "up" or "forward" under [pedal.{pedal.name}].',
        )
    lies, others = "straight above or below", '"forward", or leave it out'
    if pedal.press == "forward":
        lies, others = "level with", '"down" or "up"'
    return (
        f"the pad lies {lies} its pivot{where}, so it goes neither {pedal.press} nor "
        "the other way at first.",
        f"Write press = {others}.",
    )


def _lowest(design: Design, pedal: Pedal, *, across: bool) -> float | None:
    """Return the least sine of the pad's height angle over all ranges; 0 across level.

    ``across``: of its angle from upright instead. None where the pad lies on its pivot:
    that is another fault.
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
        sines.append(np.ravel((reach.real if across else reach.imag) / size))
    every = np.concatenate(sines)
    both = every.min() < 0.0 < every.max()
    return 0.0 if both else float(np.abs(every).min())


def _reach(places: Places, pedal: Pedal) -> Any:
    pad = value(places.point(f"{pedal.name}.pad"))
    return np.atleast_2d(pad - value(places.point(f"{pedal.name}.pivot")))


def _that_move(design: Design, pedal: Pedal) -> list[Value]:
    """Return the open numbers on which the pad's place from its pivot depends."""
    every = design.values.values()
    free = [each for each in every if each.kind != "fixed" or each.give is not None]
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
    give = each.give or 0.0
    low = (each.nominal if each.low is None else each.low) - give
    high = (each.nominal if each.high is None else each.high) + give
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

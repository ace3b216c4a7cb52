"""Conflicts that can be proved: bounds that hold for every layout there is.

The rod end moves by the integral of d(travel) / ratio, so a ratio held between two
numbers over the whole way holds the movement between two numbers; a mean ratio gives
it outright. A cylinder has the stroke that it has. One quantity at one place has one
value.
"""

from collections.abc import Sequence

import numpy as np

from linkage.design.records import Design, Part, Pedal, Target
from linkage.design.values import Value
from linkage.placing.layouts import Layouts
from linkage.placing.wishes import Wish, band_of
from linkage.quantities.register import QUANTITIES, is_cabled
from linkage.units import out_of, say, trim

#: What is moved, and the quantities that say by how much: of the end that moves.
MOVES = ("stroke", "cable pull")
RATIOS = ("ratio", "mean ratio", "ratio change")


def proof_of(design: Design, problem: Layouts, wishes: Sequence[Wish]) -> str:
    """Return a sentence that proves that some targets cannot all be had, or ""."""
    for one in wishes:
        said = _no_value(design, problem, one) or _too_long(design, problem, one)
        if said:
            return said
        for other in wishes:
            if one.pedal != other.pedal or one is other:
                continue
            said = _same(one, other) or _moved(design, problem, one, other)
            if said:
                return said
    return ""


def _reach(
    problem: Layouts, value: Value | None, default: float = 0.0
) -> tuple[float, float]:
    """Return the least and the greatest that a value may be."""
    if value is None:
        return default, default
    for free in problem.frees:
        if free.path == value.path:
            return free.low, free.high
    if value.kind == "choice":
        return min(value.options), max(value.options)
    return value.nominal, value.nominal


def _no_value(design: Design, problem: Layouts, wish: Wish) -> str:
    """While slack ahead of the last part lasts there is no ratio."""
    of = wish.target.of
    if of not in RATIOS or (wish.target.at.high > 0.0 and of != "ratio change"):
        return ""
    slacks = [
        _reach(problem, getattr(getattr(part, "cable", None), "slack", None))[0]
        for part in design.pedals[wish.pedal].train[:-1]
    ]
    if max(slacks, default=0.0) <= 0.0:
        return ""
    what = "ratio" if of == "ratio change" else of
    return f"there is no {what} at rest: the cable's slack comes first."


def _too_long(design: Design, problem: Layouts, wish: Wish) -> str:
    """A stroke cannot be more than the cylinder has."""
    pedal = design.pedals[wish.pedal]
    ends = [part for part in pedal.train[-2:] if _is_meant(pedal, part, wish.target)]
    held = [getattr(part, "stroke", None) for part in ends]
    if wish.target.of != "stroke" or not held or None in held:
        return ""
    low, _ = band_of(wish.target)
    most = min(_reach(problem, has)[1] for has in held)
    if low <= most:
        return ""
    return f"the cylinder has {_short(design.units, most)} of stroke and no more."


def _same(one: Wish, other: Wish) -> str:
    """One quantity at one place cannot lie in two bands that are apart."""
    a, b = one.target, other.target
    if (a.of, a.which, a.between) != (b.of, b.which, b.between):
        return ""
    if not _shares_a_place(a, b) or one.size != other.size or one.mirrored:
        return ""
    low, high = band_of(a)
    if band_of(b)[0] <= high or low > high:
        return ""
    return f"one place cannot have two values of {a.of}."


def _shares_a_place(a: Target, b: Target) -> bool:
    one, other = a.at, b.at
    if one.share != other.share:
        return False
    if QUANTITIES[a.of].farthest:  # one number a stretch
        return (one.low, one.high) == (other.low, other.high)
    return max(one.low, other.low) <= min(one.high, other.high)


def _moved(design: Design, problem: Layouts, moving: Wish, held: Wish) -> str:
    """A ratio over the whole way, or a mean ratio, bounds what the end moves."""
    target = moving.target
    pedal = design.pedals[moving.pedal]
    if target.of not in MOVES or not target.at.single or not _direct(pedal, target):
        return ""
    travel = _travel(problem, pedal, target)
    play = _play(problem, pedal)
    rates = _rates(problem, pedal, held, target)
    if travel is None or rates is None:
        return ""
    least, most = rates
    low, high = band_of(target)
    what = "piston" if target.of == "stroke" else "cable"
    reachable = travel[1] / least - play[0] if least > 0.0 else np.inf
    if low > reachable + 1e-9:
        at_all = max(reachable, 0.0)
        return _say(design.units, travel[1], held, least, "more", what, at_all, "most")
    forced = travel[0] / most - play[1] if 0.0 < most < np.inf else -np.inf
    if high < forced - 1e-9:
        return _say(design.units, travel[0], held, most, "less", what, forced, "least")
    return ""


def _say(
    units: str,
    travel: float,
    held: Wish,
    ratio: float,
    side: str,
    what: str,
    moved: float,
    end: str,
) -> str:
    pad, number = _short(units, travel), say(ratio, "1", 2)
    mean = " on the mean" if held.target.of == "mean ratio" else ""
    return (
        f"{pad} of pad at {number} or {side}{mean} moves the {what} "
        f"{_short(units, moved)} at {end}."
    )


def _is_meant(pedal: Pedal, part: Part, target: Target) -> bool:
    """Return True for an end that a target is about: of a bar's two, both or one."""
    if pedal.bar is None:
        return part is pedal.train[-1]
    return target.which in (None, part.branch, part.number)


def _short(units: str, length: float) -> str:
    return trim(out_of(length, units), 1 if units == "mm" else 3)


def _direct(pedal: Pedal, target: Target) -> bool:
    """Return True where the ratio is that of the very end that the target names."""
    if pedal.bar is not None:
        return False  # a ratio may be that of its bearing
    if not pedal.train or any(is_cabled(part) for part in pedal.train[:-1]):
        return False
    last = pedal.train[-1]
    return last.KIND == "cylinder" if target.of == "stroke" else is_cabled(last)


def _travel(
    problem: Layouts, pedal: Pedal, target: Target
) -> tuple[float, float] | None:
    """Return the least and greatest pad travel at the place of a target, mm."""
    if not target.at.share:
        return target.at.low, target.at.low
    if pedal.full.how != "travel":
        return None
    low, high = _reach(problem, pedal.full.value)
    return target.at.low * low, target.at.low * high


def _play(problem: Layouts, pedal: Pedal) -> tuple[float, float]:
    """Return what a piston's rod end moves before the piston does."""
    last = pedal.train[-1]
    if last.KIND != "cylinder":
        return 0.0, 0.0
    return _reach(problem, getattr(last, "free_play", None))


def _rates(
    problem: Layouts, pedal: Pedal, held: Wish, target: Target
) -> tuple[float, float] | None:
    """Return the bounds of the mean ratio from rest to the place of a target."""
    at, place = held.target.at, target.at
    if held.target.of == "mean ratio":
        same = at.share == place.share and at.low <= place.low <= at.high
        return band_of(held.target) if same else None
    if held.target.of != "ratio" or at.low != 0.0:
        return None
    if at.share == place.share:
        covers = at.high >= place.low
    elif at.share:
        covers = at.high == 1.0
    else:
        travel = _travel(problem, pedal, target)
        covers = travel is not None and at.high >= travel[1]
    return band_of(held.target) if covers and not at.single else None

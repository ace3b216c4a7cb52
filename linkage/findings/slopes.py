"""Exact derivatives of what a check finds, by every length and angle of its pedal.

The pedal is carried to one place with all of them as parameters. Over a stretch that
is the place where the extreme lies: there its derivative is that of the quantity at a
held place; at full the place moves with the stop.
"""

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from linkage.car.drive import cylinders
from linkage.design.values import Value
from linkage.findings.facts import Facts
from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import Run, move
from linkage.places import Places
from linkage.units import BY_NAME, Measure
from solvers.jet import Jet, lift, seed, seed_driver, value

Slopes = Mapping[str, float]
#: Nearer to full than this part of the travel is full.
_FULL = 1e-6


def numbers_of(facts: Facts) -> dict[str, Value]:
    """Return the lengths and angles of the pedal's own table, by path.

    Without those of a balance bar itself: forces follow them in more than one way.
    """
    own = f"{facts.pedal.name}."
    bar = "" if facts.pedal.bar is None else facts.pedal.bar.path
    return {
        path: each
        for path, each in facts.design.values.items()
        if path.startswith(own)
        and path.rpartition(".")[0] != bar
        and each.unit in BY_NAME
        and BY_NAME[each.unit].measure in (Measure.LENGTH, Measure.ANGLE)
    }


def slopes_at(facts: Facts, law: Callable[[Run], Any], at: float) -> Slopes:
    """Return the derivatives of a quantity at a place of the travel, mm.

    Parameters
    ----------
    law : callable
        Run -> Jet.
    """
    paths = list(numbers_of(facts))
    rest = _seeded(facts, paths)
    whole = facts.swept.limit is None and at >= facts.travel * (1.0 - _FULL)
    place = Jet(np.array([[at]]), 1.0, lift(rest.travel).g if whole else None)
    with np.errstate(divide="ignore", invalid="ignore"):
        found = law(move(rest, place))
        return _named(paths, found.g)


def _seeded(facts: Facts, paths: list[str], more: int = 0) -> PedalRest:
    count, known = len(paths) + more, numbers_of(facts)
    seeds = {
        path: seed(facts.values.get(path, known[path].nominal), i, count)
        for i, path in enumerate(paths)
    }
    return at_rest(Places(facts.design, seeds), facts.pedal)


def _named(paths: list[str], by: Any) -> Slopes:
    if by is None:
        return {}
    rows = np.reshape(np.broadcast_to(by, (len(paths), 1, 1)), len(paths))
    return {
        path: float(row)
        for path, row in zip(paths, rows, strict=True)
        if np.isfinite(row) and row != 0.0
    }


def stop_slopes(facts: Facts, law: Callable[[Run], Any], at: float) -> Slopes:
    """Return the derivatives of a quantity where the pad works, mm.

    Where that is the travel of a hard stop the place moves with every number that the
    stop's travel follows.
    """
    found = dict(slopes_at(facts, law, at))
    if facts.hard is None or abs(at - facts.working) > _FULL * facts.travel:
        return found
    with np.errstate(divide="ignore", invalid="ignore"):
        here = law(move(facts.rest, seed_driver(np.array([[at]]), 0, 1)))
        by_travel = float(_column(here.g, 1)[0])
    for path, slope in held_slopes(facts, at)[0].items():
        found[path] = found.get(path, 0.0) + by_travel * slope
    return found


def held_slopes(facts: Facts, travel: float) -> tuple[Slopes, Slopes]:
    """Return the derivatives of travel and of 1 / ratio at a hard stop.

    Parameters
    ----------
    travel : float
        Where the pad is, mm.

    Notes
    -----
    The rod has to make its movement e(travel, p) whatever the points are, so
    d(travel) = (d(needed) - e_p dp) / e_t; and 1 / ratio = e_t changes by
    e_tp dp + e_tt d(travel). What is needed follows gap and bore alone.
    """
    paths = list(numbers_of(facts))
    count = len(paths)
    rest = _seeded(facts, paths, more=1)
    needed = _needed(facts)
    more = np.array([needed.get(path, 0.0) for path in paths])
    with np.errstate(divide="ignore", invalid="ignore"):
        end = move(rest, seed_driver(np.array([[travel]]), count, count + 1)).end()
        g, h = (_column(part, count + 1) for part in (end.g, end.h))
        moved = (more - g[:count]) / g[count]
        rate = h[:count] + h[count] * moved
    return _rows(paths, moved), _rows(paths, rate)


def _needed(facts: Facts) -> Slopes:
    """Return by how much the rod's movement at a hard stop follows gap and bore."""
    part, hard = facts.cylinder, facts.hard
    if part is None or hard is None:
        return {}
    if facts.rest.bar is not None:
        share = float(value(facts.rest.bar.share))
        ends = zip((share, 1.0 - share), cylinders(facts.pedal), strict=True)
        return {e.free_play.path: part for part, e in ends if e.free_play is not None}
    found = {} if part.free_play is None else {part.free_play.path: 1.0}
    if part.bore is not None:
        shares = hard.state.fluid.shares
        fluid = sum(float(each.moved[0]) for each in shares if each.volume is not None)
        bore = facts.values.get(part.bore.path, part.bore.nominal)
        found[part.bore.path] = -2.0 * fluid / bore
    return found


def _column(part: Any, count: int) -> Any:
    return np.reshape(np.broadcast_to(part, (count, 1, 1)), count)


def _rows(paths: list[str], by: Any) -> Slopes:
    return {
        path: float(row)
        for path, row in zip(paths, by, strict=True)
        if np.isfinite(row) and row != 0.0
    }

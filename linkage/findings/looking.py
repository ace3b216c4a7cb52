"""A quantity looked at along the travel: at places, and where a limit judges it hardest."""

from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np

from linkage.findings.facts import Facts
from linkage.findings.records import ORDER
from linkage.limits.bands import Limit
from linkage.motion.run import Run, move
from solvers.jet import Jet
from solvers.lowest import lowest

Law = Callable[[Run], Jet]


def values_at(facts: Facts, law: Law, travel: Any) -> Any:
    """Return a quantity at places of the travel."""
    with np.errstate(divide="ignore", invalid="ignore"):
        found = np.asarray(law(move(facts.rest, np.asarray(travel, float))).v, float)
    return np.broadcast_to(found, np.shape(travel))


def worst(
    facts: Facts, law: Law, limit: Limit, upto: float, middle: float = 0.0
) -> tuple[float, float]:
    """Return (value, travel) of the extreme that a limit judges hardest.

    Of two that it judges alike, the one farther from ``middle``.
    """
    ends = []
    for sign in (1.0, -1.0):
        at, least = lowest(partial(_signed, facts, law, sign), 0.0, upto)
        ends.append((sign * least, at))
    return max(ends, key=lambda end: _weight(limit, end[0], middle))


def _signed(facts: Facts, law: Law, sign: float, travel: Any) -> Any:
    return sign * values_at(facts, law, travel)


def _weight(limit: Limit, found: float, middle: float) -> tuple[int, float]:
    return -ORDER.index(limit.verdict(found)), abs(found - middle)


def unknown_stop(facts: Facts) -> str:
    """Return a note where a brake's hard stop is not known; else nothing."""
    if facts.pedal.duty == "brake" and facts.hard is None:
        return "over the travel of a usual hard stop, which this file does not tell"
    return ""

"""Pairs of hole and bore held against the limits of a hard stop."""

from collections.abc import Iterator, Mapping

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.car.asking import usual
from linkage.ladder.climb import Ladder
from linkage.limits.bands import Limit, Verdict

#: Graver ones first.
GRAVE: tuple[Verdict, ...] = ("fail", "caution", "ok")


class Judged(Struct, frozen=True, kw_only=True, eq=False):
    """How every pair stands.

    Attributes
    ----------
    limits : mapping of str to Limit
        By what they are held against: an array of `Ladder`.
    verdicts : ndarray of str
        The gravest of each pair.
    over : mapping of str to ndarray of str
        By the same names: each value's own verdict; "" where there is none.
    """

    limits: Mapping[str, Limit]
    verdicts: NDArray[np.str_]
    over: Mapping[str, NDArray[np.str_]]


def judge(ladder: Ladder, rules: Mapping[str, Limit]) -> Judged | None:
    """Judge every pair; None where another stop was asked than limits are about.

    Parameters
    ----------
    rules : mapping of str to Limit
        By name: a set of them.
    """
    if (ladder.of, ladder.size) != usual(ladder.rig):
        return None
    limits = {what: rules[name] for what, name in _asked(ladder)}
    over = {what: _each(ladder, what, limit) for what, limit in limits.items()}
    worst = np.full(ladder.effort.shape, "ok", dtype="<U12")
    for verdict in reversed(GRAVE):
        for each in over.values():
            worst[each == verdict] = verdict
    worst[ladder.ends != ""] = "fail"
    return Judged(limits=limits, verdicts=worst, over=over)


def _asked(ladder: Ladder) -> Iterator[tuple[str, str]]:
    """Yield what is judged, with the name of its limit."""
    driven = ladder.rig.driven
    if ladder.rig.road is not None:
        boosted = getattr(driven, "booster", None) is not None
        yield "effort", "boosted effort" if boosted else "effort"
    yield "travel", "hard-stop travel"
    yield "left", "pad left"
    if np.any(np.isfinite(ladder.used)):
        yield "used", "stroke used"
    if ladder.dead is not None:
        yield "dead", "booster-dead effort"


def _each(ladder: Ladder, what: str, limit: Limit) -> NDArray[np.str_]:
    found = np.asarray(getattr(ladder, what), float)
    said = [
        "" if np.isnan(x) else limit.verdict(float(x)) for x in found.ravel().tolist()
    ]
    return np.array(said, dtype="<U12").reshape(found.shape)

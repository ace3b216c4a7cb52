"""A ladder as JSON and as rows: mm, N, MPa, %, full precision; a row a pair."""

from collections.abc import Mapping
from typing import Any

from linkage.ladder.climb import Ladder
from linkage.ladder.judging import Judged
from linkage.last_word import STOPS

#: What each pair is told of, with its unit.
TOLD: Mapping[str, str] = {
    "ratio": "1",
    "effort": "N",
    "travel": "mm",
    "pressure": "MPa",
    "used": "%",
    "left": "mm",
    "at_foot": "MPa",
    "dead": "N",
}
_UNITS = {"pressure": "MPa", "deceleration": "g0"}


def ladder_document(ladder: Ladder, judged: Judged | None) -> dict[str, Any]:
    """Return the JSON document of a ladder; null where there is no value."""
    return {
        "pedal": ladder.rig.rest.pedal.name,
        "stated": {
            "what": ladder.of,
            "size": ladder.size,
            "unit": _UNITS[ladder.of],
            "foot": ladder.foot,
        },
        "units": dict(TOLD),
        "judged_by": None
        if judged is None
        else {what: limit.name for what, limit in judged.limits.items()},
        "pairs": pair_rows(ladder, judged),
        "caution": STOPS,
    }


def pair_rows(ladder: Ladder, judged: Judged | None) -> list[dict[str, Any]]:
    """Return what is told of every pair, the holes in turn."""
    return [
        _row(ladder, judged, i, j)
        for i in range(len(ladder.holes))
        for j in range(len(ladder.bores))
    ]


def _row(ladder: Ladder, judged: Judged | None, i: int, j: int) -> dict[str, Any]:
    hole, bore = ladder.holes[i], ladder.bores[j]
    values = {what: getattr(ladder, what) for what in TOLD}
    return {
        "hole": hole.name or None,
        "reach": hole.reach,
        "x": hole.at.real,
        "z": hole.at.imag,
        "bore": bore.size,
        "stock": bore.name or None,
        "present": hole.present and bore.present,
        **{what: None if x is None else x[i, j] for what, x in values.items()},
        "all_there_is": bool(ladder.short[i, j]),
        "missed": str(ladder.ends[i, j]) or None,
        "verdict": None if judged is None else str(judged.verdicts[i, j]),
    }

"""The JSON document of a rehearsal: mm, N, MPa, g0, m/s2, full precision."""

from typing import Any

import numpy as np

from linkage.car.meeting import Meeting
from linkage.car.twin import Alone, Twin
from linkage.last_word import FINDINGS
from linkage.rehearsing.rehearse import Outcome, Rehearsal


def rehearsal_document(found: Rehearsal) -> dict[str, Any]:
    """Return the JSON document; null where there is no value."""
    return {
        "pedal": found.pedal,
        "effort": found.foot,
        "reach": found.reach,
        "counted_to": found.counted,
        "failures": [outcome_row(each) for each in found.outcomes],
        "skipped": [
            {"failure": each.case.name, "why": each.why} for each in found.skipped
        ],
        "caution": FINDINGS,
    }


def outcome_row(each: Outcome) -> dict[str, Any]:
    """Return one failure."""
    fluid = each.state.fluid
    left = float(fluid.left[0])
    return {
        "failure": each.case.name,
        "assumed": each.case.assumed,
        "effort": each.effort,
        "travel": each.travel,
        "share": each.share,
        "stopped_by": each.stopped or None,
        "first": {"what": each.first.what, "travel": each.first.travel},
        "pressure": {name: p[0] for name, p in fluid.pressures.items()},
        "stroke_left": left if np.isfinite(left) else None,
        "tilt": tilt_of(each),
        "deceleration": each.z,
        "locked": list(each.locked),
        "rule": None if each.meeting is None else _rule(each, each.meeting),
    }


def _rule(each: Outcome, meeting: Meeting) -> dict[str, Any]:
    rule = meeting.rule
    return {
        "name": rule.name,
        "source": rule.source,
        "asked": rule.deceleration,
        "most_effort": rule.effort[1],
        "effort": meeting.effort,
        "travel": meeting.travel,
        "share": None if meeting.travel is None else each.part(meeting.travel),
        "best": meeting.best,
        "speed": rule.speed,
        "distance": meeting.distance,
        "most_distance": rule.distance,
        "missed": each.missed or None,
    }


def tilt_of(each: Outcome) -> float | None:
    """Return how a balance bar leans, deg, plus with the front end ahead."""
    driven = each.rig.driven
    if isinstance(driven, Twin):
        return float(np.degrees(driven.tilt(each.level)))
    if isinstance(driven, Alone):
        return float(np.degrees(driven.swung(each.level).tilt))
    return None

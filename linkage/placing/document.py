"""A placement as the JSON document: mm, deg, % and pure numbers, full precision."""

import math
from collections.abc import Mapping
from typing import Any

from linkage.design.records import Target
from linkage.placing.judge import Judged
from linkage.placing.records import Answer, Clash, Conflict, Placement
from linkage.placing.wishes import outward
from linkage.quantities.register import QUANTITIES

#: Decimals that are kept of a written number: beyond them is noise of a conversion.
NOISE = 9


def short_path(path: str, pedals: tuple[str, ...]) -> str:
    """Return a path without its pedal's name where only one pedal is placed.

    >>> short_path("brake.pivot.x", ("brake",)), short_path("point.shaft.x", ("brake",))
    ('pivot.x', 'point.shaft.x')
    """
    return path.removeprefix(f"{pedals[0]}.") if len(pedals) == 1 else path


def placement_json(placement: Placement) -> dict[str, Any]:
    """Return the document of a placement.

    Notes
    -----
    Values are keyed as the file's paths, with the pedal's name in front where several
    pedals are placed together. Beside what is fixed stand ``touched`` (range ends and
    limits that an answer lies on), ``proof`` and ``give`` of the conflict, and ``why``
    where no answer was found.
    """
    several = len(placement.group.pedals) > 1
    found: dict[str, Any] = {
        "pedals": list(placement.group.pedals),
        "status": placement.status,
        "answers": [_answer(placement, each, several) for each in placement.answers],
        "conflict": [],
    }
    if placement.conflicts:
        first, *further = placement.conflicts
        found["conflict"] = _conflict(first, several)
        if further:
            found["further"] = [_conflict(each, several) for each in further]
        if first.proof:
            found["proof"] = first.proof
    gives = [*placement.gives, *(g for c in placement.conflicts[:1] for g in c.gives)]
    if gives:
        found["give"] = [
            {
                "value": short_path(give.path, placement.group.pedals),
                "now": give.now,
                "would_do": give.would_do,
                "unit": "mm",
            }
            for give in gives
        ]
    if placement.why:
        found["why"] = placement.why
    return found


def _answer(placement: Placement, answer: Answer, several: bool) -> dict[str, Any]:
    return {
        "values": written_values(placement, answer),
        "targets": [_target(each, several) for each in answer.judged],
        "free_directions": answer.free_directions,
        "touched": [
            {"at": short_path(each.path, placement.group.pedals), "end": each.end}
            for each in answer.touched
        ],
    }


def written_values(placement: Placement, answer: Answer) -> dict[str, float | str]:
    """Return the values of an answer by the file's path, in the order of the file."""
    design, pedals = placement.design, placement.group.pedals
    found: dict[str, float | str] = {}
    for path, value in design.values.items():
        if path in answer.values:
            unit = "deg" if value.unit == "deg" else "mm"
            number = round(outward(answer.values[path], unit), NOISE) + 0.0
            found[short_path(path, pedals)] = number
    for path in design.choices:
        if path in answer.names:
            found[short_path(path, pedals)] = answer.names[path]
    return found


def _target(judged: Judged, several: bool) -> dict[str, Any]:
    target = judged.target
    unit = QUANTITIES[target.of].unit
    got = None if judged.got is None else outward(judged.got, unit) + 0.0
    return {
        **_head(judged.pedal, target, several),
        "at": target.at.text,
        "wanted": wanted(target, unit),
        "got": got,
        "unit": unit,
        "met": judged.met,
    }


def _head(pedal: str, target: Target, several: bool) -> dict[str, Any]:
    head: Mapping[str, Any] = {"pedal": pedal} if several else {}
    return {**head, "target": target.number, "of": target.of}


def wanted(target: Target, unit: str) -> dict[str, float | str]:
    """Return what a target wants, in JSON's unit."""
    numbers = {
        "is": target.exact,
        "within": target.within,
        "least": target.least,
        "most": target.most,
    }
    found: dict[str, float | str] = {
        key: round(outward(number, unit), NOISE)
        for key, number in numbers.items()
        if number is not None
    }
    if target.prefer is not None:
        found["prefer"] = target.prefer
    return found


def _conflict(conflict: Conflict, several: bool) -> list[dict[str, Any]]:
    return [_clash(clash, several) for clash in conflict.clashes]


def _clash(clash: Clash, several: bool) -> dict[str, Any]:
    target = clash.wish.target
    unit = QUANTITIES[target.of].unit
    return {
        **_head(clash.wish.pedal, target, several),
        "at": target.at.text,
        "wanted": wanted(target, unit),
        "missed_by": _number(clash.missed_by, unit),
        "unit": unit,
        "would_do": _number(clash.would_do, unit),
        "of_bound": clash.bound,
    }


def _number(value: float | None, unit: str) -> float | None:
    if value is None or math.isnan(value):
        return None
    return outward(value, unit) + 0.0

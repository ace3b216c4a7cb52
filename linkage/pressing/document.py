"""The JSON document of a pedal under load, and what its forces rest on."""

from collections.abc import Iterator, Sequence
from typing import Any

from linkage.design.hydraulics import is_hydraulic
from linkage.last_word import FORCES
from linkage.pressing.press import Loaded


def pressed_document(loaded: Loaded, places: Sequence[float]) -> dict[str, Any]:
    """Return the JSON document of a pedal under load; null where there is no value.

    Parameters
    ----------
    loaded : Loaded
    places : sequence of float
        Of the travel, mm.
    """
    limit, weight = loaded.limit, loaded.burden.weight
    return {
        "pedal": loaded.rest.pedal.name,
        "stated": {
            "what": loaded.of,
            "size": loaded.size,
            "unit": UNITS[loaded.of],
            "push": loaded.push,
        },
        "columns": {
            name: {"unit": series.unit, "values": series.values}
            for name, series in loaded.columns(places).items()
        },
        "limit": limit
        and {"kind": limit.kind, "travel": limit.travel, "why": limit.why},
        "marks": [
            {"what": mark.what, "part": mark.part, "travel": mark.travel}
            for mark in loaded.marks
        ],
        "return": {"time": loaded.back.time, "unit": "s", "stays": loaded.back.stays},
        "arm": weight and {"mass": weight.mass, "inertia": weight.inertia},
        "guesses": [*_taken(loaded), *_said_guesses(loaded)],
        "caution": FORCES,
    }


#: What each stated size is in.
UNITS: dict[str, str] = {
    "foot": "N",
    "end": "N",
    "pressure": "MPa",
    "torque": "N mm",
}


def _said_guesses(loaded: Loaded) -> Iterator[str]:
    """Yield what the file itself says to be a guess, by its path."""
    design, mine = loaded.rest.places.design, loaded.rest.pedal.name
    for each in design.guesses:
        owner = each.path.partition(".")[0]
        if is_hydraulic(each.path):
            continue
        if owner == mine or owner not in design.pedals:
            yield f"{each.path}: {each.text}"


def _taken(loaded: Loaded) -> Iterator[str]:
    """Yield what the file does not say, in words."""
    for name, value, unit in guesses_of(loaded):
        said = value if isinstance(value, str) else f"{value:g}"
        yield f"{name} {said} {unit}".strip()


def guesses_of(loaded: Loaded) -> Iterator[tuple[str, float | str, str]]:
    """Yield what the forces rest on that the file does not say: name, value, unit."""
    if loaded.burden.weight is not None:
        for what, taken in loaded.burden.weight.guesses:
            yield what, taken, "" if isinstance(taken, str) else "mm"
    friction = loaded.rest.pedal.friction
    if friction is not None:
        held = (
            ("friction of pivots", friction.pivot),
            ("friction of pins", friction.pins),
            ("pivot pin", friction.pivot_pin),
            ("rod pin", friction.pin),
        )
        for name, each in held:
            if each.guess and not each.text:
                yield name, each.nominal, "" if each.unit == "1" else "mm"

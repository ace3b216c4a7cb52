"""The JSON document of a pedal under load, and what its forces rest on."""

from collections.abc import Iterator
from typing import Any

from linkage.pressing.press import Pressed

CAUTION = (
    "Rigid parts and stated friction: not proof. Your local code and a licensed person "
    "have the last word."
)


def pressed_document(pressed: Pressed) -> dict[str, Any]:
    """Return the JSON document of a pedal under load; null where there is no value."""
    limit, weight = pressed.limit, pressed.burden.weight
    units = {"foot": "N", "force": "N", "pressure": "MPa", "torque": "N mm"}
    return {
        "pedal": pressed.pedal,
        "stated": {
            "what": pressed.of,
            "size": pressed.size,
            "unit": units[pressed.of],
            "push": pressed.push,
        },
        "columns": {
            name: {"unit": series.unit, "values": series.values}
            for name, series in pressed.columns.items()
        },
        "limit": limit
        and {"kind": limit.kind, "travel": limit.travel, "why": limit.why},
        "marks": [
            {"what": mark.what, "part": mark.part, "travel": mark.travel}
            for mark in pressed.marks
        ],
        "return": {
            "time": pressed.back.time,
            "unit": "s",
            "stays": pressed.back.stays,
        },
        "arm": weight and {"mass": weight.mass, "inertia": weight.inertia},
        "guesses": list(guesses_of(pressed)),
        "caution": CAUTION,
    }


def guesses_of(pressed: Pressed) -> Iterator[str]:
    """Yield what the forces rest on that the file does not say, in words."""
    if pressed.burden.weight is not None:
        yield from pressed.burden.weight.guesses
    friction = pressed.rest.pedal.friction
    if friction is not None:
        for name in ("pivot", "pins", "pivot_pin", "pin"):
            held = getattr(friction, name)
            if held.guess and not held.text:
                unit = "" if held.unit == "1" else f" {held.unit}"
                yield f"friction, {name.replace('_', ' ')} {held.nominal:g}{unit}"

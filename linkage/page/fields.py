"""Every number and choice of a design as a field of the page."""

import math
from collections.abc import Iterator, Mapping
from typing import Any

from linkage.design.frees import rests_on
from linkage.design.records import Chosen, Design
from linkage.design.values import Value
from linkage.units import BY_NAME, Measure, out_of, trim
from linkage.words.names import value_name
from linkage.words.speech import Speech, tidy

#: Decimals of a field's number, by unit.
DIGITS = {"mm": 3, "in": 4, "deg": 3}

Row = dict[str, Any]


def fields(design: Design, speech: Speech) -> list[Row]:
    """Return the fields of a design, in the order of the file."""
    locked = locked_paths(design)
    rows = [
        *(_value(design, each, speech, locked) for each in design.values.values()),
        *(_choice(design, each) for each in design.choices.values()),
    ]
    return sorted(rows, key=lambda row: (row["line"], row["at"]))


def moved_texts(
    design: Design, moved: Mapping[str, float], speech: Speech
) -> dict[str, str]:
    """Return what the fields of moved numbers read, by path, in the shown units."""
    values = {path: design.values[path] for path in moved if path in design.values}
    return {
        path: _say(moved[path], _unit(each, speech)) for path, each in values.items()
    }


def locked_paths(design: Design) -> frozenset[str]:
    """Return the paths of what places a point that is welded."""
    return frozenset(
        value.path
        for pedal in design.pedals.values()
        for name in pedal.locked
        for value in rests_on(design, name)
    )


def _value(design: Design, each: Value, speech: Speech, locked: frozenset[str]) -> Row:
    unit = _unit(each, speech)
    return {
        **_head(design, each),
        "text": each.text,
        "shown": _shown(each, unit),
        "number": _json(each, each.nominal),
        "unit": unit,
        "low": _json(each, each.low),
        "high": _json(each, each.high),
        "near": _json(each, each.near),
        "give": _json(each, each.give),
        "guess": each.guess,
        "options": list(each.spelt),
        "locked": each.path in locked,
        "says": _says(each, unit, each.path in locked),
    }


def _choice(design: Design, each: Chosen) -> Row:
    return {
        **_head(design, each),
        "text": each.names[0],
        "shown": each.names[0],
        "number": None,
        "unit": "",
        "low": None,
        "high": None,
        "near": None,
        "give": None,
        "guess": False,
        "options": list(each.names),
        "locked": False,
        "says": f"one of {', '.join(each.names)}",
    }


def _head(design: Design, each: Value | Chosen) -> Row:
    owner, _, rest = each.path.partition(".")
    pedal = owner if owner in design.pedals else None
    return {
        "path": each.path,
        "pedal": pedal,
        "group": _group(design, pedal, rest if pedal else each.path),
        "label": value_name(design, each.path),
        "kind": "choice" if isinstance(each, Chosen) else each.kind,
        "line": each.line,
        "at": each.span[0],
    }


def _group(design: Design, pedal: str | None, path: str) -> str:
    """Return under which heading of its pedal a field stands."""
    words = path.split(".")
    if pedal is None:
        return words[0]
    if words[0] == "train":
        part = design.pedals[pedal].part_of(path)
        return tidy(part.name or f"{part.branch} {part.KIND}".strip(), 24)
    return "hole" if words[0] in ("clevis", "holes") else words[0]


def _unit(each: Value, speech: Speech) -> str:
    """Return the unit in which a field is shown: lengths in that of the page."""
    unit = BY_NAME.get(each.unit)
    return speech.units if unit and unit.measure is Measure.LENGTH else each.unit


def _json(each: Value, number: float | None) -> float | None:
    """Return a number as JSON has it: mm, deg, else the file's own unit."""
    if number is None or not math.isfinite(number):
        return None
    unit = BY_NAME.get(each.unit)
    length = unit is not None and unit.measure is Measure.LENGTH
    return round(number if length else out_of(number, each.unit), 9) + 0.0


def _say(number: float, unit: str) -> str:
    return trim(out_of(number, unit), DIGITS.get(unit, 4))


def _shown(each: Value, unit: str) -> str:
    """Return a field's number, or its range, in the shown unit."""
    if each.kind == "free" and each.low is not None and each.high is not None:
        near = "" if each.near is None else f" near {_say(each.near, unit)}"
        ends = f"{_say(each.low, unit)} to {_say(each.high, unit)}"
        return f"{ends}{near}"
    about = "about " if each.guess else ""
    give = "" if each.give is None else f" +- {_say(each.give, unit)}"
    return f"{about}{_say(each.nominal, unit)}{give}"


def _says(each: Value, unit: str, locked: bool) -> str:
    """Return what a field is in a few words: "free, read as 118 mm"."""
    return ", ".join(_words(each, unit, locked))


def _words(each: Value, unit: str, locked: bool) -> Iterator[str]:
    now = f"{_say(each.nominal, unit)} {unit}".strip()
    if each.kind == "free":
        how = "the middle of its range" if each.near is None else "near"
        yield f"free, read as {now} ({how})"
    elif each.kind == "choice":
        yield f"a choice, read as {each.spelt[0]} (the first)"
    elif each.guess:
        yield f"a guess: {now}"
    else:
        yield now
    if each.give is not None:
        yield f"+- {_say(each.give, unit)}"
    if locked:
        yield "welded (locked)"

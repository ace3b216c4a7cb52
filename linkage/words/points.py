"""The points of a pedal in the builder's own marks."""

from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from linkage.design.records import (
    Cartesian,
    Chosen,
    Design,
    OffString,
    Part,
    Point,
    Polar,
    Same,
    SideReach,
)
from linkage.design.values import Value
from linkage.motion.rest import PedalRest
from linkage.quantities.register import is_cabled
from linkage.words.names import point_name
from linkage.words.speech import Speech
from solvers.jet import value

_KEYS = (
    *("face", "on", "seat", "pivot", "input", "output"),
    *("ferrule", "cable.ferrule", "cable.end_ferrule"),
)


class Spot(Struct, frozen=True, kw_only=True, eq=False):
    """One point as it lies at rest.

    Attributes
    ----------
    key : str
        Within the pedal: ``train.1.face``.
    name : str
        As people call it.
    at : complex
        mm, x + iz.
    give : tuple of float or None
        Outer limits of what was typed, fore and aft and up, mm.
    how : str
        How it was given, where not as two readings.
    far : bool
        Beyond a cable, where the marks are the part's own.
    typed : bool
        As two readings from the marks: they are read back as they were typed.
    """

    key: str
    name: str
    at: complex
    give: tuple[float | None, float | None]
    how: str
    far: bool
    typed: bool = False


def spots(rest: PedalRest) -> tuple[Spot, ...]:
    """Return the points of a pedal in plain numbers, in order from the pivot.

    Left out is what a rod that is too short does not reach.
    """
    pedal = rest.pedal
    found = [_spot(rest, key, form) for key, form in pedal.points.items()]
    far = False
    for part in pedal.train:
        beyond = far or (part.KIND != "cable" and is_cabled(part))
        for key, form in _of_part(part):
            there = far if key.endswith("cable.ferrule") else beyond
            found.append(_spot(rest, f"{part.label}.{key}", form, far=there))
        far = beyond
    return tuple(spot for spot in found if np.isfinite(spot.at))


def _of_part(part: Part) -> Iterator[tuple[str, Point | None]]:
    for key in _KEYS:
        holder = part
        *above, last = key.split(".")
        for step in above:
            holder = getattr(holder, step, None)  # type: ignore[assignment]
        form = getattr(holder, last, None)
        if form is not None:
            yield key, form
        elif key == "seat" and part.KIND == "cylinder":
            yield key, None


def _spot(rest: PedalRest, key: str, form: Point | None, *, far: bool = False) -> Spot:
    pedal = rest.pedal
    give: tuple[float | None, float | None] = (None, None)
    if isinstance(form, Cartesian):
        give = (form.x.give, form.z.give)
    return Spot(
        key=key,
        name=point_name(pedal, key),
        at=complex(value(rest.places.point(f"{pedal.name}.{key}"))),
        give=give,
        how=_how(rest, key, form),
        far=far,
        typed=isinstance(form, Cartesian) and form.base is None,
    )


def _how(rest: PedalRest, key: str, form: Point | None) -> str:
    """Return how a point was given, where not as two readings from the marks."""
    pedal = rest.pedal

    def said(name: str) -> str:
        if name.startswith("point."):
            return f'"{name.removeprefix("point.")}"'
        own = name.removeprefix(f"{pedal.name}.")
        return name if own == name else point_name(pedal, own).split(",")[0]

    part = pedal.part_of(key) if key.startswith("train.") else None
    if key.endswith(".input") and getattr(part, "rod", None) is not None:
        return "from the lengths of metal"
    match form:
        case OffString(start=start, end=end):
            return f"off the string from {said(start)} to {said(end)}"
        case Polar(base=base):
            return f"by its reach from {said(base)}"
        case Cartesian(base=base) if base is not None:
            return f"counted from {said(base)}"
        case Same(base=base):
            return f"the same as {said(base)}"
        case Chosen(names=names):
            return f'"{names[0]}", the first of {len(names)}'
        case SideReach():
            return "from the lengths of metal"
        case None:
            return "follows from the cylinder"
    return ", ".join(filter(None, (_aside(form.x), _aside(form.z))))


def _aside(number: Value) -> str:
    if number.guess:
        return "a guess"
    return "free" if number.kind == "free" else ""


def point_rows(
    design: Design, found: tuple[Spot, ...], *, far: bool
) -> tuple[tuple[str, str], list[list[str]]]:
    """Return the two heads and the rows: name, fore and aft, up, tolerance and how.

    No number has a sign: what lies the other way has its word behind a bar.
    """
    speech = Speech(design.units)
    own = [spot for spot in found if spot.far is far]
    behind = sum(spot.at.real < 0.0 for spot in own) * 2 >= len(own) and not far
    heads = ("back" if behind else "ahead", "up")
    rows = [
        [
            spot.name,
            _cell(spot, -spot.at.real if behind else spot.at.real, heads[0], speech),
            _cell(spot, spot.at.imag, heads[1], speech),
            " ".join(filter(None, (_give(spot, speech), spot.how))),
        ]
        for spot in own
    ]
    return heads, rows


_OTHER = {"back": "ahead", "ahead": "back", "up": "down"}


def _cell(spot: Spot, size: float, head: str, speech: Speech) -> str:
    say = speech.reading if spot.typed else speech.ruled
    text = say(abs(size))
    other = size < 0.0 and text != "0"
    return f"{text}|{_OTHER[head]}" if other else f"{text}|"


def _give(spot: Spot, speech: Speech) -> str:
    gives = [speech.reading(each) for each in spot.give if each is not None]
    return f"+- {' and '.join(dict.fromkeys(gives))}" if gives else ""

"""The sketch of a measuring card: a starting file's pedal, with numbers as readings."""

from collections.abc import Iterator

from msgspec.structs import replace

from linkage.design.records import Cartesian, Design, OffString, Point
from linkage.places import Places
from linkage.sheets.card import Blank
from linkage.sheets.scene import Group, Length, Named, Reading, Scene
from linkage.sheets.staging import scene_of
from linkage.templates import Template
from solvers.jet import value

#: How far a short length's line stands off what it measures, mm of paper.
_OFF = -8.0


def card_blanks(template: Template) -> tuple[Blank, ...]:
    """Return the blanks of a starting file, numbered in measuring order."""
    return tuple(
        Blank(number=n, label=ask.label, hint=ask.hint)
        for n, ask in enumerate(template.asks, 1)
    )


def card_scene(template: Template, design: Design) -> Scene:
    """Return the sketch that goes with the blanks.

    Parameters
    ----------
    template : Template
    design : Design
        The starting file as read.
    """
    scene = scene_of(design, (template.pedal,))
    readings: list[Reading] = []
    lengths: list[Length] = []
    names: list[str] = []
    for n, ask in enumerate(template.asks, 1):
        for mark in _marks(design, ask.path, f"({n})"):
            if isinstance(mark, Reading):
                readings.append(mark)
            elif isinstance(mark, Length):
                lengths.append(mark)
            else:
                names.append(mark)
    return replace(
        scene,
        title=template.says[2:].capitalize(),
        stamp=replace(scene.stamp, file=f"{template.kind} card", date="no date"),
        groups=tuple(map(_bare, scene.groups)),
        far=tuple(_named(group, names) for group in scene.far),
        readings=tuple(readings),
        lengths=tuple(lengths),
        notes=(),
        guesses=0,
    )


def _bare(group: Group) -> Group:
    """Return a group whose cylinders tell no size of the made-up car's."""
    cylinders = tuple(replace(each, text=("cylinder",)) for each in group.cylinders)
    return replace(group, cylinders=cylinders)


def _named(group: Group, names: list[str]) -> Group:
    """Return a far group with numbers beside the name of what turns in it."""
    extra = " ".join(names)
    return replace(
        group,
        names=tuple(
            Named(at=name.at, text=(f"{name.text[0]} {extra}".strip(),))
            for name in group.names
        ),
    )


def _marks(design: Design, path: str, text: str) -> Iterator[Reading | Length | str]:
    """Return how one number stands on the sketch."""
    owner, _, word = path.rpartition(".")
    places = Places(design)
    if word == "radius":
        yield text
    elif word in ("depth", "proud"):
        face, seat = _at(places, f"{owner}.face"), _at(places, f"{owner}.seat")
        yield Length(a=face, b=seat, text=text, beside=_OFF)
    else:
        yield from _point_mark(places, owner, word, text)


def _point_mark(
    places: Places, name: str, word: str, text: str
) -> Iterator[Reading | Length]:
    point, at = _form(places.design, name), _at(places, name)
    if isinstance(point, OffString):
        start, end = _at(places, point.start), _at(places, point.end)
        line = (end - start) / abs(end - start)
        foot = start + line * ((at - start) * line.conjugate()).real
        if word == "along":
            yield Length(a=start, b=foot, text=text, beside=_OFF)
        else:
            yield Length(a=foot, b=at, text=text)
    elif isinstance(point, Cartesian) and point.base is not None:
        start = _at(places, point.base)
        corner = complex(start.real, at.imag)
        ends = (start, corner) if word in ("up", "down") else (corner, at)
        yield Length(a=ends[0], b=ends[1], text=text)
    else:
        axis = "up" if word in ("up", "down") else "back"
        yield Reading(at=at, axis="up" if axis == "up" else "back", text=text)


def _at(places: Places, name: str) -> complex:
    return complex(value(places.point(name)))


def _form(design: Design, name: str) -> Point | None:
    """Return how a point was written."""
    pedal, _, key = name.partition(".")
    owner = design.pedals[pedal]
    if key in owner.points:
        return owner.points[key]
    _, number, key = key.split(".", 2)
    found = owner.train[int(number) - 1]
    for step in key.split("."):
        found = getattr(found, step)
    return found  # type: ignore[return-value]

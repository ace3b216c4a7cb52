"""Every point that a hand may take hold of: where it is, what it is, what moves it.

A point that is only another's name ("shaft", or the hole that is in use) has no handle
of its own: the other has. Floor and bulkhead have one, or one at each end. Plain dicts,
ready for JSON; what people read is said in the units asked for.
"""

from collections.abc import Iterator
from typing import Any, Literal

from linkage.design.circles import graph
from linkage.design.frees import rests_on
from linkage.design.records import Chosen, Design
from linkage.design.values import Value
from linkage.page.aims import (
    Aim,
    aims,
    form_of,
    is_line,
    line_names,
    part_of,
    place_of,
    plain,
    resolve,
)
from linkage.page.bearing import Kept
from linkage.page.frames import frame_numbers
from linkage.page.rooms import Row, arc, band, box, direction, pair, ring, ways
from linkage.places import Places
from linkage.words.names import part_name, point_name
from linkage.words.speech import Speech, heading, tidy
from solvers.jet import Num

_ROLES = {
    "pivot": "pivot",
    "pad": "pad",
    "clevis": "hole",
    "end_ferrule": "ferrule",
}
_STOPS = {"travel": "of travel", "tape": "straight, rest to full"}
_WELDED = "welded (locked)"
#: What no pedal has for its own, and what follows from other numbers: neither is welded.
_SHARED = ("point.", "footwell.floor", "footwell.bulkhead")
_FOLLOWING = (".full", ".axis")


def handles(
    places: Places,
    *,
    units: Literal["mm", "in"] = "mm",
    moved: frozenset[str] | None = None,
) -> list[Row]:
    """Return every handle: shared points, the pedals from the pivot on, the car's lines.

    Parameters
    ----------
    places : Places
        Of an opened design, with the numbers that a preview moves.
    units : str
        In which places are said.
    moved : frozenset of str, optional
        Only the handles that rest on one of these numbers, by path.
    """
    design, speech = places.design, Speech(units)
    rests = {} if moved is None else _rests(design)
    return [
        {**told, **_moving(places, name, speech)}
        for name, told in _told(design).items()
        if (moved is None or moved & rests[name]) and _is_found(places, name)
    ]


class _Watched(Places):
    """Places that remember which numbers were asked for."""

    def __init__(self, design: Design) -> None:
        super().__init__(design)
        self.asked: set[str] = set()

    def number(self, number: Value | None, default: float = 0.0) -> Num:
        """Return the number that stands for ``number`` here."""
        if number is not None:
            self.asked.add(number.path)
        return super().number(number, default)


_RESTS: Kept[frozenset[str]] = Kept()


def _rests(design: Design) -> dict[str, frozenset[str]]:
    """Return, by handle, the numbers it rests on: those that making it asks for."""
    known = _RESTS.of(design)
    if not known:
        for name in _told(design):
            watched = _Watched(design)
            if _is_found(watched, name):
                _moving(watched, name, Speech(design.units))
            known[name] = frozenset(watched.asked)
    return known


_TOLD: Kept[Row] = Kept()


def _told(design: Design) -> dict[str, Row]:
    """Return, by handle, what is told of it that no number moves."""
    known = _TOLD.of(design)
    if not known:
        places, frames = Places(design), frame_numbers(design)
        held = _held(places)
        for name in _names(design):
            if resolve(places, name) == name:
                known[name] = {
                    "id": name,
                    "pedal": None if name.startswith(_SHARED) else _head(name),
                    "frame": _frame(name, frames),
                    "label": _label(design, name),
                    "role": _role(name),
                    "moves": name not in held,
                    "why": held.get(name),
                    "locks": _locks(design, name),
                }
    return known


def _head(name: str) -> str:
    return name.partition(".")[0]


def _names(design: Design) -> Iterator[str]:
    points = list(graph(design.pedals, design.points))
    yield from (name for name in points if name.startswith("point."))
    for pedal in design.pedals.values():
        yield from (name for name in points if name.startswith(f"{pedal.name}."))
        yield f"{pedal.name}.full"
        yield from (f"{p.path}.axis" for p in pedal.train if hasattr(p, "axis"))
    yield from line_names(design)


def _is_found(places: Places, name: str) -> bool:
    """Return True for a point that has a place: a short rod may leave one without."""
    here = place_of(places, name)
    return abs(here) < float("inf")


def _moving(places: Places, name: str, speech: Speech) -> Row:
    """Return what is told of a handle by the numbers it rests on."""
    here = place_of(places, name)
    found = aims(places, name, here)
    welded = _told(places.design)[name]["why"] == _WELDED
    return {
        "at": pair(here),
        "state": "locked" if welded else _state(found),
        "says": _says(places, name, here, found, speech),
        "values": [aim.value.path for aim in found],
        "box": box(places, name),
        "arc": arc(places, name),
        "ring": ring(places, name),
        "ways": ways(places, name, found),
        "band": band(found),
        "line": _line(places, name, found),
    }


def _locks(design: Design, name: str) -> bool:
    """Return True for what can be welded: the file's own, and nothing of it free."""
    if name.startswith(_SHARED) or name.endswith(_FOLLOWING):
        return False
    if _head(name) not in design.pedals:
        return True
    return not any(
        isinstance(each, Chosen) or each.kind != "fixed"
        for each in rests_on(design, name)
    )


def _held(places: Places) -> dict[str, str]:
    """Return why some points stay: they are welded, or one that counts from them is."""
    design = places.design
    locked = [name for pedal in design.pedals.values() for name in pedal.locked]
    if not locked:
        return {}
    edges = graph(design.pedals, design.points)
    held: dict[str, str] = {}
    for name in locked:
        held[resolve(places, name)] = _WELDED
    for name in locked:
        under = [name]
        while under:
            more = under.pop()
            held.setdefault(resolve(places, more), f"{_label(design, name)} is welded")
            under += edges.get(more, ())
    return held


def _frame(name: str, frames: dict[str, list[int]]) -> int:
    """Return the frame of a point; a near ferrule stands before its own cable."""
    head, _, rest = name.partition(".")
    if head not in frames or not rest.startswith("train."):
        return 0
    number = int(rest.split(".")[1])
    return frames[head][number - 1 if rest.endswith("cable.ferrule") else number]


def _label(design: Design, name: str) -> str:
    head, _, rest = name.partition(".")
    if head == "point":
        return f'"{tidy(rest, 24)}"'
    if is_line(name):
        return rest.replace(".", ", end ")
    pedal = design.pedals[head]
    if rest == "full":
        return "full stop"
    if rest.endswith(".axis"):
        return f"{part_name(pedal, part_of(pedal, rest)[0])} axis"
    return point_name(pedal, rest)


def _role(name: str) -> str:
    if name.startswith("point."):
        return "shared"
    if is_line(name):
        return name.split(".")[1]
    last = name.rpartition(".")[2]
    if ".holes." in name:
        return "hole"
    return _ROLES.get(last, last)


def _state(found: tuple[Aim, ...]) -> str:
    numbers = [aim.value for aim in found]
    kinds = [number.kind for number in numbers]
    for kind in ("free", "choice"):
        if kind in kinds:
            return kind
    if any(number.guess for number in numbers):
        return "guess"
    given = any(number.give is not None for number in numbers)
    return "tolerance" if given else "fixed"


def _says(
    places: Places, name: str, here: complex, found: tuple[Aim, ...], speech: Speech
) -> str:
    """Return where a point is, in words: "118 back, 546 up"."""
    if name.endswith(".axis"):
        return heading(direction(places, name))
    if name.endswith(".full"):
        how = places.design.pedals[name.partition(".")[0]].full.how
        size = speech.reading(plain(places, found[0].value))
        return f"{size} {_STOPS.get(how, how)}"
    across = f"{speech.reading(abs(here.real))} {'back' if here.real < 0 else 'ahead'}"
    along = f"{speech.reading(abs(here.imag))} {'down' if here.imag < 0 else 'up'}"
    one = {"footwell.floor": along, "footwell.bulkhead": across}
    return one.get(name, f"{across}, {along}")


def _line(places: Places, name: str, found: tuple[Aim, ...]) -> int:
    if name.endswith(".axis"):
        head, _, rest = name.partition(".")
        return part_of(places.design.pedals[head], rest)[0].lines["axis"]
    form: Any = form_of(places, name)
    line: int = found[0].value.line if form is None else form.line
    return line

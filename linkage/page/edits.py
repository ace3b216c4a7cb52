"""Changes to a document: what each rewrites, and what it would come to.

A change is a table off the wire, checked there for its form; what it names is looked
up here. `apply` writes it into the text, which is then read again by the reader of all
design files; `numbers` tells the same numbers without touching anything, for previews.
Either refuses with faults, and the document stays as it was.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from msgspec import Struct

from linkage.design.forms import WORDS
from linkage.design.records import Design
from linkage.design.spelling import renumber
from linkage.design.splice import Patch, splice
from linkage.design.ways import OPPOSITE
from linkage.faults import Fault
from linkage.page import rewriting
from linkage.page.aims import Aim, aims, at, place_of, plain, resolve
from linkage.page.catches import Catch, catch
from linkage.page.document import Document, Refused, read
from linkage.page.grid import Fineness, Move, settle
from linkage.page.openings import is_opened
from linkage.places import Places
from linkage.units import BY_NAME, Measure

Change = Mapping[str, Any]
#: mm; what is locked has moved when it is farther than this from its place.
_MOVED = 1e-6
#: mm; what is caught lies this near to its curve, as written.
_CAUGHT = 0.05
_RADIANS = 0.017453292519943295


class Moved(Struct, frozen=True, kw_only=True, eq=False):
    """What changes come to.

    Attributes
    ----------
    values : mapping of str to float
        By path, internal units; for `linkage.places.Places` on the opened design.
    caught : str or None
        What caught the moved point: "rod square".
    """

    values: Mapping[str, float]
    caught: str | None = None


def numbers(document: Document, changes: Sequence[Change]) -> Moved:
    """Return what changes would come to; only moves of points and numbers count.

    Raises
    ------
    Refused
    """
    design = _opened(document)
    found: dict[str, float] = {}
    word = None
    for change in changes:
        moves, caught = _moves(document, design, found, change)
        found |= {move.value.path: move.number for move in moves}
        word = caught or word
    _check_locks(document, Places(design), design, Places(design, found))
    return Moved(values=found, caught=word)


def apply(document: Document, changes: Sequence[Change]) -> Document:
    """Return the document with changes made, one after the other.

    Raises
    ------
    Refused
        With what is wrong, also where the changed text could not be read.
    """
    for change in changes:
        document = _applied(document, change)
    return document


def touched(document: Document, changes: Sequence[Change]) -> frozenset[str]:
    """Return the paths that changes write to; of a table, all under its own path.

    Raises
    ------
    Refused
    """
    design = _opened(document)
    return frozenset(
        path for change in changes for path in _touched(document, design, change)
    )


def collide(some: Iterable[str], others: Iterable[str]) -> bool:
    """Return True where a path of one set is one of the other, or stands under it."""
    others = tuple(others)
    return any(
        a == b or not a or not b or a.startswith(f"{b}.") or b.startswith(f"{a}.")
        for a in some
        for b in others
    )


def _opened(document: Document) -> Design:
    if document.opened is None:
        raise Refused(document.faults)
    return document.opened


def _touched(document: Document, design: Design, change: Change) -> list[str]:
    if "point" in change:
        name = _resolved(document, Places(design), change["point"])
        found = aims(Places(design), name, place_of(Places(design), name))
        return [_spot(aim.value.path) for aim in found]
    if "target" in change:
        pedal, number = change["target"]
        whole = f"{pedal}.target"
        return [f"{whole}.{number}" if "set" in change else whole]
    if "lock" in change:
        return [f"{change['lock'].partition('.')[0]}.locked"]
    return [_spot(change.get("value", "title"))]


def _spot(path: str) -> str:
    """Return a path by its axis: "back" may have become "ahead" since."""
    above, _, word = path.rpartition(".")
    return f"{above}.{WORDS[word][0]}" if word in WORDS else path


# ------------------------------------------------------------------ moves


def _moves(
    document: Document, design: Design, found: Mapping[str, float], change: Change
) -> tuple[list[Move], str | None]:
    """Return the numbers that a change moves, and what caught it."""
    places = Places(design, found)
    if "point" in change:
        return _of_point(document, places, change)
    if "number" in change:
        return _of_number(document, places, change), None
    return [], None


def _of_point(
    document: Document, places: Places, change: Change
) -> tuple[list[Move], str | None]:
    near = float(change.get("near", 0.0))
    name = _resolved(document, places, change["point"])
    to = complex(*change["to"])
    try:
        caught = catch(places, name, to, near) if near > 0.0 else Catch(to=to)
        wanted = aims(places, name, caught.to)
    except ZeroDivisionError:
        wanted = ()
    if not wanted or not all(math.isfinite(aim.number) for aim in wanted):
        wrong = "is counted from what has no place now."
        raise _refused(document, name, wrong, "Mend that first.")
    if caught.word is not None:
        plainly = _met(places, name, caught.to)
        if plainly is not None:
            round_ones = _rounded(places, name, to, caught, near)
            met = (_met(places, name, on) for on in round_ones)
            return next(filter(None, met), plainly), caught.word
        wanted = aims(places, name, to)  # a range keeps it from there
    fineness = Fineness.DRAGGED if near > 0.0 else Fineness.EXACT
    return _settled(places, wanted, near, fineness), None


def _met(places: Places, name: str, on: complex) -> list[Move] | None:
    """Return what puts a point on its curve at ``on``; None where a range forbids it."""
    moves = _settled(places, aims(places, name, on), 0.0, Fineness.EXACT)
    after = places.moved({move.value.path: move.number for move in moves})
    return moves if abs(place_of(after, name) - on) <= _CAUGHT else None


def _rounded(
    places: Places, name: str, to: complex, caught: Catch, near: float
) -> list[complex]:
    """Return where on the curve that caught it a point has a round number, nearest first.

    Its other number then follows from the curve, to the finest step.
    """
    found = []
    for i, aim in enumerate(aims(places, name, caught.to)):
        now = plain(places, aim.value)
        move = settle(aim, now, near, Fineness.DRAGGED)

        def number(z: complex, i: int = i) -> float:
            there = aims(places, name, z)
            return there[i].number if i < len(there) else math.nan

        on = caught.sharing(number, now if move is None else move.number)
        if abs(on - to) <= near:
            found.append(on)
    return sorted(found, key=lambda on: abs(on - to))


def _settled(
    places: Places, wanted: Iterable[Aim], near: float, fineness: Fineness
) -> list[Move]:
    moves = (settle(aim, plain(places, aim.value), near, fineness) for aim in wanted)
    return [move for move in moves if move is not None]


def _resolved(document: Document, places: Places, name: str) -> str:
    try:
        return resolve(places, name)
    except KeyError:
        raise _refused(
            document, name, "is no point of this design.", "Load the page anew."
        ) from None


def _of_number(document: Document, places: Places, change: Change) -> list[Move]:
    path, sign = change["value"], 1.0
    value = places.design.values.get(path)
    if value is None:
        value = places.design.values.get(_opposite(path))
        sign = 1.0 if value is None else -1.0
    if value is None:
        value = _opened_value(places, path)
    if value is None:
        wrong = "is no number of this design."
        raise _refused(document, path, wrong, "Load the page anew.")
    unit = BY_NAME.get(value.unit)
    turns = unit is not None and unit.measure is Measure.ANGLE
    number = sign * float(change["number"]) * (_RADIANS if turns else 1.0)
    return _settled(places, [Aim(value=value, number=number)], 0.0, Fineness.EXACT)


def _opposite(path: str) -> str:
    """Return the path by which a coordinate goes once its number has crossed 0."""
    above, _, word = path.rpartition(".")
    return f"{above}.{OPPOSITE.get(word, word)}"


def _opened_value(places: Places, path: str) -> Any:
    """Return the value of a spot that the file does not hold yet, by its path."""
    name = path if path.endswith(".axis") else path.rpartition(".")[0]
    try:
        name = resolve(places, name)
        found = aims(places, name, place_of(places, name))
    except (KeyError, ZeroDivisionError):
        return None
    return next((aim.value for aim in found if aim.value.path == path), None)


# ------------------------------------------------------------------ writing


def _applied(document: Document, change: Change) -> Document:
    design = _opened(document)
    moves, _ = _moves(document, design, {}, change)
    if "point" in change or "number" in change:
        patches = [patch for move in moves for patch in _written(document, move)]
        text = splice(document.text, patches)
    else:
        text = _rewritten(document, change)
    if text == document.text:
        return document
    changed = read(text, document.file)
    if changed.design is None:
        raise Refused(changed.faults)
    if "lock" not in change:
        _check_locks(document, Places(design), _opened(changed), None)
    return changed


def _written(document: Document, move: Move) -> list[Patch]:
    value = move.value
    if value.kind == "choice":
        picked = value.spelt.index(move.text)
        return rewriting.to_front(document.text, value.span, value.spelt, picked)
    if is_opened(value):
        patch = rewriting.open_spot(document.text, value, move)
        if patch is None:
            wrong = "cannot be moved from its word here."
            raise _refused(document, value.path, wrong, "Write its number in the file.")
        return [patch]
    return rewriting.unsigned(document.text, value, move.text) or [
        renumber(document.text, value, move.text)
    ]


def _rewritten(document: Document, change: Change) -> str:
    patches = rewriting.patches(document, change)
    if patches is None:
        key = next(str(each) for name, each in change.items() if name != "set")
        wrong = "cannot be changed here by the page."
        raise _refused(document, key, wrong, "Change it in the text.")
    return splice(document.text, patches)


def _check_locks(
    document: Document, before: Places, design: Design, after: Places | None
) -> None:
    """Refuse what would move a point that is welded."""
    locked = {name for pedal in before.design.pedals.values() for name in pedal.locked}
    kept = {name for pedal in design.pedals.values() for name in pedal.locked}
    if not locked & kept:
        return
    after = Places(design) if after is None else after
    faults = [
        Fault(
            file=document.file,
            key=name,
            wrong="is welded (locked), and this would move it.",
            right="Unlock it first.",
        )
        for name in sorted(locked & kept)
        if not abs(at(before, name) - at(after, name)) <= _MOVED
    ]
    if faults:
        raise Refused(faults)


def _refused(document: Document, key: str, wrong: str, right: str) -> Refused:
    return Refused([Fault(file=document.file, key=key, wrong=wrong, right=right)])

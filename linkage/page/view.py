"""What the page draws of a design, as plain dicts ready for JSON.

`state` tells everything; `preview` tells what moves while a number is dragged, from
numbers put in place of the file's, without reading anything again: what is drawn at
once, tables and curves behind it. Each pedal is swept
once: its frames, curves, table, ends and sentences come from that one `Sweep`. Numbers
are mm and deg, but for curves, which are in the shown units; texts are as the command
line says them.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Literal

from msgspec import Struct

from linkage.design.quantity_names import BETWEEN, NAMES
from linkage.design.records import Design
from linkage.faults import DesignError, Fault
from linkage.page.bearing import Kept, pedals_touched
from linkage.page.charts import charts, travel_axis
from linkage.page.document import Document
from linkage.page.fields import fields, moved_texts
from linkage.page.handles import handles
from linkage.page.staged import (
    Look,
    lengths_of,
    nearest_of,
    stage_pedal,
    tabled,
    told_of,
)
from linkage.page.surroundings import (
    drawn_extent,
    extents_of,
    fixed_of,
    frame_rows,
    offsets_of,
)
from linkage.page.wire import rows
from linkage.places import Places
from linkage.sheets.curves import notes_of
from linkage.sweeping import Sweep
from linkage.words.cautions import cautions
from linkage.words.speech import Speech

Units = Literal["mm", "in"]
Door = Literal["left", "right"]
Row = dict[str, Any]
#: No place of any pedal's travel besides the even ones.
NOTHING: Mapping[str, float] = {}


def state(
    document: Document,
    *,
    units: Units | None,
    door: Door,
    also: Mapping[str, float] = NOTHING,
) -> Row | None:
    """Return all that the page shows of a document; None where it cannot be used.

    Parameters
    ----------
    document : Document
    units : {"mm", "in"}, optional
        Of texts and curves; left out, those of the file.
    door : {"left", "right"}
        From which door the page looks: told on, drawn there.
    also : mapping of str to float
        By pedal: a place of its travel, mm, beside the even ones.
    """
    design = document.design
    if design is None:
        return None
    speech = Speech(units or design.units)
    looks = _LOOKS.of(design, _how(speech, also))
    for name in design.pedals:
        staged = stage_pedal(
            design, name, Places(design), speech, quick=False, also=also.get(name)
        )
        looks[name] = tabled(staged, speech)
    for look in looks.values():
        look.row.update(told_of(design, look.staged, speech))
    sweeps = [*_sweeps(looks.values())]
    lengths = lengths_of(design, looks.values(), speech)
    extents = extents_of(looks.values(), lengths)
    offsets = offsets_of(extents)
    places = Places(design)
    return {
        "title": design.title,
        "door": door,
        "guesses": len(design.guesses),
        "notes": [*notes_of(sweeps, speech)],
        "cautions": rows(_cautions(design)),
        "extent": drawn_extent(extents, offsets),
        "frames": frame_rows(design, offsets),
        "fixed": fixed_of(design, places, extents[0]),
        "pedals": [look.row for look in looks.values()],
        "travel": _axis(looks.values(), speech),
        "panels": charts(sweeps, _texts(looks), speech),
        "points": handles(Places(document.opened or design), units=speech.units),
        "fields": fields(design, speech),
        "quantities": _quantities(),
        "lengths": lengths,
        "nearest": nearest_of(looks.values(), speech),
    }


def _quantities() -> list[Row]:
    """Return what a target may be of, and how many points it lies between."""
    return [{"name": name, "between": BETWEEN.get(name, 0)} for name in NAMES]


class Preview(Struct, frozen=True, kw_only=True, eq=False):
    """A design as it would be: what is drawn of it, and what can be told behind.

    Attributes
    ----------
    drawn : dict
        What moves: the pedals that rest on the moved numbers, points, lengths.
    looks : mapping of str to Look
        Every pedal.
    touched : frozenset of str
        Those that move.
    speech : Speech
    """

    drawn: Row
    looks: Mapping[str, Look]
    touched: frozenset[str]
    speech: Speech

    def told(self) -> Row:
        """Return tables and curves, which may lag behind a hand."""
        looks = {
            name: tabled(look, self.speech) if name in self.touched else look
            for name, look in self.looks.items()
        }
        return {
            "pedals": [
                {"name": name, "table": looks[name].row["table"]}
                for name in looks
                if name in self.touched
            ],
            "travel": _axis(looks.values(), self.speech),
            "panels": charts([*_sweeps(looks.values())], _texts(looks), self.speech),
        }


def preview(
    document: Document,
    moved: Mapping[str, float],
    *,
    units: Units | None,
    door: Door,
    also: Mapping[str, float] = NOTHING,
) -> Preview:
    """Return what moves where some numbers are others: the pedals that rest on them.

    Parameters
    ----------
    document : Document
    moved : mapping of str to float
        By path, internal units.
    units, door, also
        As in `state`.
    """
    del door
    design = document.opened
    if design is None:
        drawn: Row = {"pedals": [], "points": [], "lengths": []}
        return Preview(drawn=drawn, looks={}, touched=frozenset(), speech=Speech("mm"))
    speech = Speech(units or design.units)
    looks = dict(_LOOKS.of(document.design or design, _how(speech, also)))
    places = Places(design, moved)
    touched = pedals_touched(design, moved)
    for name in design.pedals:
        if name in touched or name not in looks:
            looks[name] = stage_pedal(
                design, name, places, speech, quick=True, also=also.get(name)
            )
    drawn = {
        "pedals": [looks[name].row for name in design.pedals if name in touched],
        "points": handles(places, units=speech.units, moved=frozenset(moved)),
        "moved": moved_texts(design, moved, speech),
        "lengths": lengths_of(design, looks.values(), speech),
        "extent": None,
    }
    if any(path.startswith("footwell.") for path in moved):
        drawn["fixed"] = fixed_of(
            design, places, extents_of(looks.values(), drawn["lengths"])[0]
        )
    return Preview(drawn=drawn, looks=looks, touched=touched, speech=speech)


def _how(speech: Speech, also: Mapping[str, float]) -> str:
    """Return by what a picture of a design differs from another of it."""
    return f"{speech.units} {sorted(also.items())}"


def _sweeps(looks: Iterable[Look]) -> Iterator[Sweep]:
    for look in looks:
        if look.staged.sweep is not None:
            yield look.staged.sweep


def _texts(looks: Mapping[str, Look]) -> dict[str, dict[str, list[str]]]:
    return {name: look.texts for name, look in looks.items()}


def _axis(looks: Iterable[Look], speech: Speech) -> Row:
    return travel_axis(max((look.staged.upto for look in looks), default=0.0), speech)


def _cautions(design: Design) -> tuple[Fault, ...]:
    """Return what looks wrong, as far as the pedals can be looked at."""
    try:
        return (*design.cautions, *cautions(design))
    except DesignError:
        return tuple(design.cautions)


#: The pedals of the design that was told last, for previews of others.
_LOOKS: Kept[Look] = Kept()

"""What the page draws of a design, as plain dicts ready for JSON.

`state` tells everything; `preview` tells what moves while a number is dragged, from
numbers put in place of the file's, without reading anything again. Each pedal is swept
once: its frames, curves, table, ends and sentences come from that one `Sweep`. Numbers
are mm and deg, but for curves, which are in the shown units; texts are as the command
line says them.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, Literal

import numpy as np
from msgspec import Struct

from linkage.design.records import Design
from linkage.faults import DesignError, Fault
from linkage.motion.ends import find_ends, find_limit
from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import Run, move
from linkage.page.bearing import Kept, pedals_touched
from linkage.page.charts import charts, column_texts, travel_axis
from linkage.page.document import Document
from linkage.page.fields import fields
from linkage.page.frames import (
    PLACES,
    Frames,
    cable_ends,
    frame_numbers,
    frames,
    on_arc,
    point,
    series,
)
from linkage.page.tables import (
    fine_sweep,
    round_table,
    sentences,
    table,
    targets,
    whole_of,
)
from linkage.places import Places
from linkage.sheets.curves import notes_of
from linkage.sheets.fixed import square_of
from linkage.sheets.scene import Length
from linkage.sheets.staging import line_of
from linkage.sheets.stamp import CAUTION
from linkage.sheets.typed import arm_lengths, gaps_at_full
from linkage.sweeping import Sweep, carried
from linkage.words.cautions import cautions
from linkage.words.speech import Speech

Units = Literal["mm", "in"]
Door = Literal["left", "right"]
Row = dict[str, Any]

#: A pedal with a limit is drawn up to this share of it: at it, nothing has a value.
SHORT = 1.0 - 1e-9
#: mm: from the car to what lies beyond a cable, and how far floors run past it all.
APART, BESIDE = 60.0, 40.0


class Staged(Struct, frozen=True, kw_only=True, eq=False):
    """One pedal as it is drawn.

    Attributes
    ----------
    rest : PedalRest
    faults : tuple of Fault
        Why it cannot stand or work; it is then drawn at rest, as far as it goes.
    run : Run
        At the places that are drawn.
    sweep : Sweep or None
        None where it cannot be swept.
    """

    rest: PedalRest
    faults: tuple[Fault, ...]
    run: Run
    sweep: Sweep | None

    @property
    def upto(self) -> float:
        """How far it goes, mm."""
        return float(np.ravel(self.run.travel.v)[-1])


class Look(Struct, frozen=True, kw_only=True, eq=False):
    """A staged pedal with its dict and the words of its columns."""

    staged: Staged
    row: Row
    frames: Frames

    @property
    def texts(self) -> dict[str, list[str]]:
        """The words of each column, place by place."""
        return dict(column_texts(self.row["table"]))


def state(document: Document, *, units: Units | None, door: Door) -> Row | None:
    """Return all that the page shows of a document; None where it cannot be used.

    Parameters
    ----------
    document : Document
    units : {"mm", "in"}, optional
        Of texts and curves; left out, those of the file.
    door : {"left", "right"}
        From which door the page looks: told on, drawn there.
    """
    design = document.design
    if design is None:
        return None
    speech = Speech(units or design.units)
    looks = _LOOKS.of(design, speech.units)
    for name in design.pedals:
        looks[name] = _look(design, name, Places(design), speech, quick=False)
    for look in looks.values():
        look.row.update(_told(design, look.staged, speech))
    sweeps = [*_sweeps(looks.values())]
    lengths = _lengths(design, looks.values(), speech)
    extents = _extents(looks.values(), lengths)
    offsets = _offsets(extents)
    places = Places(design)
    return {
        "title": design.title,
        "door": door,
        "guesses": len(design.guesses),
        "notes": [*notes_of(sweeps, speech)],
        "cautions": _faults(_cautions(design)),
        "caution": CAUTION,
        "extent": _drawn_extent(extents, offsets),
        "frames": _frame_rows(design, offsets),
        "fixed": _fixed(design, places, extents[0]),
        "pedals": [look.row for look in looks.values()],
        "travel": _axis(looks.values(), speech),
        "panels": charts(sweeps, _texts(looks), speech),
        "points": [],
        "fields": fields(design, speech),
        "lengths": lengths,
    }


def preview(
    document: Document,
    moved: Mapping[str, float],
    *,
    units: Units | None,
    door: Door,
) -> Row:
    """Return what moves where some numbers are others: the pedals that rest on them.

    Parameters
    ----------
    document : Document
    moved : mapping of str to float
        By path, internal units.
    units, door
        As in `state`.
    """
    del door
    design = document.opened
    if design is None:
        return {"pedals": [], "panels": [], "points": [], "lengths": []}
    speech = Speech(units or design.units)
    looks = dict(_LOOKS.of(document.design or design, speech.units))
    places = Places(design, moved)
    touched = pedals_touched(design, moved)
    for name in design.pedals:
        if name in touched or name not in looks:
            looks[name] = _look(design, name, places, speech, quick=True)
    sweeps = [*_sweeps(looks.values())]
    found: Row = {
        "pedals": [looks[name].row for name in design.pedals if name in touched],
        "travel": _axis(looks.values(), speech),
        "panels": charts(sweeps, _texts(looks), speech),
        "points": [],
        "lengths": _lengths(design, looks.values(), speech),
        "extent": None,
    }
    if any(path.startswith("footwell.") for path in moved):
        found["fixed"] = _fixed(design, places, _extents(looks.values(), [])[0])
    return found


# -------------------------------------------------------------------------- pedals


def _stage(design: Design, name: str, places: Places) -> Staged:
    """Return a pedal from rest to full, to its limit, or at rest where it cannot go."""
    rest = at_rest(places, design.pedals[name])
    faults = tuple(rest.faults())
    if faults:
        return Staged(rest=rest, faults=faults, run=_still(rest), sweep=None)
    whole = whole_of(rest)
    limit = find_limit(rest, whole)
    ends = find_ends(rest, whole if limit is None else limit.travel)
    upto = whole if limit is None else limit.travel * SHORT
    swept = carried(rest, np.linspace(0.0, upto, PLACES), limit, ends)
    run = swept.run if len(swept["travel"]) else _still(rest)
    return Staged(rest=rest, faults=(), run=run, sweep=swept)


def _still(rest: PedalRest) -> Run:
    with np.errstate(all="ignore"):
        return move(rest, np.zeros(1))


def _look(
    design: Design, name: str, places: Places, speech: Speech, *, quick: bool
) -> Look:
    with np.errstate(divide="ignore", invalid="ignore"):
        staged = _stage(design, name, places)
        numbers = frame_numbers(design)[name]
        drawn = frames(design, staged.run, numbers, speech, quick=quick)
        row = {
            "name": name,
            "duty": design.pedals[name].duty,
            "travel": _number(whole_of(staged.rest)),
            "upto": _number(staged.upto),
            "at": series(staged.run.travel.v),
            **drawn.drawn,
            "marks": [*_marks(staged, speech)],
            "table": _table(design, staged, speech),
            "faults": _faults(staged.faults),
        }
    return Look(staged=staged, row=row, frames=drawn)


def _table(design: Design, staged: Staged, speech: Speech) -> Row:
    if staged.sweep is None:
        return {"head": [], "keys": [], "rows": []}
    return table(design, staged.sweep, speech)


def _told(design: Design, staged: Staged, speech: Speech) -> Row:
    """Return what only a state tells of a pedal: sentences, round rows, targets."""
    judged = targets(design, staged.rest, speech)
    if staged.sweep is None:
        said = [
            ["Stop", f"{each.wrong} {each.right}".strip()] for each in staged.faults
        ]
        empty: Row = {"head": [], "keys": [], "rows": [], "at": [], "notes": []}
        return {"sentences": said, "round": empty, "targets": judged}
    fine = fine_sweep(staged.sweep)
    return {
        "sentences": sentences(design, fine, speech),
        "round": round_table(design, fine, speech),
        "targets": judged,
    }


def _sweeps(looks: Iterable[Look]) -> Iterator[Sweep]:
    for look in looks:
        if look.staged.sweep is not None:
            yield look.staged.sweep


def _texts(looks: Mapping[str, Look]) -> dict[str, dict[str, list[str]]]:
    return {name: look.texts for name, look in looks.items()}


def _marks(staged: Staged, speech: Speech) -> Iterator[Row]:
    """Yield what happens on the way, where the pad then is."""
    swept = staged.sweep
    if swept is None or not len(swept["travel"]):
        return
    for end in swept.ends:
        kind = "slack" if end.what == "cable slack taken up" else "end"
        yield _mark(staged, end.travel, f"{end.what} at", kind, speech)
    if swept.limit is not None:
        yield _mark(
            staged, swept.limit.travel, f"{swept.limit.kind} at", "limit", speech
        )
    square = square_of(swept, staged.upto)
    if square is not None:
        link = swept.run.last.link.kind
        row = _mark(staged, square.travel, f"{link} square at", "square", speech)
        yield {
            **row,
            "corner": [point(p) for p in (square.corner, square.arm, square.rod)],
        }


def _mark(staged: Staged, travel: float, text: str, kind: str, speech: Speech) -> Row:
    return {
        "travel": _number(travel),
        "at": point(complex(on_arc(staged.run, travel)[0])),
        "text": f"{text} {speech.short(travel)}",
        "kind": kind,
    }


# ------------------------------------------------------------------------- lengths


def _lengths(design: Design, looks: Iterable[Look], speech: Speech) -> list[Row]:
    """Return lengths worth a dimension: the arm, each rod, the gaps at full."""
    found = []
    for look in looks:
        swept, name = look.staged.sweep, look.row["name"]
        if swept is None or not len(swept["travel"]):
            continue
        given = [*arm_lengths([swept], speech), *gaps_at_full(design, [swept], speech)]
        for item in given:
            kind = "gap" if item.text.endswith("full") else "arm"
            found.append(_length(item, name, 0, kind))
        for link in look.row["links"]:
            a, b = link["a"][0], link["b"][0]
            if link["kind"] == "rod" and a is not None and b is not None:
                text = speech.length(abs(complex(*b) - complex(*a)))
                found.append(
                    {
                        "pedal": name,
                        "frame": link["frame"],
                        "kind": "rod",
                        "a": a,
                        "b": b,
                        "text": text,
                    }
                )
    return found


def _length(item: Length, pedal: str, frame: int, kind: str) -> Row:
    return {
        "pedal": pedal,
        "frame": frame,
        "kind": kind,
        "a": point(item.a),
        "b": point(item.b),
        "text": item.text,
    }


# ------------------------------------------------------------------ frames, extent


def _extents(
    looks: Iterable[Look], lengths: Sequence[Row]
) -> dict[int, tuple[complex, complex]]:
    """Return the lower and upper corner of each frame."""
    reach: dict[int, list[complex]] = {0: []}
    for look in looks:
        for frame, at in look.frames.reach.items():
            reach.setdefault(frame, []).extend(p for p in at if math.isfinite(abs(p)))
    for row in lengths:
        reach[row["frame"]] += [complex(*row[end]) for end in ("a", "b") if row[end]]
    return {frame: _corners(at) for frame, at in sorted(reach.items())}


def _corners(at: Sequence[complex]) -> tuple[complex, complex]:
    if not at:
        return 0j, 100 + 100j
    x, z = [p.real for p in at], [p.imag for p in at]
    return complex(min(x), min(z)), complex(max(x), max(z))


def _offsets(extents: Mapping[int, tuple[complex, complex]]) -> dict[int, complex]:
    """Return how each frame is shifted: far ends stand ahead of the car, hung in a row."""
    high = extents[0][1]
    right, found = high.real + APART, {0: 0j}
    for frame, (first, last) in extents.items():
        if frame:
            found[frame] = complex(right - first.real, high.imag - last.imag)
            right += last.real - first.real + APART
    return found


def _drawn_extent(
    extents: Mapping[int, tuple[complex, complex]], offsets: Mapping[int, complex]
) -> list[float]:
    corners = [p + offsets[k] for k, pair in extents.items() for p in pair]
    low, high = _corners(corners)
    return [round(x, 2) for x in (low.real, low.imag, high.real, high.imag)]


def _frame_rows(design: Design, offsets: Mapping[int, complex]) -> list[Row]:
    titles = cable_ends(design)
    return [
        {"id": frame, "offset": point(shift), "title": titles.get(frame)}
        for frame, shift in offsets.items()
    ]


def _fixed(design: Design, places: Places, extent: tuple[complex, complex]) -> Row:
    """Return floor and bulkhead, cut a little past the parts, and the marks."""
    marks = design.footwell.marks
    return {
        "floor": _cut(line_of(design, "floor", places), extent, upright=False),
        "bulkhead": _cut(line_of(design, "bulkhead", places), extent, upright=True),
        "marks": [
            {"way": way, "text": text, "place": 0.0}
            for way, text in (("back", marks.back), ("up", marks.up))
            if text
        ],
    }


def _cut(
    line: tuple[complex, complex] | None,
    extent: tuple[complex, complex],
    *,
    upright: bool,
) -> list[list[float] | None] | None:
    if line is None:
        return None
    turn = 1j if upright else 1 + 0j
    a, b = sorted((p / turn if upright else p for p in line), key=lambda p: p.real)
    ends = [_along(corner, upright) for corner in extent]
    low, high = min(ends) - BESIDE, max(ends) + BESIDE
    span = (b - a).real
    if span == 0.0:
        return [point(a * turn), point(b * turn)]
    cut = [
        a + (b - a) * ((min(max(p.real, low), high) - a.real) / span) for p in (a, b)
    ]
    return [point(p * turn) for p in cut]


def _along(corner: complex, upright: bool) -> float:
    return corner.imag if upright else corner.real


def _axis(looks: Iterable[Look], speech: Speech) -> Row:
    return travel_axis(max((look.staged.upto for look in looks), default=0.0), speech)


# ------------------------------------------------------------------------- smaller


def _number(x: float) -> float | None:
    return round(x, 4) + 0.0 if math.isfinite(x) else None


def _faults(faults: Iterable[Fault]) -> list[Row]:
    return [
        {"line": each.line, "key": each.key, "wrong": each.wrong, "right": each.right}
        for each in faults
    ]


def _cautions(design: Design) -> tuple[Fault, ...]:
    """Return what looks wrong, as far as the pedals can be looked at."""
    try:
        return (*design.cautions, *cautions(design))
    except DesignError:
        return tuple(design.cautions)


#: The pedals of the design that was told last, for previews of others.
_LOOKS: Kept[Look] = Kept()

"""A ladder for people: every bore at the present hole, every hole with the present bore."""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from msgspec import Struct

from linkage.car.stopping import GRAVITY
from linkage.design.records import Design
from linkage.ladder.climb import Bore, Ladder
from linkage.ladder.holes import Hole
from linkage.ladder.judging import Judged
from linkage.last_word import STOPS
from linkage.units import Measure, out_of, say, trim
from linkage.words.band import band_text
from linkage.words.check import SIGNS
from linkage.words.effort import SCALES, Scale
from linkage.words.speech import Speech, paragraph, sentence, table, tidy

#: Where a pair does not make the stop at all; and why, in a word or two.
NONE = "-"
WHY = {
    "pedal at its end": "pad at its end",
    "cylinder at its end": "cylinder full",
    "not on this road": "no grip",
    "the pedal locks or turns back": "it locks",
}


class Column(Struct, frozen=True, kw_only=True):
    """One column: what of the ladder, its head, its measure, and what people call it."""

    what: str
    head: tuple[str, ...]
    measure: Measure
    name: str


COLUMNS = (
    Column(what="ratio", head=("ratio",), measure=Measure.PURE, name="ratio"),
    Column(what="effort", head=("foot",), measure=Measure.FORCE, name="foot"),
    Column(what="travel", head=("pad",), measure=Measure.LENGTH, name="pad"),
    Column(what="left", head=("pad", "left"), measure=Measure.LENGTH, name="pad left"),
    Column(
        what="used",
        head=("stroke", "used"),
        measure=Measure.PERCENT,
        name="stroke used",
    ),
    Column(
        what="dead",
        head=("foot,", "no boost"),
        measure=Measure.FORCE,
        name="foot without boost",
    ),
    Column(
        what="at_foot",
        head=("lines at",),
        measure=Measure.PRESSURE,
        name="lines",
    ),
)


def ladder_text(design: Design, ladder: Ladder, judged: Judged | None) -> str:
    """Return both tables, the grid of all pairs, and a few sentences."""
    speech, scale = Speech(design.units), SCALES[design.units]
    lines = [*paragraph(_title(design, ladder, speech, scale), 0), ""]
    hole = next(i for i, each in enumerate(ladder.holes) if each.present)
    bore = next(j for j, each in enumerate(ladder.bores) if each.present)
    columns = range(len(ladder.bores))
    lines += [
        f"  Every bore, at the present hole: {hole_text(ladder.holes[hole], speech)}"
    ]
    cells = [_cells(ladder, judged, hole, j, speech, scale) for j in columns]
    names = [bore_text(each, speech) for each in ladder.bores]
    lines += [*_table(ladder, names, cells, "bore", scale), ""]
    lines += [f"  Every hole, with the present bore: {names[bore]}"]
    rows = range(len(ladder.holes))
    cells = [_cells(ladder, judged, i, bore, speech, scale) for i in rows]
    lengths = [speech.length(each.reach) for each in ladder.holes]
    lines += [*_table(ladder, lengths, cells, "hole", scale), ""]
    if judged is not None:
        lines += [*_grid(ladder, judged, names, speech), ""]
    for name, text in told(ladder, judged, speech, scale):
        lines += sentence(name, text)
    return "\n".join(lines) + "\n"


def _title(design: Design, ladder: Ladder, speech: Speech, scale: Scale) -> str:
    own, name = tidy(design.title), ladder.rig.rest.pedal.name
    title = f"{own}: {name}" if own else name
    return (
        f"{title}, bores and holes. {stop_text(ladder, scale)}. Lengths in "
        f"{speech.name}, forces in {scale.force[0]}, pressures in {scale.pressure[0]}"
    )


def stop_text(ladder: Ladder, scale: Scale) -> str:
    """Return the stop that is asked for: "A stop at 0.8 g0 (7.85 m/s2)"."""
    if ladder.of == "deceleration":
        rate = ladder.size * GRAVITY
        return f"A stop at {trim(ladder.size, 3)} g0 ({rate:.2f} m/s2)"
    unit, digits = scale.pressure
    return f"{say(ladder.size, unit, max(digits, 1))} in the lines"


def hole_text(hole: Hole, speech: Speech) -> str:
    """Return what a hole is called: "lower, 57.0 from the pivot"."""
    name = f"{tidy(hole.name, 18)}, " if hole.name else ""
    return f"{name}{speech.length(hole.reach)} from the pivot"


def bore_text(bore: Bore, speech: Speech) -> str:
    """Return what a bore is called: "7/8 in"; one that is not stock by its size."""
    return bore.name or f"{speech.size(bore.size)} {speech.units}"


# -------------------------------------------------------------------------- tables


def _cells(
    ladder: Ladder,
    judged: Judged | None,
    i: int,
    j: int,
    speech: Speech,
    scale: Scale,
) -> list[str]:
    """Return what is told of one pair, with a sign where a limit says so."""
    cells = []
    for column in _told(ladder):
        number = float(getattr(ladder, column.what)[i, j])
        text = NONE if np.isnan(number) else _shown(column, number, speech, scale)
        over = judged.over.get(column.what) if judged else None
        verdict = "" if over is None else str(over[i, j])
        sign = f" {SIGNS[verdict]}" if verdict in ("caution", "fail") else ""
        if column.what == "at_foot" and ladder.short[i, j] and text != NONE:
            sign = " *"
        cells.append(f"{text}{sign}")
    pair = ladder.holes[i].present and ladder.bores[j].present
    note = [WHY[str(ladder.ends[i, j])]] if ladder.ends[i, j] else []
    if judged is not None and judged.verdicts[i, j] == "ok":
        note.append(f"{SIGNS['ok']} all met")
    return [*cells, "; ".join([*note, *(["now"] if pair else [])])]


def _told(ladder: Ladder) -> list[Column]:
    """Return the columns that have anything to tell."""
    found = ((column, getattr(ladder, column.what)) for column in COLUMNS)
    return [column for column, x in found if x is not None and np.any(np.isfinite(x))]


def _shown(column: Column, x: float, speech: Speech, scale: Scale) -> str:
    if column.measure is Measure.LENGTH:
        return speech.length(x, speech.coarse)
    if column.measure is Measure.FORCE:
        unit, digits = scale.force
        return f"{out_of(x, unit):.{digits}f}"
    if column.measure is Measure.PRESSURE:
        unit, digits = scale.pressure
        return f"{out_of(x, unit):.{digits}f}"
    return f"{x:.0f} %" if column.measure is Measure.PERCENT else f"{x:.2f}"


def _table(
    ladder: Ladder,
    names: Sequence[str],
    cells: Sequence[list[str]],
    head: str,
    scale: Scale,
) -> list[str]:
    unit, digits = scale.force
    foot = say(ladder.foot, unit, digits)
    heads = [
        (*column.head, foot) if column.what == "at_foot" else column.head
        for column in _told(ladder)
    ]
    rows = [[name, *row] for name, row in zip(names, cells, strict=True)]
    return table(rows, [(head,), *heads, ("",)])


def _grid(
    ladder: Ladder, judged: Judged, names: Sequence[str], speech: Speech
) -> Iterator[str]:
    """Yield a sign for each pair, the present one in brackets."""
    heads = [speech.length(hole.reach) for hole in ladder.holes]
    wide = max(7, *(len(head) for head in heads))
    left = max(len(name) for name in names)
    yield "  All pairs: bores down, holes from the pivot across"
    yield f"  {'':<{left}}  " + "".join(f"{head:^{wide}}" for head in heads).rstrip()
    for j, name in enumerate(names):
        signs = "".join(
            f"{_sign(ladder, judged, i, j):^{wide}}" for i in range(len(heads))
        )
        yield f"  {name:>{left}}  {signs}".rstrip()


def _sign(ladder: Ladder, judged: Judged, i: int, j: int) -> str:
    sign = NONE if ladder.ends[i, j] else SIGNS[str(judged.verdicts[i, j])]
    now = ladder.holes[i].present and ladder.bores[j].present
    return f"[{sign}]" if now else sign


# ---------------------------------------------------------------------- sentences


def told(
    ladder: Ladder, judged: Judged | None, speech: Speech, scale: Scale
) -> Iterator[tuple[str, str]]:
    """Yield what the ladder comes to, (name, sentence) in order."""
    if judged is None:
        yield "Limits", "not judged: they are about the usual hard stop."
    else:
        yield "Signs", _signs(judged)
        yield (
            "Limits",
            f"{_limits(judged, speech, scale)}. Their sources: footwell check.",
        )
    if np.any(ladder.short):
        unit, digits = scale.force
        foot = say(ladder.foot, unit, digits)
        yield "*", f"pedal or cylinder ends before {foot}; so much there is."
    yield (
        "Kept",
        "the cylinder's place, stroke and booster, arm, springs and car; the rod is cut "
        "to each hole. What else follows, check says of the pair that you choose.",
    )
    yield "Mind", STOPS


def _signs(judged: Judged) -> str:
    count = int(np.sum(judged.verdicts == "ok"))
    whole = judged.verdicts.size
    pairs = "pairs meet" if count > 1 else "pair meets"
    said = (
        f"{SIGNS['ok']} every limit is met, {SIGNS['caution']} a caution, {SIGNS['fail']} "
        f"one is broken, {NONE} the stop is not made; [ ] now."
    )
    return f"{said} {count or 'No'} {pairs} every limit, of {whole}."


def _limits(judged: Judged, speech: Speech, scale: Scale) -> str:
    names: Mapping[str, Column] = {column.what: column for column in COLUMNS}
    said = []
    for what, limit in judged.limits.items():
        column = names[what]
        low, high = limit.least, limit.most
        if column.measure is Measure.FORCE and scale.force[0] != "N":
            low, high = (out_of(x, scale.force[0]) for x in (low, high))
            said.append(f"{column.name} {high:.0f} {scale.force[0]} at most")
            continue
        said.append(f"{column.name} {band_text(low, high, column.measure, speech)}")
    return ", ".join(said)

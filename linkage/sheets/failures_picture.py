"""One page of a rehearsal: the pedal where each failure ends, and what is left then."""

from collections.abc import Iterator, Sequence

import numpy as np
from msgspec.structs import replace

from export.lettering import clean, shorten, wrap
from export.shapes import Drawing, Line, Shape, Text
from export.tiling import PAPERS
from linkage.design.records import Design
from linkage.last_word import SHEET
from linkage.motion.run import move
from linkage.rehearsing.rehearse import Rehearsal
from linkage.sheets.box import Box, text_box
from linkage.sheets.framing import HEAD, MARGIN, SIZE, heading
from linkage.sheets.ink import STYLES
from linkage.sheets.mechanism import pad_along
from linkage.sheets.scene import Arm, Group, Pose
from linkage.sheets.side_view import side_view
from linkage.sheets.staging import scene_of
from linkage.sheets.stairs import Named, stairs
from linkage.sheets.stamp import stamp_of
from linkage.sheets.view import View
from linkage.words.check import SIGNED
from linkage.words.effort import SCALES
from linkage.words.failures import (
    MISSED,
    miss_text,
    rows_of,
    rules_text,
    sum_text,
    title_text,
)
from linkage.words.speech import Speech, tidy
from solvers.jet import value

_PITCH = 3.9
#: Letters of a name beside a pad, at most.
_LONG = 26
#: Paper between the heads of the table and its rows, mm.
_RULED = 1.0
#: Room under the drawing for what is signed and the design's stamp.
_FOOT = 13.0


def failures_picture(design: Design, found: Rehearsal) -> Drawing:
    """Return the sheet of a rehearsal: A4, in inches letter, upright."""
    width, height = PAPERS["letter" if design.units == "in" else "a4"]
    lines = _lines(found, width - 2.0 * MARGIN)
    rows = _cells(found, design)
    low = MARGIN + _FOOT + _PITCH * (len(lines) + len(rows)) + _RULED + 5.0
    room = Box(
        left=MARGIN, bottom=low, right=width - MARGIN, top=height - MARGIN - HEAD
    )
    stamp = stamp_of(design)
    title = title_text(design, found, SCALES[design.units])
    name, _, rest = title.partition(". ")
    return Drawing(
        title=title,
        width=width,
        height=height,
        items=(
            *heading(name, clean(rest), width, height),
            *_drawn(design, found, room),
            *_written(rows, lines, width),
            Text(at=complex(MARGIN, MARGIN), text=stamp.line, role="quiet", size=SIZE),
            Text(
                at=complex(width - MARGIN, MARGIN),
                text=SIGNED,
                role="letters",
                size=SIZE,
                anchor="end",
            ),
        ),
        styles=STYLES,
        mark=stamp.mark,
    )


# ------------------------------------------------------------------------ drawing


def _drawn(design: Design, found: Rehearsal, room: Box) -> Iterator[Shape]:
    scene = scene_of(design, (found.pedal,))
    (group,) = scene.groups
    first, last = group.poses[0], group.poses[-1]
    kept = replace(
        group,
        poses=(first, *_ends(found), last),
        names=group.names[:1],
        square=None,
        ticks=(),
    )
    bare = replace(scene, groups=(kept,), readings=(), lengths=(), panels=(), notes=())
    side = side_view(bare, room)
    scale = Text(
        at=complex(room.left, room.top - 4.6),
        text=f"scale 1:{side.view.reduction:g}",
        role="letters",
        size=SIZE,
    )
    words = [text_box(s) for s in side.shapes if isinstance(s, Text)]
    names = _names(found, kept, side.view, Speech(design.units))
    arm = first.arm
    down = arm is None or names[0].at.imag < side.view.at(arm.pivot).imag
    placed = stairs(names, words, room, down=down)
    yield from (*placed.lines, *side.shapes, scale, *placed.names)


def _ends(found: Rehearsal) -> Iterator[Pose]:
    """Yield the pad where each failure ends."""
    rest = found.outcomes[0].rig.rest
    pivot = complex(np.ravel(value(rest.pivot))[0])
    for each in found.outcomes:
        run = move(rest, np.array([each.travel]))
        pad = complex(np.ravel(value(run.at(f"{found.pedal}.pad")))[0])
        yield Pose(
            at="mid",
            travel=each.travel,
            pad_alone=True,
            arm=Arm(pivot=pivot, pad=pad),
        )


def _names(
    found: Rehearsal, group: Group, view: View, speech: Speech
) -> tuple[Named, ...]:
    """Return the end of each pad on paper, and what is written of it.

    Those that end at one place have their numbers there; the table has their names.
    """
    arms = [pose.arm for pose in group.poses if pose.pad_alone and pose.arm]
    places: dict[str, list[int]] = {}
    for i, each in enumerate(found.outcomes):
        places.setdefault(speech.short(each.travel), []).append(i)
    ends = [view.at(arm.pad + pad_along(arm, group)) for arm in arms]
    return tuple(
        Named(at=ends[members[0]], text=clean(f"{_said(found, members)}, {at}"))
        for at, members in places.items()
    )


def _said(found: Rehearsal, members: Sequence[int]) -> str:
    if len(members) > 1:
        return ", ".join(map(str, members))
    return f"{members[0]} {tidy(found.outcomes[members[0]].case.name, _LONG)}"


# -------------------------------------------------------------------------- words

#: Where the columns of the table begin, mm from its left; numbers stand right of it.
_COLUMNS = (60.0, 81.0, 100.0, 122.0, 128.0)
_HEADS = ("pad ends", "of its way", "stops at", "rule takes", "pressed on, first")


def _cells(found: Rehearsal, design: Design) -> list[tuple[str, ...]]:
    """Return the table: its heads, and a row a failure."""
    speech, scale = Speech(design.units), SCALES[design.units]
    rows: list[tuple[str, ...]] = [("", *_HEADS)]
    for each, cells in zip(found.outcomes, rows_of(found, speech, scale), strict=True):
        *numbers, name = cells
        first = f"{each.first.what}, {speech.short(each.first.travel)}"
        rows.append((name.replace("  ", " "), *numbers, first))
    return rows


def _lines(found: Rehearsal, room: float) -> list[str]:
    """Return what is written under the table."""
    assumed = (f"{i} {each.case.assumed}" for i, each in enumerate(found.outcomes))
    said = [f"Taken: {'; '.join(list(assumed)[1:])}."]
    said += [f"Not rehearsed: {each.case.name}. {each.why}" for each in found.skipped]
    said += [f"Missed: {miss_text(each)}." for each in found.misses]
    said += [f"Asked: {rules}." for rules in [rules_text(found)] if rules]
    said += [
        f"In all: {sum_text(found)}",
        f"Guesses that this rests on: {_guessed(found)}.",
    ]
    return [line for text in (*said, SHEET) for line in wrap(clean(text), SIZE, room)]


def _guessed(found: Rehearsal) -> int:
    return len(found.outcomes[0].rig.doubts)


def _written(
    rows: Sequence[tuple[str, ...]], lines: Sequence[str], width: float
) -> Iterator[Shape]:
    """Yield the table and what is written under it, from the foot of the page up."""
    foot = MARGIN + _FOOT
    top = foot + (len(lines) + len(rows)) * _PITCH + _RULED
    for n, row in enumerate(rows):
        y = top - n * _PITCH - min(n, 1) * _RULED
        last = width - 2.0 * MARGIN - _COLUMNS[-1]
        for k, cell in enumerate(row):
            yield Text(
                at=complex(MARGIN + (0.0, *_COLUMNS)[k], y),
                text=shorten(clean(cell), SIZE, last) if k == len(row) - 1 else cell,
                role="letters",
                size=SIZE,
                anchor="end" if 0 < k < len(row) - 1 else "start",
                bold=n == 0 or cell == MISSED,
            )
    rule = top - 0.3 * _PITCH
    yield Line(complex(MARGIN, rule), complex(width - MARGIN, rule), "thin")
    for n, words in enumerate(lines):
        y = foot + (len(lines) - 1 - n) * _PITCH
        yield Text(at=complex(MARGIN, y), text=words, role="letters", size=SIZE)

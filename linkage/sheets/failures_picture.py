"""One page of a rehearsal: the pedal where each failure ends, and what is left then.

Pads that end all but together share one outline and one label.
"""

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
from linkage.sheets.box import Box
from linkage.sheets.ink import STYLES
from linkage.sheets.scene import Arm, Pose
from linkage.sheets.side_view import side_view
from linkage.sheets.staging import scene_of
from linkage.sheets.stamp import stamp_of
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
from linkage.words.speech import Speech
from solvers.jet import value

MARGIN, _HEAD, _SIZE, _PITCH = 10.0, 16.0, 2.5, 3.9
#: Pads nearer than this part of the way are drawn as one.
_ALIKE = 0.03
#: Room under the drawing for what is signed and the design's stamp.
_FOOT = 13.0


def failures_picture(design: Design, found: Rehearsal) -> Drawing:
    """Return the sheet of a rehearsal: A4, in inches letter, upright."""
    width, height = PAPERS["letter" if design.units == "in" else "a4"]
    lines = _lines(found, width - 2.0 * MARGIN)
    rows = _cells(found, design)
    low = MARGIN + _FOOT + _PITCH * (len(lines) + len(rows)) + 5.0
    room = Box(
        left=MARGIN, bottom=low, right=width - MARGIN, top=height - MARGIN - _HEAD
    )
    stamp = stamp_of(design)
    title = title_text(design, found, SCALES[design.units])
    return Drawing(
        title=title,
        width=width,
        height=height,
        items=(
            *_head(title, width, height),
            *_drawn(design, found, room),
            *_written(rows, lines, width),
            Text(at=complex(MARGIN, MARGIN), text=stamp.line, role="quiet", size=_SIZE),
            Text(
                at=complex(width - MARGIN, MARGIN),
                text=SIGNED,
                role="letters",
                size=_SIZE,
                anchor="end",
            ),
        ),
        styles=STYLES,
        mark=stamp.mark,
    )


def _head(title: str, width: float, height: float) -> Iterator[Shape]:
    top, room = height - MARGIN, width - 2.0 * MARGIN
    name, _, rest = title.partition(". ")
    words = shorten(clean(name[:200]), 4.0, room, bold=True)
    yield Text(
        at=complex(MARGIN, top - 5.5), text=words, role="letters", size=4.0, bold=True
    )
    yield Text(
        at=complex(MARGIN, top - 11.0), text=clean(rest), role="letters", size=3.0
    )
    rule = top - _HEAD + 2.0
    yield Line(complex(MARGIN, rule), complex(width - MARGIN, rule), "thin")


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
    view = side_view(bare, room)
    yield from view.shapes
    yield Text(
        at=complex(room.left, room.top - 4.6),
        text=f"scale 1:{view.view.reduction:g}",
        role="letters",
        size=_SIZE,
    )


def _ends(found: Rehearsal) -> Iterator[Pose]:
    """Yield the pad where failures end, those that are alike together."""
    rest = found.outcomes[0].rig.rest
    travels = [each.travel for each in found.outcomes]
    pivot = complex(np.ravel(value(rest.pivot))[0])
    for members in _together(travels, _ALIKE * found.reach):
        at = sum(travels[i] for i in members) / len(members)
        pad = move(rest, np.array([at])).at(f"{found.pedal}.pad")
        yield Pose(
            at="mid",
            travel=at,
            name=", ".join(str(i) for i in sorted(members)),
            pad_alone=True,
            arm=Arm(pivot=pivot, pad=complex(np.ravel(value(pad))[0])),
        )


def _together(places: Sequence[float], near: float) -> list[list[int]]:
    """Return which places are within ``near`` of the first of their kind, by place."""
    groups: list[list[int]] = []
    for i in sorted(range(len(places)), key=lambda k: places[k]):
        if groups and places[i] - places[groups[-1][0]] <= near:
            groups[-1].append(i)
        else:
            groups.append([i])
    return groups


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
    return [line for text in (*said, SHEET) for line in wrap(clean(text), _SIZE, room)]


def _guessed(found: Rehearsal) -> int:
    return len(found.outcomes[0].rig.doubts)


def _written(
    rows: Sequence[tuple[str, ...]], lines: Sequence[str], width: float
) -> Iterator[Shape]:
    """Yield the table and what is written under it, from the foot of the page up."""
    foot = MARGIN + _FOOT
    top = foot + (len(lines) + len(rows)) * _PITCH
    for n, row in enumerate(rows):
        y = top - n * _PITCH
        last = width - 2.0 * MARGIN - _COLUMNS[-1]
        for k, cell in enumerate(row):
            yield Text(
                at=complex(MARGIN + (0.0, *_COLUMNS)[k], y),
                text=shorten(clean(cell), _SIZE, last) if k == len(row) - 1 else cell,
                role="letters",
                size=_SIZE,
                anchor="end" if 0 < k < len(row) - 1 else "start",
                bold=n == 0 or cell == MISSED,
            )
    rule = top - 0.24 * _PITCH
    yield Line(complex(MARGIN, rule), complex(width - MARGIN, rule), "thin")
    for n, words in enumerate(lines):
        y = foot + (len(lines) - 1 - n) * _PITCH
        yield Text(at=complex(MARGIN, y), text=words, role="letters", size=_SIZE)

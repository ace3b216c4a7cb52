"""Where the pad's travel goes, as a bar on paper: cause upon cause, up to the pad's end."""

from collections.abc import Iterator

import numpy as np

from export.lettering import clean, shorten, wrap
from export.shapes import Drawing, Line, Shape, Text, rectangle
from export.tiling import PAPERS
from linkage.car.asking import Answer
from linkage.design.records import Design
from linkage.last_word import SHEET
from linkage.sheets.ink import STYLES
from linkage.sheets.stamp import stamp_of
from linkage.words.budget import asked_text, told
from linkage.words.effort import SCALES
from linkage.words.speech import Speech

MARGIN, _SIZE, _PITCH = 10.0, 2.5, 4.2
_BAR, _WIDE = 40.0, 26.0  # where the bar begins across the page, and how wide it is
_TOP, _BOTTOM = 32.0, 110.0  # above and below the bar
_GAP = 3.6  # between two names beside it, at least
#: Every second cause is tinted, so that edges tell and no colour has to.
_TINTS = ("band", "bore")


def budget_picture(design: Design, answer: Answer) -> Drawing:
    """Return the sheet of an answer: A4, upright."""
    speech = Speech(design.units)
    width, height = PAPERS["a4"]
    stamp = stamp_of(design)
    name = answer.rig.rest.pedal.name
    title = f"{design.title}: {name}, travel" if design.title else f"{name}, travel"
    items = (
        *_head(title, asked_text(answer, SCALES[design.units]), width, height),
        *_bar(answer, speech, width, height),
        *_sentences(design, answer, speech, width),
        Text(at=complex(MARGIN, MARGIN), text=stamp.line, role="quiet", size=_SIZE),
    )
    return Drawing(
        title=title,
        width=width,
        height=height,
        items=items,
        styles=STYLES,
        mark=stamp.mark,
    )


def _head(title: str, asked: str, width: float, height: float) -> Iterator[Shape]:
    top, room = height - MARGIN, width - 2.0 * MARGIN
    words = shorten(clean(title[:200]), 4.0, room, bold=True)
    yield Text(
        at=complex(MARGIN, top - 5.5), text=words, role="letters", size=4.0, bold=True
    )
    yield Text(at=complex(MARGIN, top - 11.0), text=asked, role="letters", size=3.0)
    yield Line(complex(MARGIN, top - 14.0), complex(width - MARGIN, top - 14.0), "thin")


def _bar(
    answer: Answer, speech: Speech, width: float, height: float
) -> Iterator[Shape]:
    """Yield the bar from rest at the bottom, its names, and the pad's end."""
    whole = answer.rig.travel
    scale = (height - _TOP - _BOTTOM) / whole
    ends = np.cumsum([0.0, *(row.pad for row in answer.rows)])
    places = _apart((ends[:-1] + ends[1:]) / 2.0 * scale, scale * whole)
    for i, (row, at) in enumerate(zip(answer.rows, places, strict=True)):
        low, high = (complex(_BAR, _BOTTOM + scale * end) for end in ends[i : i + 2])
        yield rectangle(low, high + _WIDE, _TINTS[i % 2])
        yield rectangle(low, high + _WIDE, "blank")
        middle = (low + high) / 2.0 + _WIDE
        letters = complex(_BAR + _WIDE + 8.0, _BOTTOM + at)
        yield Line(middle, letters - 1.0 + 0.9j, "leader")
        words = f"{speech.short(row.pad)}  {row.circuit} {row.cause}".replace("  ", " ")
        words = shorten(clean(words), _SIZE, width - MARGIN - letters.real)
        yield Text(at=letters, text=words, role="letters", size=_SIZE)
    yield from _ends(answer, speech, scale)


def _ends(answer: Answer, speech: Speech, scale: float) -> Iterator[Shape]:
    travel, whole = float(answer.state.foot.travel[0]), answer.rig.travel
    marks = ((0.0, "rest", "thin"), (travel, "here", "outline"), (whole, "end", "wall"))
    for size, word, role in marks:
        at = complex(_BAR, _BOTTOM + scale * size)
        yield Line(at - 6.0, at + _WIDE + 3.0, role)
        yield Text(
            at=at - 7.0 - 0.9j,
            text=f"{word} {speech.short(size)}",
            role="letters",
            size=_SIZE,
            anchor="end",
        )


def _apart(places: np.ndarray, top: float) -> list[float]:
    """Return heights of names in order, as near their own as they do not touch."""
    found: list[float] = []
    for place in places.tolist():
        found.append(max(place, found[-1] + _GAP) if found else max(place, 0.0))
    over = max((found[-1] if found else 0.0) - top, 0.0)
    for i in reversed(range(len(found))):
        found[i] = (
            min(found[i], top - _GAP * (len(found) - 1 - i)) if over else found[i]
        )
    return found


def _sentences(
    design: Design, answer: Answer, speech: Speech, width: float
) -> Iterator[Shape]:
    room = width - 2.0 * MARGIN
    lines: list[str] = []
    for name, text in told(design, answer, speech, SCALES[design.units]):
        if name != "Mind":
            lines += wrap(clean(f"{name}: {text}"), _SIZE, room)
    lines += wrap(SHEET, _SIZE, room)
    for n, words in enumerate(lines):
        at = complex(MARGIN, _BOTTOM - 9.0 - n * _PITCH)
        yield Text(at=at, text=words, role="letters", size=_SIZE)

"""The measuring card: a sketch with numbered blanks, to take to the car.

The numbers go in measuring order. The sketch is a made-up car's; only what is measured
where matters. A line to write on stands beside each number, and a box for a guess.
"""

from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from export.lettering import shorten, text_width, wrap
from export.shapes import Circle, Drawing, Line, Shape, Text, rectangle
from export.tiling import PAPERS
from linkage.last_word import SHEET
from linkage.sheets.box import Box
from linkage.sheets.ink import STYLES
from linkage.sheets.scene import Group, Scene
from linkage.sheets.side_view import side_view

MARGIN = 12.0
_SIZE = 2.5
_HEAD = 19.0
_FOOT = 29.0
_WRITE = 50.5  # a line to write on
_ROWS = (8.0, 10.0)  # least and greatest height of a row
#: Behind a line to write on: one of the two is struck out.
UNITS = "mm / in"


class Blank(Struct, frozen=True, kw_only=True, eq=False):
    """One thing to measure.

    Attributes
    ----------
    number : int
        As in the file and on the sketch.
    label : str
        What: "pivot, back".
    hint : str
        How: "level, from the string to the middle of the shaft".
    unit : str
        Printed after the line.
    """

    number: int
    label: str
    hint: str
    unit: str = UNITS


def card_page(
    scene: Scene,
    blanks: Sequence[Blank],
    *,
    paper: str = "a4",
    checks: Sequence[str] = (),
) -> Drawing:
    """Return a card on one sheet.

    Parameters
    ----------
    scene : Scene
        The sketch: its readings and lengths carry the numbers, such as "(1)", as text.
        Only the position at rest is drawn.
    blanks : sequence of Blank
        In measuring order.
    checks : sequence of str
        Lengths to tape as a check: each gets a line to write on.

    Raises
    ------
    ValueError
        For an unknown paper, or more blanks than a sheet takes.
    """
    if paper not in PAPERS:
        raise ValueError(f'no paper "{paper}"; there are {", ".join(PAPERS)}')
    width, height = PAPERS[paper]
    table, sketch = _rooms(len(blanks), width, height)
    side = side_view(_at_rest(scene), sketch, standard=False)
    return Drawing(
        title=f"{scene.title}: measuring card",
        width=width,
        height=height,
        items=(
            *side.shapes,
            *_head(scene, width, height),
            *_rows(blanks, table),
            *_foot(width, checks),
        ),
        styles=STYLES,
        mark=scene.stamp.mark,
    )


def _rooms(count: int, width: float, height: float) -> tuple[Box, Box]:
    """Return the rooms of the blanks and, above them, of the sketch."""
    low, top = MARGIN + _FOOT, height - MARGIN - _HEAD
    least, greatest = _ROWS
    tall = min(greatest, 0.45 * (top - low) / max(count, 1))
    if tall < least:
        raise ValueError(f"{count} blanks are more than one card takes")
    split = low + tall * count
    page = Box(left=MARGIN, bottom=low, right=width - MARGIN, top=top)
    return replace(page, top=split), replace(page, bottom=split + 3.0)


def _at_rest(scene: Scene) -> Scene:
    return replace(
        scene,
        groups=tuple(map(_still, scene.groups)),
        far=tuple(map(_still, scene.far)),
        readings=tuple(replace(reading, bold=True) for reading in scene.readings),
        lengths=tuple(replace(length, bold=True) for length in scene.lengths),
        panels=(),
    )


def _still(group: Group) -> Group:
    return replace(group, poses=group.poses[:1], arc=(), ticks=(), square=None)


def _head(scene: Scene, width: float, height: float) -> tuple[Shape, ...]:
    top, room = height - MARGIN, width - 2 * MARGIN
    title = shorten(scene.title, 4.0, room, bold=True)
    marks = [datum.text for datum in (scene.back, scene.up) if datum is not None]
    words = (
        f"Pedal on its rest stop, pistons home. Marks: {'; '.join(marks)}.",
        "The sketch is a made-up car. Write what your tape says and strike out one unit; "
        "cross the box for a guess.",
    )
    lines = [line for word in words for line in wrap(word, _SIZE, room)]
    return (
        Text(
            at=complex(MARGIN, top - 4.5),
            text=title,
            role="letters",
            size=4.0,
            bold=True,
        ),
        *(
            Text(at=complex(MARGIN, top - 10.5 - 4.4 * n), text=line, role="letters")
            for n, line in enumerate(lines[:3])
        ),
        Line(
            complex(MARGIN, top - _HEAD + 1.0),
            complex(width - MARGIN, top - _HEAD + 1.0),
            "thin",
        ),
    )


def _rows(blanks: Sequence[Blank], room: Box) -> list[Shape]:
    tall = (room.top - room.bottom) / max(len(blanks), 1)
    shapes: list[Shape] = []
    for n, blank in enumerate(blanks):
        shapes += _row(blank, room, room.top - (n + 1) * tall, tall)
    return shapes


def _row(blank: Blank, room: Box, bottom: float, tall: float) -> tuple[Shape, ...]:
    middle = bottom + tall / 2
    left = room.left + 9.0
    guess = text_width("guess", _SIZE)
    unit = max(text_width(blank.unit, _SIZE), 7.0)
    end = room.right - guess - 7.2 - unit
    words = end - _WRITE - 1.5 - left
    box = complex(room.right - guess - 4.6, bottom + 1.4)
    return (
        Circle(centre=complex(room.left + 3.4, middle), radius=3.2, role="number"),
        Text(
            at=complex(room.left + 3.4, middle - 1.5),
            text=str(blank.number),
            role="letters",
            size=3.0,
            anchor="middle",
            bold=True,
        ),
        Text(
            at=complex(left, middle + 0.7),
            text=shorten(blank.label, 3.0, words, bold=True),
            role="letters",
            size=3.0,
            bold=True,
        ),
        Text(
            at=complex(left, middle - 3.6),
            text=shorten(blank.hint, _SIZE, words),
            role="quiet",
        ),
        Line(complex(end - _WRITE, bottom + 1.4), complex(end, bottom + 1.4), "blank"),
        Text(at=complex(end + 1.2, bottom + 1.6), text=blank.unit, role="letters"),
        rectangle(box, box + 3.2 + 3.2j, "blank"),
        Text(at=box + complex(4.2, 0.3), text="guess", role="quiet"),
    )


def _foot(width: float, checks: Sequence[str]) -> list[Shape]:
    top = MARGIN + _FOOT - 6.5
    room = width - 2 * MARGIN
    shapes: list[Shape] = []
    if checks:
        shapes += _blanks(checks, top, room, unit=UNITS)
        top -= 7.5
    shapes += _blanks(("measured by", "date", "checked by"), top, room)
    check = (
        f"Tape {' and '.join(checks)} as well: footwell show says what they should be."
    )
    words = (*([check] if checks else []), SHEET)
    lines = [line for word in words for line in wrap(word, _SIZE, room)]
    shapes += [
        Text(at=complex(MARGIN, top - 5.5 - 4.2 * n), text=line, role="quiet")
        for n, line in enumerate(lines)
    ]
    return shapes


def _blanks(
    words: Sequence[str], y: float, room: float, unit: str = ""
) -> Iterator[Shape]:
    """Words side by side, each with a line to write on and its unit behind it."""
    share = room / len(words)
    for n, word in enumerate(words):
        left = MARGIN + n * share
        end = left + share - 4.0 - (text_width(unit, _SIZE) + 1.2 if unit else 0.0)
        start = left + text_width(word, _SIZE) + 2.0
        yield Text(at=complex(left, y), text=word, role="letters")
        yield Line(complex(start, y), complex(end, y), "blank")
        if unit:
            yield Text(at=complex(end + 1.2, y), text=unit, role="letters")

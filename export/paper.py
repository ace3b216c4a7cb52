"""Drawings at full size on sheets of paper that a home printer takes.

A drawing larger than a sheet is spread over several. Neighbours overlap, and the same
registration crosses, placed in the drawing's own coordinates, stand in the overlap of
both. Each sheet carries a bar of 100 mm or 4 in along and one up, because printers fit pages
to their own mind and some do it in one direction only. All lengths are mm.
"""

import math
from collections.abc import Mapping

from msgspec import Struct

from export.lettering import shorten, wrap
from export.shapes import (
    Circle,
    Drawing,
    Line,
    Shape,
    Style,
    Text,
    Window,
    rectangle,
)
from export.tiling import MARGIN, PAPERS, Spread, Tile, crosses, spread


class Bar(Struct, frozen=True, kw_only=True):
    """The bar that tells whether a printer kept the size.

    Attributes
    ----------
    length : float
        mm.
    parts, long : int
        Stretches between its ticks, and from one long tick to the next.
    text : str
    """

    length: float
    parts: int
    long: int
    text: str


METRIC = Bar(length=100.0, parts=10, long=5, text="100 mm")
INCHES = Bar(length=101.6, parts=8, long=2, text="4 in")
_SIZE = 2.5
_PITCH = 4.2  # from one line of notes to the next
_KEY = 28.0  # room at the lower right for the label of the sheet

#: How the sheet's own furniture looks.
STYLES: Mapping[str, Style] = {
    "paper bar": Style(width=0.5),
    "paper tick": Style(width=0.25),
    "paper edge": Style(width=0.18, colour="#595959", dash=(6.0, 2.0)),
    "paper cross": Style(width=0.18),
    "paper note": Style(),
    "paper here": Style(width=0.18, fill="#000000"),
    "paper there": Style(width=0.18),
}


def full_size(
    items: tuple[Shape, ...],
    lower: complex,
    upper: complex,
    *,
    paper: str,
    title: str,
    notes: tuple[str, ...],
    styles: Mapping[str, Style],
    mark: str = "",
    bar: Bar = METRIC,
) -> tuple[Drawing, ...]:
    """Return the sheets that show ``items`` at full size.

    Parameters
    ----------
    items : tuple of shapes
        In drawing mm.
    lower, upper : complex
        Corners of what must be seen.
    notes : tuple of str
        Printed on each sheet, broken into lines where they are long.
    styles : mapping
        Of the roles in ``items``.
    """
    narrow = PAPERS.get(paper, (0.0, 0.0))[0] - 2 * MARGIN - _KEY
    lines = tuple(line for note in notes for line in wrap(note, _SIZE, narrow))
    plan = spread(lower, upper, paper=paper, foot=_PITCH * len(lines) + 18.0)
    seen = items + tuple(s for at in crosses(plan) for s in _cross(at))
    return tuple(
        Drawing(
            title=title,
            width=plan.width,
            height=plan.height,
            items=(
                Window(items=seen, shift=t.shift, lower=t.lower, upper=t.upper),
                *_furniture(plan, t, title, lines, bar),
            ),
            styles={**STYLES, **styles},
            mark=mark,
        )
        for t in plan.tiles
    )


def _cross(at: complex) -> tuple[Shape, ...]:
    return (
        Line(at - 5.0, at + 5.0, "paper cross"),
        Line(at - 5.0j, at + 5.0j, "paper cross"),
        Circle(centre=at, radius=2.5, role="paper cross"),
    )


def _furniture(
    plan: Spread, tile: Tile, title: str, lines: tuple[str, ...], bar: Bar
) -> tuple[Shape, ...]:
    low = tile.lower
    along = complex(low.real, low.imag - 3.0)
    beside = complex(low.real - 4.0, low.imag)
    return (
        rectangle(tile.lower, tile.upper, "paper edge"),
        *calibration_bar(along, 1 + 0j, bar),
        *calibration_bar(beside, 1j, bar),
        *_bar_words(along, beside, bar),
        *_joining(tile),
        *_title(plan, title, lines),
        *_key(plan, tile),
    )


def calibration_bar(
    start: complex, way: complex, bar: Bar = METRIC
) -> tuple[Shape, ...]:
    """Return a bar of exactly its length from ``start`` towards the unit vector ``way``.

    The outer edges of its end ticks are flush with its ends, so that edge to edge is
    its length too.
    """
    half, square, step = 0.125, -1j * way, bar.length / bar.parts
    ends = [half, *(step * n for n in range(1, bar.parts)), bar.length - half]
    ticks = [start + way * at for at in ends]
    tall = [1.5 if n % bar.long else 2.5 for n in range(bar.parts + 1)]
    return (
        Line(start, start + bar.length * way, "paper bar"),
        *(
            Line(tick, tick + square * height, "paper tick")
            for tick, height in zip(ticks, tall, strict=True)
        ),
    )


def _bar_words(along: complex, beside: complex, bar: Bar) -> tuple[Shape, ...]:
    words = f"{bar.text}: print at 100 %, then measure both bars"
    return (
        Text(at=along - 6.2j, text=words, role="paper note", size=_SIZE),
        Text(
            at=beside - 4.5 + 0j,
            text=words,
            role="paper note",
            size=_SIZE,
            turn=math.pi / 2,
        ),
    )


def _joining(tile: Tile) -> tuple[Shape, ...]:
    words: list[str] = []
    row, column = tile.row, tile.column
    if column:
        left = Tile(row=row, column=column - 1, lower=0j, upper=0j, shift=0j)
        words.append(f"cut along the left edge, lay on {left.label}")
    if row:
        above = Tile(row=row - 1, column=column, lower=0j, upper=0j, shift=0j)
        words.append(f"cut along the top edge, lay on {above.label}")
    if not words:
        return ()
    text = "; ".join(words) + ", cross on cross"
    at = complex(tile.lower.real, tile.upper.imag + 2.0)
    return (Text(at=at, text=text, role="paper note", size=_SIZE),)


def _title(plan: Spread, title: str, lines: tuple[str, ...]) -> tuple[Shape, ...]:
    width = plan.width - 2 * MARGIN - _KEY
    top = MARGIN + _PITCH * len(lines) + 1.0
    head = shorten(title, 3.5, width, bold=True)
    return (
        Text(
            at=complex(MARGIN, top), text=head, role="paper note", size=3.5, bold=True
        ),
        *(
            Text(
                at=complex(MARGIN, top - _PITCH * (n + 1)),
                text=line,
                role="paper note",
                size=_SIZE,
            )
            for n, line in enumerate(lines)
        ),
    )


def _key(plan: Spread, tile: Tile) -> tuple[Shape, ...]:
    """Return the sheet's label and, with several sheets, a small map of them."""
    corner = complex(plan.width - MARGIN, MARGIN)
    label = Text(
        at=corner + 1j,
        text=f"sheet {tile.label}",
        role="paper note",
        size=3.5,
        anchor="end",
        bold=True,
    )
    if len(plan.tiles) == 1:
        return (label,)
    side = min(4.0, 14.0 / max(plan.rows, plan.columns))
    start = corner + complex(-plan.columns * side, 6.5)
    cells = tuple(
        rectangle(
            start + complex(t.column * side, (plan.rows - 1 - t.row) * side),
            start + complex((t.column + 1) * side, (plan.rows - t.row) * side),
            "paper here" if t is tile else "paper there",
        )
        for t in plan.tiles
    )
    return (label, *cells)

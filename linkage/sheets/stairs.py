"""Names of points that lie close in a row, one under the other, each with its own line.

A line goes straight off its point, then across to its name; no two of them cross. All in
mm on paper.
"""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from export.shapes import Shape, Text, chain
from linkage.sheets.box import Box, text_box

PITCH, _SIZE, _BESIDE, _RISE = 4.0, 2.5, 3.0, 0.9
#: How far the first name stands off the points, at least, and what is tried beyond it.
_OFF, _STEP, _MOST = 5.0, 1.0, 80


class Named(Struct, frozen=True, kw_only=True, eq=False):
    """A point and what is written of it."""

    at: complex
    text: str


class Stairs(Struct, frozen=True, kw_only=True, eq=False):
    """Lines, which what else is drawn may cover, and the names themselves."""

    lines: tuple[Shape, ...]
    names: tuple[Text, ...]


def stairs(
    points: Sequence[Named], taken: Sequence[Box], frame: Box, *, down: bool = True
) -> Stairs:
    """Return the names of points, left of all of them, and the lines to them.

    Parameters
    ----------
    points : sequence of Named
    taken : sequence of Box
        What else is written; names stand as near as they do not touch it.
    frame : Box
        Where names may stand.
    down : bool
        They had best stand below the points, else above them.
    """
    row = sorted(points, key=lambda each: (each.at.real, each.text))
    ways = (-1.0, 1.0) if down else (1.0, -1.0)
    tried = [
        names
        for way in ways
        for n in range(_MOST)
        if _inside(names := _names(row, way, _OFF + n * _STEP), frame)
    ]
    free = (names for names in tried if not _meets(names, taken))
    names = next(free, tried[0] if tried else _names(row, ways[0], _OFF))
    return Stairs(lines=tuple(_lines(row, names)), names=names)


def _names(row: Sequence[Named], way: float, off: float) -> tuple[Text, ...]:
    edge = (min if way < 0.0 else max)(each.at.imag for each in row) + way * off
    left = row[0].at.real - _BESIDE
    return tuple(
        Text(
            at=complex(left, edge + way * k * PITCH - _RISE),
            text=each.text,
            role="letters",
            size=_SIZE,
            anchor="end",
        )
        for k, each in enumerate(row)
    )


def _inside(names: Sequence[Text], frame: Box) -> bool:
    return all(frame.holds(text_box(name)) for name in names)


def _meets(names: Sequence[Text], taken: Sequence[Box]) -> bool:
    return any(text_box(name).meets(box) for name in names for box in taken)


def _lines(row: Sequence[Named], names: Sequence[Text]) -> Iterator[Shape]:
    for each, name in zip(row, names, strict=True):
        level = name.at.imag + _RISE
        corner = complex(each.at.real, level)
        yield chain((each.at, corner, complex(name.at.real + 1.0, level)), "leader")

"""How a drawing is spread over sheets of paper: which sheet shows which part.

Neighbours overlap, and registration crosses are placed in the drawing's own coordinates
inside the overlaps, so that both sheets show the same mark. All lengths are mm.
"""

import math
from collections.abc import Mapping

from msgspec import Struct

#: Width and height of a sheet standing upright (ISO 216; ASME Y14.1 sizes A and B, and
#: legal, 8 1/2 x 14 in).
PAPERS: Mapping[str, tuple[float, float]] = {
    "a4": (210.0, 297.0),
    "letter": (215.9, 279.4),
    "a3": (297.0, 420.0),
    "legal": (215.9, 355.6),
    "tabloid": (279.4, 431.8),
}
MARGIN = 12.0  # what printers cannot reach
OVERLAP = 15.0

_SIDE = 14.0  # strip at the left for the upright bar
_HEAD = 6.0  # strip at the top for the word on joining


class Tile(Struct, frozen=True, kw_only=True, eq=False):
    """One sheet of a spread drawing.

    Attributes
    ----------
    row, column : int
        From the top left, from 0.
    lower, upper : complex
        The window on the page.
    shift : complex
        Page less drawing.
    """

    row: int
    column: int
    lower: complex
    upper: complex
    shift: complex

    @property
    def label(self) -> str:
        """A1 is at the top left, B1 below it."""
        return f"{chr(ord('A') + self.row)}{self.column + 1}"


class Spread(Struct, frozen=True, kw_only=True, eq=False):
    """How a drawing is spread: the page and its tiles, row by row."""

    width: float
    height: float
    rows: int
    columns: int
    tiles: tuple[Tile, ...]


def spread(lower: complex, upper: complex, *, paper: str, foot: float = 30.0) -> Spread:
    """Return the fewest sheets that show the rectangle from ``lower`` to ``upper``.

    Parameters
    ----------
    lower, upper : complex
        Corners of what is to be seen, drawing mm.
    paper : str
        A name of `PAPERS`; the sheet stands or lies, whichever needs fewer.
    foot : float
        Height of the strip below the window.

    Raises
    ------
    ValueError
        For an unknown paper, or more than 26 rows.
    """
    if paper not in PAPERS:
        raise ValueError(f'no paper "{paper}"; there are {", ".join(PAPERS)}')
    short, long = PAPERS[paper]
    both = [
        _spread(lower, upper, w, h, foot) for w, h in ((short, long), (long, short))
    ]
    best = min(both, key=lambda s: len(s.tiles))
    if best.rows > 26:
        raise ValueError("the drawing is too tall: more than 26 rows of sheets")
    return best


def _spread(
    lower: complex, upper: complex, width: float, height: float, foot: float
) -> Spread:
    start = complex(MARGIN + _SIDE, MARGIN + foot)
    end = complex(width - MARGIN, height - MARGIN - _HEAD)
    pane, size = end - start, upper - lower
    columns, rows = _count(size.real, pane.real), _count(size.imag, pane.imag)
    step = pane - complex(OVERLAP, OVERLAP)
    whole = complex(OVERLAP + columns * step.real, OVERLAP + rows * step.imag)
    corner = lower - (whole - size) / 2  # of the lowest, leftmost pane, in the drawing
    tiles = tuple(
        Tile(
            row=row,
            column=column,
            lower=start,
            upper=end,
            shift=start
            - corner
            - complex(column * step.real, (rows - 1 - row) * step.imag),
        )
        for row in range(rows)
        for column in range(columns)
    )
    return Spread(width=width, height=height, rows=rows, columns=columns, tiles=tiles)


def _count(size: float, pane: float) -> int:
    return max(1, math.ceil((size - OVERLAP) / (pane - OVERLAP) - 1e-9))


def crosses(plan: Spread) -> tuple[complex, ...]:
    """Return where registration crosses stand, in the drawing's coordinates."""
    found: list[complex] = []
    for tile in plan.tiles:
        low, high = tile.lower - tile.shift, tile.upper - tile.shift
        size = high - low
        parts = (0.15, 0.62, 0.88)  # uneven: a sheet turned round does not meet
        if tile.column + 1 < plan.columns:
            x = high.real - OVERLAP / 2
            found += [complex(x, low.imag + part * size.imag) for part in parts]
        if tile.row + 1 < plan.rows:
            y = low.imag + OVERLAP / 2
            found += [complex(low.real + part * size.real, y) for part in parts]
    return tuple(found)

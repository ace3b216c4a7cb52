"""The part in a cut file as a cutting desk sees it: loops, circles, marks, in mm.

Taken from the read bytes alone. Loose lines and arcs are strung together where their
ends meet; nothing is mended, and what does not meet stays open.
"""

import math
from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from export.dxf import CUT, HEADER_UNITS, MARK, MM
from export.dxf_read import DxfError, DxfFile, Item
from solvers.plane.measure import extents
from solvers.plane.pieces import (
    Contour,
    Points,
    bulge_of,
    circle,
    contour_of,
)

#: Ends nearer than this, mm, are one end: a thousand times what a file's digits lose,
#: and a hundred thousandth of a laser's kerf.
MEET = 1e-6
#: Group codes without which an entity is nothing.
_NEEDED = {
    "LINE": (10, 20, 11, 21),
    "ARC": (10, 20, 40, 50, 51),
    "CIRCLE": (10, 20, 40),
}


class Loop(Struct, frozen=True, kw_only=True, eq=False):
    """One run of cut pieces.

    Attributes
    ----------
    contour : ndarray, shape (n, 3)
        In mm; its last piece closes it only where it is closed.
    end : complex, optional
        Where an open run ends, mm; None for a closed one.
    """

    contour: Contour
    end: complex | None = None

    @property
    def start(self) -> complex:
        """Where it starts, mm."""
        return complex(*self.contour[0, :2])

    @property
    def sound(self) -> bool:
        """Whether its pieces have lengths, so that geometry can be asked about it."""
        if len(self.contour) < 2:
            return False
        ends = self.contour[:, 0] + 1j * self.contour[:, 1]
        return bool(np.min(np.abs(np.roll(ends, -1) - ends)) > MEET)


class CutPart(Struct, frozen=True, kw_only=True, eq=False):
    """Everything in a file, sorted by what a cutting desk does with it.

    Attributes
    ----------
    file : DxfFile
        As read.
    unit : str
        "mm", "in", or empty where the header names neither.
    loops : tuple of Loop
        Contours of lines and arcs, largest box first.
    circles : ndarray, shape (m, 3)
        x, z, radius, mm.
    marks : ndarray, complex, shape (k, 2)
        Ends of the lines on the mark layer, mm.
    """

    file: DxfFile
    unit: str
    loops: tuple[Loop, ...]
    circles: NDArray[np.float64]
    marks: Points

    @property
    def outlines(self) -> list[Contour]:
        """Every closed cut contour that has a shape, circles last."""
        rings = [circle(complex(x, z), r) for x, z, r in self.circles if r > MEET]
        return [*self.shaped, *rings]

    @property
    def shaped(self) -> list[Contour]:
        """Every contour of lines and arcs that has a shape."""
        return [loop.contour for loop in self.loops if loop.sound]

    @property
    def box(self) -> tuple[complex, complex]:
        """Lower left and upper right corner of all that is cut; needs an outline."""
        boxes = np.array([extents(contour) for contour in self.outlines])
        low = complex(boxes[:, 0].real.min(), boxes[:, 0].imag.min())
        return low, complex(boxes[:, 1].real.max(), boxes[:, 1].imag.max())


def part_of(file: DxfFile, *, unit: str) -> CutPart:
    """Sort a file's entities; ``unit`` is taken where the header names none.

    Raises
    ------
    DxfError
        An entity lacks a number that it needs.
    """
    for item in file.items:
        _refuse_incomplete(item)
    found = header_unit(file)
    scale = MM[found or unit]
    cut = [item for item in file.items if item.layer == CUT]
    rings = [_numbers(item, 10, 20, 40) for item in cut if item.kind == "CIRCLE"]
    lines = [item for item in file.items if item.layer == MARK and item.kind == "LINE"]
    ends = [_line_ends(item) for item in lines]
    marks = np.array(ends, dtype=np.complex128).reshape(-1, 2)
    return CutPart(
        file=file,
        unit=found,
        loops=tuple(_loops(cut, scale)),
        circles=scale * np.array(rings, dtype=float).reshape(-1, 3),
        marks=marks * complex(scale),
    )


def header_unit(file: DxfFile) -> str:
    """Unit that $INSUNITS names, empty where it names neither mm nor inch."""
    code = file.header.get("$INSUNITS", {}).get(70, "").strip()
    units = {str(pair[0]): unit for unit, pair in HEADER_UNITS.items()}
    return units.get(code, "")


def _refuse_incomplete(item: Item) -> None:
    missing = [code for code in _NEEDED.get(item.kind, ()) if code not in item.numbers]
    if missing:
        raise DxfError(
            f"line {item.line}: a {item.kind} lacks its group code {missing[0]}"
        )


def _numbers(item: Item, *codes: int) -> list[float]:
    return [item.numbers[code] for code in codes]


def _line_ends(item: Item) -> tuple[complex, complex]:
    x, z, x1, z1 = _numbers(item, 10, 20, 11, 21)
    return complex(x, z), complex(x1, z1)


def _loops(cut: Sequence[Item], scale: float) -> list[Loop]:
    """Contours of all polylines and of the loose pieces."""
    whole = [
        _polyline(item, scale)
        for item in cut
        if item.kind in ("POLYLINE", "LWPOLYLINE") and item.rows
    ]
    pieces = [piece for item in cut for piece in _piece(item, scale)]
    return sorted([*whole, *_strung(pieces)], key=_box_size, reverse=True)


def _polyline(item: Item, scale: float) -> Loop:
    contour = item.contour() * [scale, scale, 1.0]
    return Loop(contour=contour, end=None if item.closed else complex(*contour[-1, :2]))


def _box_size(loop: Loop) -> float:
    spread = np.ptp(loop.contour[:, :2], axis=0)
    return float(np.max(spread))


Piece = tuple[complex, complex, float]


def _piece(item: Item, scale: float) -> Iterator[Piece]:
    """Start, end and bulge of a loose line or arc."""
    if item.kind == "LINE":
        a, b = _line_ends(item)
        yield scale * a, scale * b, 0.0
    elif item.kind == "ARC":
        x, z, r, first, last = _numbers(item, 10, 20, 40, 50, 51)
        sweep = math.radians((last - first) % 360.0 or 360.0)
        a, b = (np.exp(1j * math.radians(angle)) for angle in (first, last))
        centre = complex(x, z)
        bulge = float(bulge_of(min(sweep, 6.28)))
        yield (
            complex(scale * (centre + r * a)),
            complex(scale * (centre + r * b)),
            bulge,
        )


def _strung(pieces: list[Piece]) -> Iterator[Loop]:
    """String loose pieces together, end to start, until none is left."""
    left = list(pieces)
    while left:
        chain = [left.pop(0)]
        while (ahead := _take_next(left, chain)) is not None:
            chain.append(ahead)
        starts = np.array([piece[0] for piece in chain])
        end = chain[-1][1]
        contour = contour_of(starts, [piece[2] for piece in chain])
        meets = abs(end - chain[0][0]) <= MEET
        yield Loop(contour=contour, end=None if meets else end)


def _take_next(left: list[Piece], chain: list[Piece]) -> Piece | None:
    """Take the piece that goes on where the chain ends, turned round if need be."""
    end = chain[-1][1]
    if abs(end - chain[0][0]) <= MEET:
        return None
    for k, (a, b, bulge) in enumerate(left):
        if abs(a - end) <= MEET:
            return left.pop(k)
        if abs(b - end) <= MEET:
            left.pop(k)
            return b, a, -bulge
    return None

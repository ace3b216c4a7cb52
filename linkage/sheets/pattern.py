"""The arm at full size on paper: glue it on, prick the centres through, cut.

The outline is turned, never mirrored, so that its longest measured line stands upright
on the sheet; all distances on paper are those of the metal.
"""

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from export.paper import INCHES, METRIC, Bar, full_size
from export.shapes import (
    Arc,
    Circle,
    Contour,
    Drawing,
    Line,
    Shape,
    Text,
    arc_of_bulge,
)
from linkage.last_word import SHEET
from linkage.sheets.box import Box, text_box
from linkage.sheets.draughting import arrow, centre_mark
from linkage.sheets.ink import STYLES
from linkage.sheets.labels import Label, place_labels
from linkage.sheets.stamp import Stamp
from linkage.sheets.traces import ink_points
from linkage.words.speech import Speech

PRICK = 6.0  # half the length of a cross through a centre
_MM = Speech("mm")
_EDGE = 4.0  # open paper round the outline
_NAMES = 48.0  # beside it, for names

Hole = tuple[complex, float | None]


def pattern_pages(
    contour: NDArray[np.float64],
    holes: Mapping[str, Hole],
    *,
    paper: str,
    title: str,
    stamp: Stamp,
    pad: complex | None = None,
    footer: tuple[str, ...] = (),
    speech: Speech = _MM,
) -> tuple[Drawing, ...]:
    """Return the sheets of a full-size pattern.

    Parameters
    ----------
    contour : ndarray, shape (n, 3)
        x, z and bulge of the outline, mm.
    holes : mapping of str to (complex, float or None)
        Centre and bore diameter by name; without a bore only the centre is marked. The
        first is the pivot: it comes to stand at the top.
    paper : str
        A name of `export.tiling.PAPERS`.
    title : str
        Of the part.
    pad : complex, optional
        Middle of the pad's face.
    footer : tuple of str
        Further lines for every sheet.
    speech : Speech
        The unit of what is said; the paper is full size in any.

    Raises
    ------
    ValueError
        Without a hole, or for an unknown paper.
    """
    if not holes:
        raise ValueError("a pattern needs a hole to measure from")
    turn = _turn([centre for centre, _ in holes.values()], pad)
    rows = _turned(contour, turn)
    here = {name: (centre * turn, bore) for name, (centre, bore) in holes.items()}
    face = None if pad is None else pad * turn
    return full_size(
        _items(rows, here, face, speech, turn),
        *_corners(rows, here, face),
        paper=paper,
        title=title,
        notes=(*_lengths(holes, pad, speech), *footer, stamp.line, _PROOF, SHEET),
        styles=STYLES,
        mark=stamp.mark,
        bar=BARS[speech.units],
    )


def usual_paper(units: str) -> str:
    """Return the paper that people have at hand who measure in ``units``."""
    return "letter" if units == "in" else "a4"


#: What is measured on paper to see whether the printer kept the size.
BARS: Mapping[str, Bar] = MappingProxyType({"mm": METRIC, "in": INCHES})
_PROOF = "This outline is a shape, not a proof of strength. Tape the first part cut."


def _turn(centres: list[complex], pad: complex | None) -> complex:
    """Return the unit vector that brings the farthest point straight below the first."""
    first = centres[0]
    others = [*centres[1:], *([] if pad is None else [pad])]
    far = max(others, key=lambda p: abs(p - first), default=first)
    line = far - first
    return -1j * abs(line) / line if line else 1 + 0j


def _turned(contour: NDArray[np.float64], turn: complex) -> NDArray[np.float64]:
    places = (contour[:, 0] + 1j * contour[:, 1]) * turn
    return np.column_stack([places.real, places.imag, contour[:, 2]])


def _bounds(
    rows: NDArray[np.float64], holes: Mapping[str, Hole], pad: complex | None
) -> Box:
    rim = ink_points(_pieces(rows))
    marks = [c + d for c, _ in holes.values() for d in (-8 - 8j, 8 + 8j)]
    every = np.concatenate([rim, marks, [] if pad is None else [pad]])
    return Box(
        left=float(every.real.min()),
        bottom=float(every.imag.min()),
        right=float(every.real.max()),
        top=float(every.imag.max()),
    )


def _corners(
    rows: NDArray[np.float64], holes: Mapping[str, Hole], pad: complex | None
) -> tuple[complex, complex]:
    """Return the corners of what must be seen: the part, and names to its right."""
    box = _bounds(rows, holes, pad)
    low = complex(box.left - _EDGE, box.bottom - _EDGE)
    return low, complex(box.right + _NAMES, box.top + _EDGE)


def _pieces(rows: NDArray[np.float64]) -> list[Shape]:
    points = [complex(x, y) for x, y in rows[:, :2]]
    found: list[Shape] = []
    for a, b, bulge in zip(points, points[1:] + points[:1], rows[:, 2], strict=True):
        if bulge == 0.0:
            found.append(Line(a, b, "cut"))
        else:
            centre, start, sweep = arc_of_bulge(a, b, float(bulge))
            radius = abs(a - centre)
            found.append(
                Arc(centre=centre, radius=radius, start=start, sweep=sweep, role="cut")
            )
    return found


def _items(
    rows: NDArray[np.float64],
    holes: Mapping[str, Hole],
    pad: complex | None,
    speech: Speech,
    forward: complex,
) -> tuple[Shape, ...]:
    marks = [s for centre, bore in holes.values() for s in _hole(centre, bore)]
    line = _centre_line([c for c, _ in holes.values()], pad)
    pads = () if pad is None else centre_mark(pad, PRICK, "prick")
    drawn: list[Shape] = [Contour(rows=rows, role="cut"), *line, *marks, *pads]
    ink = ink_points([*_pieces(rows), *line, *marks])
    low, high = _corners(rows, holes, pad)
    frame = Box(left=low.real, bottom=low.imag, right=high.real, top=high.imag)
    front, words = _front(forward, frame)
    placed, _ = place_labels(
        _names(holes, pad, speech),
        frame=frame,
        taken=[_bounds(rows, holes, pad), text_box(words)],
        ink=ink,
    )
    names = (shape for label in placed for shape in label.shapes())
    return (*drawn, *front, words, *names)


def _front(forward: complex, frame: Box) -> tuple[tuple[Shape, ...], Text]:
    """Return the arrow towards the front of the car, as the arm is turned here."""
    middle = complex(frame.right - _NAMES / 2, frame.top - 4.0)
    words = Text(
        at=middle - 8.0j,
        text="front of car",
        role="letters",
        anchor="middle",
        bold=True,
    )
    return arrow(middle - 7.0 * forward, middle + 7.0 * forward), words


def _hole(centre: complex, bore: float | None) -> tuple[Shape, ...]:
    cross = centre_mark(centre, PRICK + (bore or 0.0) / 2, "prick")
    if bore is None:
        return cross
    return (*cross, Circle(centre=centre, radius=bore / 2, role="bore circle"))


def _centre_line(centres: list[complex], pad: complex | None) -> tuple[Shape, ...]:
    points = [*centres, *([] if pad is None else [pad])]
    low = min(points, key=lambda p: p.imag)
    if low == points[0]:
        return ()
    beyond = 14j
    return (Line(points[0] + beyond, low - beyond, "centre"),)


def _names(
    holes: Mapping[str, Hole], pad: complex | None, speech: Speech
) -> list[Label]:
    found = [
        Label(lines=(name, *_bore(bore, speech)), at=at, size=3.5, towards=1 + 0j)
        for name, (at, bore) in holes.items()
    ]
    if pad is not None:
        found.append(Label(lines=("pad, face",), at=pad, size=3.5, towards=1 + 0j))
    return found


def _bore(mm: float | None, speech: Speech) -> tuple[str, ...]:
    if mm is None:
        return ("centre only",)
    if speech.units == "mm":
        return (f"bore {speech.length(mm, 2)}",)
    size, metric = speech.stock(mm).split(" (")
    return f"bore {size}", f"({metric}"


def _lengths(
    holes: Mapping[str, Hole], pad: complex | None, speech: Speech
) -> tuple[str, ...]:
    """Return the line of lengths to check on paper before the metal is marked."""
    points = {name: centre for name, (centre, _) in holes.items()}
    if pad is not None:
        points["pad"] = pad
    names = list(points)
    pairs = [(names[0], other) for other in names[1:]]
    words = [
        f"{a} to {b} {_ruled(abs(points[a] - points[b]), speech)}" for a, b in pairs
    ]
    return (f"Check on paper, {speech.name}: " + "; ".join(words),) if words else ()


def _ruled(mm: float, speech: Speech) -> str:
    if speech.units == "mm":
        return speech.length(mm)
    return f"{speech.ruled(mm, 64)} ({mm:.1f} mm)"

"""Contours, circles and centre marks as a DXF file, in one of three forms.

``r12``: closed POLYLINE with bulges, read right by the greatest number of programs;
``r2010``: LWPOLYLINE with bulges; ``pieces``: loose LINE and ARC, as R12. Circles are
CIRCLE in all of them. Cut geometry is on layer ``cut``, marks (crosses of two lines) on
layer ``mark``, and nothing else is in the file.

Coordinates come in mm; the unit is put into the header twice ($INSUNITS and
$MEASUREMENT), because some programs read the one and some the other. Same drawing, same
bytes. What is drawn, and whether it can be cut, is not known here.
"""

import contextlib
import io
import logging
import math
from collections.abc import Iterator, Sequence
from typing import Any, Literal, get_args

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

Form = Literal["r12", "r2010", "pieces"]
Unit = Literal["mm", "in"]
FORMS: tuple[Form, ...] = get_args(Form)
UNITS: tuple[Unit, ...] = get_args(Unit)
CUT, MARK = "cut", "mark"
#: mm in one unit of the file; exact.
MM = {"mm": 1.0, "in": 25.4}
#: Unit -> $INSUNITS, $MEASUREMENT (DXF Reference, HEADER; the second from memory).
HEADER_UNITS = {"mm": (4, 1), "in": (1, 0)}
#: Decimals beyond which an extent is the dust of a sum.
_DUST = 9
#: Index colours: 7 is black on white paper and white on a black screen; 5 is blue.
_COLOURS = {CUT: 7, MARK: 5}


class CutDrawing(Struct, frozen=True, kw_only=True, eq=False):
    """What goes into one file, in mm.

    Attributes
    ----------
    contours : sequence of ndarray, shape (n, 3)
        x, z, bulge of the piece to the next row; closed.
    circles : ndarray, shape (m, 3)
        x, z, radius.
    crosses : ndarray, shape (k, 3)
        x, z, half the length of each stroke.
    box : tuple of float
        Least x, least z, greatest x, greatest z of the cut geometry.
    note : str
        One line for people who open the file in an editor; plain ASCII is kept.
    """

    contours: Sequence[NDArray[np.float64]]
    circles: NDArray[np.float64]
    crosses: NDArray[np.float64]
    box: tuple[float, float, float, float]
    note: str = ""


def dxf_bytes(drawing: CutDrawing, *, form: Form = "r12", unit: Unit = "mm") -> bytes:
    """Write a drawing as a whole DXF file.

    Parameters
    ----------
    drawing : CutDrawing
    form : {"r12", "r2010", "pieces"}
    unit : {"mm", "in"}

    Raises
    ------
    ValueError
        Unknown form or unit, or a coordinate that is not a finite number.
    """
    if form not in FORMS:
        raise ValueError(f"form {form!r} is unknown: give one of {', '.join(FORMS)}")
    if unit not in UNITS:
        raise ValueError(f"unit {unit!r} is unknown: give one of {', '.join(UNITS)}")
    if not all(map(np.all, map(np.isfinite, _numbers(drawing)))):
        raise ValueError("a coordinate of the drawing is not a finite number")
    with _reproducible():
        text = _document_text(drawing, form, 1.0 / MM[unit], unit)
    text = _with_unit(text, unit)
    return f"999\n{_plain(drawing.note)}\n{text}".encode("ascii")


def _numbers(drawing: CutDrawing) -> list[NDArray[np.float64]]:
    box = np.array(drawing.box)
    return [*drawing.contours, drawing.circles, drawing.crosses, box]


def _document_text(drawing: CutDrawing, form: Form, scale: float, unit: Unit) -> str:
    import ezdxf

    version = "R2010" if form == "r2010" else "R12"
    doc = ezdxf.new(version, setup=False, units=HEADER_UNITS[unit][0])
    for layer, colour in _COLOURS.items():
        doc.layers.add(layer, color=colour)
    space = doc.modelspace()
    for contour in drawing.contours:
        _add_contour(space, contour * [scale, scale, 1.0], form)
    for x, z, r in drawing.circles * scale:
        space.add_circle((x, z), r, dxfattribs={"layer": CUT})
    for x, z, half in drawing.crosses * scale:
        for dx, dz in ((half, 0.0), (0.0, half)):
            ends = (x - dx, z - dz), (x + dx, z + dz)
            space.add_line(*ends, dxfattribs={"layer": MARK})
    _set_extents(doc, [scale * side for side in drawing.box])
    stream = io.StringIO()
    doc.write(stream)
    return stream.getvalue()


def _add_contour(space: Any, contour: NDArray[np.float64], form: Form) -> None:
    rows = [tuple(map(float, row + 0.0)) for row in contour]
    style = {"layer": CUT}
    if form == "r2010":
        space.add_lwpolyline(rows, format="xyb", close=True, dxfattribs=style)
    elif form == "r12":
        space.add_polyline2d(rows, format="xyb", close=True, dxfattribs=style)
    else:
        for row, ahead in zip(rows, [*rows[1:], rows[0]], strict=True):
            _add_piece(space, row, ahead[:2])


def _add_piece(space: Any, row: tuple[float, ...], end: tuple[float, ...]) -> None:
    x, z, bulge = row
    style = {"layer": CUT}
    if bulge == 0.0:
        space.add_line((x, z), end, dxfattribs=style)
        return
    centre, radius = _circle_of(complex(x, z), complex(*end), bulge)
    way = [_degrees(complex(x, z) - centre), _degrees(complex(*end) - centre)]
    # The format's arcs run anticlockwise only.
    first, last = way if bulge > 0.0 else way[::-1]
    middle = (centre.real, centre.imag)
    space.add_arc(middle, radius, first, last, dxfattribs=style)


def _circle_of(a: complex, b: complex, bulge: float) -> tuple[complex, float]:
    """Centre and radius of an arc by its chord: r = c (1 + b^2) / 4 b."""
    centre = 0.5 * (a + b) + 0.25j * (b - a) * (1.0 - bulge**2) / bulge
    return centre, abs(b - a) * (1.0 + bulge**2) / (4.0 * abs(bulge))


def _degrees(direction: complex) -> float:
    """Angle in [0, 360): some readers refuse a negative one."""
    angle = math.degrees(math.atan2(direction.imag, direction.real)) % 360.0
    return 0.0 if angle == 360.0 else angle  # % rounds -1e-17 up to 360


def _set_extents(doc: Any, box: Sequence[float]) -> None:
    """Through the layouts, from which the header is written, and in the header too.

    The writer takes a lower left corner at the origin for one not set, and would leave
    1e+20 there; some programs then show an empty page.
    """
    ends = [round(end, _DUST) + 0.0 for end in box]  # no minus zero
    low, high = (*ends[:2], 0.0), (*ends[2:], 0.0)
    for layout in doc.layouts:
        layout.reset_extents(low, high)
        layout.reset_limits(low[:2], high[:2])
    doc.header["$EXTMIN"], doc.header["$EXTMAX"] = low, high


def _with_unit(text: str, unit: Unit) -> str:
    """Put both units into a header that lacks one, as R12's does."""
    for name, value in zip(
        ("$INSUNITS", "$MEASUREMENT"), HEADER_UNITS[unit], strict=True
    ):
        if name not in text:
            at = text.index("  9\n$INSBASE\n")
            text = f"{text[:at]}  9\n{name}\n 70\n{value}\n{text[at:]}"
    return text


def _plain(note: str) -> str:
    """One line of printable ASCII: what every reader's comment holds."""
    words = " ".join(note.split())
    return "".join(c if " " <= c <= "~" else "?" for c in words)[:200]


@contextlib.contextmanager
def _reproducible() -> Iterator[None]:
    """No dates, no random names, and no word about units that we set ourselves."""
    import ezdxf

    log = logging.getLogger("ezdxf")
    option, level = ezdxf.options.write_fixed_meta_data_for_testing, log.level
    ezdxf.options.write_fixed_meta_data_for_testing = True
    log.setLevel(logging.CRITICAL)
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = option
        log.setLevel(level)

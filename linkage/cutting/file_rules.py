"""Rules about the file itself: what stands in it and how it is written.

Each takes the part as read and what was meant, and yields a sentence a fault.
"""

import math
from collections.abc import Iterator

import numpy as np

from export.dxf import CUT, HEADER_UNITS, MARK, MM
from linkage.cutting.meant import EXACT, Meant
from linkage.cutting.part import CutPart

#: $ACADVER of each form.
VERSION = {"r12": "AC1009", "r2010": "AC1024", "pieces": "AC1009"}
#: Entities that each form may have on the cut layer.
KINDS = {
    "r12": {"POLYLINE", "CIRCLE"},
    "r2010": {"LWPOLYLINE", "CIRCLE"},
    "pieces": {"LINE", "ARC", "CIRCLE"},
}


def header(part: CutPart, meant: Meant) -> Iterator[str]:
    """The DXF version is that of the form asked for."""
    version = part.file.header.get("$ACADVER", {}).get(1, "none")
    if version != VERSION[meant.form]:
        yield f"the version is {version}, form {meant.form} is {VERSION[meant.form]}"


def unit(part: CutPart, meant: Meant) -> Iterator[str]:
    """Both unit entries of the header say the unit: readers use one or the other."""
    wanted = HEADER_UNITS[meant.unit]
    for name, value in zip(("$INSUNITS", "$MEASUREMENT"), wanted, strict=True):
        found = part.file.header.get(name, {}).get(70, "missing").strip()
        if found != str(value):
            yield f"{name} is {found}, {meant.unit} wants {value}"


def entities(part: CutPart, meant: Meant) -> Iterator[str]:
    """Nothing but what the form cuts, on its layer, in the model."""
    if part.file.blocks:
        yield f"{part.file.blocks} entities are hidden in blocks"
    for item in part.file.items:
        if item.layer not in (CUT, MARK):
            yield f"line {item.line}: {item.kind} on layer {item.layer!r}"
        elif item.layer == MARK and item.kind != "LINE":
            yield f"line {item.line}: {item.kind} among the marks"
        elif item.layer == CUT and item.kind not in KINDS[meant.form]:
            yield f"line {item.line}: {item.kind} is nothing to cut in this form"
        elif item.numbers.get(67, 0.0):
            yield f"line {item.line}: {item.kind} lies on a sheet, not in the model"


def flat(part: CutPart, _: Meant) -> Iterator[str]:
    """No height, thickness or tilt."""
    for item in part.file.items:
        if not item.flat:
            yield f"line {item.line}: {item.kind} leaves the plane z = 0"


def counts(part: CutPart, meant: Meant) -> Iterator[str]:
    """As many entities as meant: some readers take a part of a file for the whole."""
    for found, wanted, what in (
        (len(part.loops), 1, "contours of lines and arcs"),
        (len(part.circles), len(meant.circles), "circles"),
        (len(part.marks), 2 * len(meant.crosses), "lines of marks"),
    ):
        if found != wanted:
            yield f"{found} {what}, {wanted} were meant"


def readable_arcs(part: CutPart, _: Meant) -> Iterator[str]:
    """No arc that some reader drops, refuses or bends the wrong way."""
    for item in part.file.items:
        rows = item.contour()
        if len(rows) and np.max(np.abs(rows[:, 2])) > 1.0 + 1e-9:
            yield f"line {item.line}: an arc of more than half a turn in a polyline"
        if len(rows) and rows[-1, 2] != 0.0 and np.any(rows[:, 2] == 0.0):
            yield f"line {item.line}: the closing piece is an arc, which some lose"
        angles = [item.numbers.get(code, 0.0) for code in (50, 51)]
        if item.kind == "ARC" and not all(0.0 <= angle < 360.0 for angle in angles):
            yield f"line {item.line}: an arc's angle is outside 0 to 360"


def size(part: CutPart, meant: Meant) -> Iterator[str]:
    """The part measures what was meant, and the header says so too."""
    if not part.outlines:
        yield "there is nothing to measure"
        return
    low, high = part.box
    off = high - low - meant.size
    if max(abs(off.real), abs(off.imag)) > EXACT:
        yield f"it measures {_wide(high - low, meant)}, not {_wide(meant.size, meant)}"
    told = [_header_point(part, name) for name in ("$EXTMIN", "$EXTMAX")]
    if not max(abs(told[0] - low), abs(told[1] - high)) <= EXACT:
        yield "the extents in the header are not those of the part"


def _header_point(part: CutPart, name: str) -> complex:
    values = part.file.header.get(name, {})
    scale = MM.get(part.unit, 1.0)
    try:
        return complex(float(values[10]), float(values[20])) * scale
    except (KeyError, ValueError):
        return complex(math.nan, math.nan)


def _wide(size: complex, meant: Meant) -> str:
    return f"{meant.said(size.real, 3)} x {meant.said(size.imag, 3)}"

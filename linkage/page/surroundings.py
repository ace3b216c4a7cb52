"""What lies round the pedals: how far the drawing reaches, far ends, floor and marks."""

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from linkage.design.records import Design
from linkage.page.frames import cable_ends, point
from linkage.page.staged import Look
from linkage.places import Places
from linkage.sheets.furniture import fixtures_of
from linkage.sheets.staging import line_of

Row = dict[str, Any]

#: mm: from the car to what lies beyond a cable, and how far floors run past it all.
APART, BESIDE = 60.0, 40.0


def extents_of(
    looks: Iterable[Look], lengths: Sequence[Row]
) -> dict[int, tuple[complex, complex]]:
    """Return the lower and upper corner of each frame."""
    reach: dict[int, list[complex]] = {0: []}
    for look in looks:
        for frame, at in look.frames.reach.items():
            reach.setdefault(frame, []).extend(p for p in at if math.isfinite(abs(p)))
    for row in lengths:
        reach[row["frame"]] += [complex(*row[end]) for end in ("a", "b") if row[end]]
    return {frame: _corners(at) for frame, at in sorted(reach.items())}


def _corners(at: Sequence[complex]) -> tuple[complex, complex]:
    if not at:
        return 0j, 100 + 100j
    x, z = [p.real for p in at], [p.imag for p in at]
    return complex(min(x), min(z)), complex(max(x), max(z))


def offsets_of(extents: Mapping[int, tuple[complex, complex]]) -> dict[int, complex]:
    """Return how each frame is shifted: far ends stand ahead of the car, hung in a row."""
    high = extents[0][1]
    right, found = high.real + APART, {0: 0j}
    for frame, (first, last) in extents.items():
        if frame:
            found[frame] = complex(right - first.real, high.imag - last.imag)
            right += last.real - first.real + APART
    return found


def drawn_extent(
    extents: Mapping[int, tuple[complex, complex]], offsets: Mapping[int, complex]
) -> list[float]:
    """Return left, low, right and high end of all that is drawn."""
    corners = [p + offsets[k] for k, pair in extents.items() for p in pair]
    low, high = _corners(corners)
    return [round(x, 2) for x in (low.real, low.imag, high.real, high.imag)]


def frame_rows(design: Design, offsets: Mapping[int, complex]) -> list[Row]:
    """Return where each frame is drawn, and what lies in it."""
    titles = cable_ends(design)
    return [
        {"id": frame, "offset": point(shift), "title": titles.get(frame)}
        for frame, shift in offsets.items()
    ]


def fixed_of(design: Design, places: Places, extent: tuple[complex, complex]) -> Row:
    """Return floor and bulkhead, cut a little past the parts, things and marks."""
    marks = design.footwell.marks
    return {
        "floor": _cut(line_of(design, "floor", places), extent, upright=False),
        "bulkhead": _cut(line_of(design, "bulkhead", places), extent, upright=True),
        "things": [
            {
                "name": each.name,
                "paths": [[point(p) for p in outline] for outline in each.outlines],
            }
            for each in fixtures_of(design)
        ],
        "marks": [
            {"way": way, "text": text, "place": 0.0}
            for way, text in (("back", marks.back), ("up", marks.up))
            if text
        ],
    }


def _cut(
    line: tuple[complex, complex] | None,
    extent: tuple[complex, complex],
    *,
    upright: bool,
) -> list[list[float] | None] | None:
    if line is None:
        return None
    turn = 1j if upright else 1 + 0j
    a, b = sorted((p / turn if upright else p for p in line), key=lambda p: p.real)
    ends = [_along(corner, upright) for corner in extent]
    low, high = min(ends) - BESIDE, max(ends) + BESIDE
    span = (b - a).real
    if span == 0.0:
        return [point(a * turn), point(b * turn)]
    cut = [
        a + (b - a) * ((min(max(p.real, low), high) - a.real) / span) for p in (a, b)
    ]
    return [point(p * turn) for p in cut]


def _along(corner: complex, upright: bool) -> float:
    return corner.imag if upright else corner.real

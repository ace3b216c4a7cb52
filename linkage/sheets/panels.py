"""Curves against pad travel, one under another on one axis of travel.

Targets are tinted bands with their edges drawn and their words beside them; what cannot
be passed is a hatched wall. Curves differ by dash as well as by colour and carry their
names at their ends.
"""

import math
from collections.abc import Sequence

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from export.lettering import text_width
from export.shapes import Line, Path, Shape, Text, rectangle
from linkage.sheets.axes import (
    Axes,
    grid,
    travel_numbers,
    value_numbers,
    value_range,
)
from linkage.sheets.box import Box
from linkage.sheets.draughting import dot, hatch
from linkage.sheets.panel_words import word_shapes
from linkage.sheets.scene import Band, Panel, Series, Wall

_SIZE = 2.5
_LEFT = 17.0  # room for the numbers of the upright axis
_NAMES = 24.0  # room for names at the right ends, at least
_FOOT = 9.0  # room for the numbers of the axis of travel
_ONE_COLUMN = 3
_ABREAST = 3
_GAP = 7.0  # between panels, with the name of the next
_WALL = 1.8  # thickness of a wall on paper


def panel_rows(count: int, *, wide: bool = False) -> int:
    """Return how many rows ``count`` panels take: over three, they stand in pairs.

    On a ``wide`` page they stand in threes.
    """
    if wide:
        return math.ceil(count / _ABREAST)
    return count if count <= _ONE_COLUMN else math.ceil(count / 2)


def panel_shapes(
    panels: Sequence[Panel], room: Box, *, wide: bool = False
) -> tuple[Shape, ...]:
    """Return the panels in ``room``, down a column and then down the next."""
    rows = panel_rows(len(panels), wide=wide)
    columns = math.ceil(len(panels) / rows) if rows else 0
    width = (room.right - room.left) / max(columns, 1)
    stop = _greatest(panels)
    shapes: list[Shape] = []
    for n in range(columns):
        left = room.left + n * width
        part = replace(room, left=left, right=left + width)
        shapes += _column(panels[n * rows : (n + 1) * rows], part, rows, stop)
    return tuple(shapes)


def _column(panels: Sequence[Panel], room: Box, rows: int, stop: float) -> list[Shape]:
    tall = (room.top - room.bottom - _FOOT - _GAP * rows) / rows
    names = _names_width(panels)
    shapes: list[Shape] = []
    for n, panel in enumerate(panels):
        top = room.top - _GAP - n * (tall + _GAP)
        box = Box(
            left=room.left + _LEFT,
            bottom=top - tall,
            right=room.right - names,
            top=top,
        )
        axes = Axes(box=box, travel=(0.0, stop), value=value_range(panel))
        shapes += _panel(panel, axes, room.right, last=n == len(panels) - 1)
    return shapes


def _names_width(panels: Sequence[Panel]) -> float:
    several = [s.name for p in panels for s in p.series if len(p.series) > 1]
    return max([_NAMES, *(text_width(name, _SIZE) + 5.0 for name in several)])


def _greatest(panels: Sequence[Panel]) -> float:
    ends = [float(np.max(s.travel)) for panel in panels for s in panel.series]
    return max(ends, default=1.0) or 1.0


def _panel(panel: Panel, axes: Axes, right: float, *, last: bool) -> list[Shape]:
    box = axes.box
    corners = complex(box.left, box.bottom), complex(box.right, box.top)
    curves = [
        Path(runs=_runs(s, axes), role=f"series {n % 6 + 1}")
        for n, s in enumerate(panel.series)
    ]
    bands = [shape for band in panel.bands for shape in _band(band, axes)]
    walls = [shape for wall in panel.walls for shape in _wall(wall, axes)]
    edge = rectangle(*corners, "axis")
    spots = [dot(axes.at(s.travel, s.value), 0.8) for s in panel.spots]
    labels = word_shapes(panel, axes, right, [*curves, *bands, *walls, edge])
    numbers = [
        *value_numbers(axes),
        *(travel_numbers(axes, panel.along) if last else ()),
    ]
    return [
        *(shape for shape in bands if shape.role == "band"),
        *grid(axes),
        *(shape for shape in bands if shape.role != "band"),
        *walls,
        edge,
        *curves,
        *spots,
        *numbers,
        _heading(panel, axes),
        *labels,
    ]


def _runs(series: Series, axes: Axes) -> tuple[tuple[complex, ...], ...]:
    """Return the stretches of a curve that have values."""
    good = np.isfinite(series.values)
    runs: list[tuple[complex, ...]] = []
    for part in _stretches(good):
        points = tuple(
            axes.at(float(t), float(v))
            for t, v in zip(series.travel[part], series.values[part], strict=True)
        )
        runs.append(points)
    return tuple(runs)


def _stretches(good: NDArray[np.bool_]) -> list[slice]:
    edges = np.flatnonzero(
        np.diff(np.concatenate([[False], good, [False]]).astype(int))
    )
    pairs = zip(edges[::2], edges[1::2], strict=True)
    return [slice(int(a), int(b)) for a, b in pairs if b - a > 1]


def _heading(panel: Panel, axes: Axes) -> Text:
    unit = f", {panel.unit}" if panel.unit else ""
    at = complex(axes.box.left, axes.box.top + 1.8)
    return Text(at=at, text=panel.name + unit, role="letters", size=3.0, bold=True)


def _band(band: Band, axes: Axes) -> list[Path | Line]:
    low = axes.value[0] if band.low is None else band.low
    high = axes.value[1] if band.high is None else band.high
    start, stop = max(band.start, axes.travel[0]), min(band.stop, axes.travel[1])
    a, b = axes.at(start, low), axes.at(stop, high)
    if b.real - a.real < 1.6:  # a target at one place: wide enough to be seen
        a, b = a - 0.8, b + 0.8
        inward = min(0.0, axes.box.right - b.real) + max(0.0, axes.box.left - a.real)
        a, b = a + inward, b + inward
    edges = [
        *([] if band.low is None else [Line(a, complex(b.real, a.imag), "band edge")]),
        *([] if band.high is None else [Line(complex(a.real, b.imag), b, "band edge")]),
    ]
    return [rectangle(a, b, "band"), *edges]


def _wall(wall: Wall, axes: Axes) -> list[Path | Line]:
    y = axes.y(wall.value)
    a, b = complex(axes.box.left, y), complex(axes.box.right, y)
    block = (a, b, b + 1j * _WALL, a + 1j * _WALL)
    return [hatch(block, "wall hatch", gap=1.1), Line(a, b, "wall")]

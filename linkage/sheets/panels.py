"""Curves against pad travel, one under another on one axis of travel.

Targets are tinted bands with their edges drawn and their words beside them; what cannot
be passed is a hatched wall. Curves differ by dash as well as by colour and carry their
names at their ends.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from export.lettering import text_width
from export.shapes import Line, Path, Shape, Text, rectangle
from linkage.sheets.draughting import dot, hatch
from linkage.sheets.labels import Box, Label, ink_points, place_labels, text_box
from linkage.sheets.scene import Band, Panel, Series, Spot, Wall

_SIZE = 2.5
_LEFT = 17.0  # room for the numbers of the upright axis
_NAMES = 24.0  # room for names at the right ends, at least
_FOOT = 9.0  # room for the numbers of the axis of travel
_ONE_COLUMN = 3
_GAP = 7.0  # between panels, with the name of the next
_WALL = 1.8  # thickness of a wall on paper


@dataclass(frozen=True, kw_only=True, slots=True)
class Axes:
    """Where travel and value lie on paper."""

    box: Box
    travel: tuple[float, float]
    value: tuple[float, float]

    def at(self, travel: float, value: float) -> complex:
        """Return the place on paper."""
        return complex(self.x(travel), self.y(value))

    def x(self, travel: float) -> float:
        """Return the place along."""
        low, high = self.travel
        part = (travel - low) / (high - low)
        return self.box.left + part * (self.box.right - self.box.left)

    def y(self, value: float) -> float:
        """Return the height."""
        low, high = self.value
        part = (value - low) / (high - low)
        return self.box.bottom + part * (self.box.top - self.box.bottom)


def panel_rows(count: int) -> int:
    """Return how many rows ``count`` panels take: over three, they stand in pairs."""
    return count if count <= _ONE_COLUMN else math.ceil(count / 2)


def panel_shapes(panels: Sequence[Panel], room: Box) -> tuple[Shape, ...]:
    """Return the panels in ``room``, down a column and then down the next."""
    rows = panel_rows(len(panels))
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


def value_range(panel: Panel) -> tuple[float, float]:
    """Return least and greatest value that a panel shows, with room at both ends."""
    every = [s.values[np.isfinite(s.values)] for s in panel.series]
    found = (
        np.concatenate([*every, _limits(panel)]) if every else np.array(_limits(panel))
    )
    if not len(found):
        return 0.0, 1.0
    low, high = float(found.min()), float(found.max())
    least = 0.02 * max(abs(low), abs(high), 1.0)  # a flat line is not blown up
    room = max(0.1 * (high - low), least)
    return low - room, high + room


def _limits(panel: Panel) -> list[float]:
    edges = [v for b in panel.bands for v in (b.low, b.high) if v is not None]
    return edges + [wall.value for wall in panel.walls]


def round_steps(low: float, high: float, most: int) -> list[float]:
    """Return at most ``most`` round numbers (1, 2 or 5 apart) from low to high."""
    raw = (high - low) / most
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(m * power for m in (1.0, 2.0, 5.0, 10.0, 20.0) if m * power >= raw)
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [n * step + 0.0 for n in range(first, last + 1)]


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
    labels = _labels(panel, axes, right, [*curves, *bands, *walls, edge])
    numbers = [*_value_numbers(axes), *(_travel_numbers(axes) if last else ())]
    return [
        *(shape for shape in bands if shape.role == "band"),
        *_grid(axes),
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


def _grid(axes: Axes) -> list[Shape]:
    box = axes.box
    levels = [axes.y(v) for v in _value_steps(axes)]
    columns = [axes.x(t) for t in _travel_steps(axes)]
    return [
        *(Line(complex(box.left, y), complex(box.right, y), "grid") for y in levels),
        *(Line(complex(x, box.bottom), complex(x, box.top), "grid") for x in columns),
    ]


def _value_steps(axes: Axes) -> list[float]:
    """Return the finest round numbers whose letters do not touch."""
    for most in (8, 6, 5, 4, 3):
        steps = round_steps(*axes.value, most)
        if all(axes.y(b) - axes.y(a) > 4.6 for a, b in pairwise(steps)):
            return steps
    return round_steps(*axes.value, 2)


def _travel_steps(axes: Axes) -> list[float]:
    width = axes.box.right - axes.box.left
    return round_steps(*axes.travel, max(2, int(width / 11.0)))


def _value_numbers(axes: Axes) -> list[Shape]:
    steps = _value_steps(axes)
    digits = _digits(steps)
    x = axes.box.left
    found: list[Shape] = []
    for value in steps:
        y = axes.y(value)
        found.append(Line(complex(x - 1.2, y), complex(x, y), "axis"))
        found.append(
            Text(
                at=complex(x - 2.0, y - _SIZE / 2),
                text=f"{value:.{digits}f}",
                role="letters",
                anchor="end",
            )
        )
    return found


def _travel_numbers(axes: Axes) -> list[Shape]:
    steps = _travel_steps(axes)
    digits = _digits(steps)
    y = axes.box.bottom
    found: list[Shape] = [
        Text(
            at=complex(axes.box.right + 5.0, y - 5.0),
            text="mm of pad",
            role="letters",
        )
    ]
    for travel in steps:
        x = axes.x(travel)
        found.append(Line(complex(x, y - 1.2), complex(x, y), "axis"))
        found.append(
            Text(
                at=complex(x, y - 5.0),
                text=f"{travel:.{digits}f}",
                role="letters",
                anchor="middle",
            )
        )
    return found


def _digits(steps: Sequence[float]) -> int:
    gap = steps[1] - steps[0] if len(steps) > 1 else 1.0
    return max(0, -math.floor(math.log10(gap) + 1e-9))


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


def _labels(
    panel: Panel, axes: Axes, right: float, drawn: Sequence[Shape]
) -> list[Shape]:
    box = axes.box
    frame = Box(
        left=box.left + 0.5,
        bottom=box.bottom + 0.2,
        right=right,
        top=box.top - 0.2,
    )
    labels = [
        *(_band_label(b, axes) for b in panel.bands if b.text),
        *(_wall_label(w, axes) for w in panel.walls),
        *(_spot_label(s, axes) for s in panel.spots),
    ]
    leaders, names = _series_names(panel, axes)
    taken = [text_box(name) for name in names]
    placed, _ = place_labels(
        labels, frame=frame, taken=taken, ink=ink_points((*drawn, *leaders), 0.8)
    )
    return [*leaders, *names, *(s for p in placed for s in p.shapes())]


def _series_names(panel: Panel, axes: Axes) -> tuple[list[Shape], list[Text]]:
    """Names to the right of the curves' ends, in the order of the ends."""
    if len(panel.series) < 2:
        return [], []
    ends = sorted(
        ((_end(series, axes), series.name) for series in panel.series),
        key=lambda end: end[0].imag,
    )
    heights = spaced([end.imag for end, _ in ends], 3.9)
    x = axes.box.right + 4.0
    leaders: list[Shape] = [
        Line(end, complex(x - 0.6, y), "leader")
        for (end, _), y in zip(ends, heights, strict=True)
    ]
    names = [
        Text(at=complex(x, y - _SIZE / 2), text=name, role="letters")
        for (_, name), y in zip(ends, heights, strict=True)
    ]
    return leaders, names


def _end(series: Series, axes: Axes) -> complex:
    good = np.flatnonzero(np.isfinite(series.values))
    if not len(good):
        return complex(axes.box.right, axes.box.bottom)
    last = int(good[-1])
    return axes.at(float(series.travel[last]), float(series.values[last]))


def spaced(heights: Sequence[float], gap: float) -> list[float]:
    """Return rising ``heights`` moved apart by ``gap`` at least, their mean kept."""
    moved: list[float] = []
    for height in heights:
        moved.append(max(height, moved[-1] + gap) if moved else height)
    shift = sum(moved) - sum(heights)
    return [height - shift / len(moved) for height in moved]


def _band_label(band: Band, axes: Axes) -> Label:
    value = band.high if band.high is not None else band.low
    middle = axes.at((band.start + band.stop) / 2, value if value is not None else 0.0)
    return Label(lines=(band.text,), at=middle, role="band letters", towards=1j)


def _wall_label(wall: Wall, axes: Axes) -> Label:
    start = axes.box.left + text_width(wall.text, _SIZE) / 2 + 3.0
    at = complex(start, axes.y(wall.value))
    return Label(
        lines=(wall.text,), at=at, role="wall letters", towards=-1j, weight=1.0
    )


def _spot_label(spot: Spot, axes: Axes) -> Label:
    at = axes.at(spot.travel, spot.value)
    return Label(lines=(spot.text,), at=at, weight=3.0)

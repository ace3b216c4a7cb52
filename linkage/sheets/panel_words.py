"""Words on a panel: names of curves, targets, walls and spots."""

from collections.abc import Sequence

import numpy as np
from msgspec.structs import replace

from export.lettering import text_width
from export.shapes import Line, Shape, Text
from linkage.sheets.axes import Axes
from linkage.sheets.box import Box, text_box
from linkage.sheets.labels import Label, place_labels
from linkage.sheets.scene import Band, Panel, Series, Spot, Wall
from linkage.sheets.traces import ink_points

_SIZE = 2.5


def word_shapes(
    panel: Panel, axes: Axes, right: float, drawn: Sequence[Shape]
) -> list[Shape]:
    """Return names and words with their leaders, clear of what is ``drawn``.

    Words stand in the axes' box; what has no room there right of it, up to ``right``,
    mm on paper.
    """
    box = axes.box
    frame = Box(
        left=box.left + 0.5,
        bottom=box.bottom + 0.2,
        right=box.right - 0.5,
        top=box.top - 0.2,
    )
    labels = [
        *(_band_label(b, axes) for b in panel.bands if b.text),
        *(_wall_label(w, axes) for w in panel.walls),
        *(_spot_label(s, axes) for s in panel.spots),
    ]
    leaders, names = _series_names(panel, axes)
    taken = [text_box(name) for name in names]
    ink = ink_points((*drawn, *leaders), 0.8)
    placed, homeless = place_labels(labels, frame=frame, taken=taken, ink=ink)
    taken += [each.box for each in placed]
    wide = replace(frame, right=right)
    beside, _ = place_labels(homeless, frame=wide, taken=taken, ink=ink)
    return [*leaders, *names, *(s for p in (*placed, *beside) for s in p.shapes())]


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
    return Label(
        lines=(band.text,), at=middle, role="band letters", towards=1j, weight=4.0
    )


def _wall_label(wall: Wall, axes: Axes) -> Label:
    start = axes.box.left + text_width(wall.text, _SIZE) / 2 + 3.0
    at = complex(start, axes.y(wall.value))
    return Label(
        lines=(wall.text,), at=at, role="wall letters", towards=-1j, weight=1.0
    )


def _spot_label(spot: Spot, axes: Axes) -> Label:
    at = axes.at(spot.travel, spot.value)
    return Label(lines=(spot.text,), at=at, weight=3.0)

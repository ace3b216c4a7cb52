"""Bores and holes on one sheet: foot against pad at the stop, a curve a hole."""

from collections.abc import Iterator, Sequence

import numpy as np

from export.lettering import clean, wrap
from export.shapes import Drawing, Shape, Text
from export.tiling import PAPERS
from linkage.design.records import Design
from linkage.ladder.climb import Ladder
from linkage.ladder.judging import Judged
from linkage.last_word import SHEET
from linkage.sheets.box import Box
from linkage.sheets.framing import HEAD, MARGIN, SIZE, heading, small_print
from linkage.sheets.ink import STYLES
from linkage.sheets.panels import panel_shapes
from linkage.sheets.scene import Band, Panel, Series, Spot, Wall
from linkage.sheets.stamp import stamp_of
from linkage.units import out_of, say
from linkage.words.effort import SCALES, Scale
from linkage.words.ladder import bore_text, hole_text, stop_text
from linkage.words.speech import Speech

_FOOT = 22.0
#: More holes than curves can be told apart.
_MOST = 6


def ladder_picture(design: Design, ladder: Ladder, judged: Judged | None) -> Drawing:
    """Return the sheet of a ladder: A4, in inches letter, upright."""
    scale, speech = SCALES[design.units], Speech(design.units)
    width, height = PAPERS["letter" if design.units == "in" else "a4"]
    stamp = stamp_of(design)
    name = ladder.rig.rest.pedal.name
    title = f"{design.title}: {name}" if design.title else name
    room = Box(
        left=MARGIN,
        bottom=MARGIN + _FOOT,
        right=width - MARGIN,
        top=height - MARGIN - HEAD,
    )
    panels = tuple(_panels(ladder, judged, speech, scale))
    return Drawing(
        title=f"{title}, bores and holes",
        width=width,
        height=height,
        items=(
            *heading(
                f"{title}, bores and holes", stop_text(ladder, scale), width, height
            ),
            *panel_shapes(panels, room),
            Text(
                at=complex((room.left + room.right) / 2.0, room.bottom),
                text=f"{speech.units} of pad at the stop",
                role="letters",
                anchor="middle",
            ),
            *_foot(ladder, speech, stamp.line, width),
        ),
        styles=STYLES,
        mark=stamp.mark,
    )


def _panels(
    ladder: Ladder, judged: Judged | None, speech: Speech, scale: Scale
) -> Iterator[Panel]:
    foot = say(ladder.foot, *scale.force)
    wanted = [
        ("effort", "foot at the stop", scale.force[0]),
        ("at_foot", f"in the lines at {foot}", scale.pressure[0]),
    ]
    if ladder.dead is not None:
        wanted.insert(
            1, ("dead", "foot, booster dead, at the least stop", scale.force[0])
        )
    for what, name, unit in wanted:
        yield _panel(ladder, judged, what, name, unit, speech)


def _panel(
    ladder: Ladder,
    judged: Judged | None,
    what: str,
    name: str,
    unit: str,
    speech: Speech,
) -> Panel:
    values = getattr(ladder, what) * out_of(1.0, unit)
    inch = 1.0 if speech.units == "mm" else 25.4
    bands, walls = _limits(ladder, judged, what, unit, inch)
    return Panel(
        name=name,
        unit=unit,
        along="",
        series=tuple(
            _series(
                ladder.travel[i] / inch,
                values[i],
                hole_text(hole, speech).partition(" from")[0],
            )
            for i, hole in enumerate(ladder.holes[:_MOST])
            if np.sum(np.isfinite(ladder.travel[i])) > 1
        ),
        bands=bands,
        walls=walls,
        spots=tuple(_spots(ladder, values, speech, inch)),
    )


def _series(travel: np.ndarray, values: np.ndarray, name: str) -> Series:
    """Return one hole's curve, by rising travel: the largest bore first."""
    there = np.isfinite(travel)
    order = np.argsort(travel[there])
    return Series(name=name, travel=travel[there][order], values=values[there][order])


def _spots(
    ladder: Ladder, values: np.ndarray, speech: Speech, inch: float
) -> Iterator[Spot]:
    """Yield a dot for each bore of the present hole, with its name."""
    i = next(k for k, hole in enumerate(ladder.holes) if hole.present)
    for j, bore in enumerate(ladder.bores):
        x, y = ladder.travel[i, j] / inch, values[i, j]
        if np.isfinite(x) and np.isfinite(y):
            now = " now" if bore.present else ""
            yield Spot(
                travel=float(x), value=float(y), text=f"{bore_text(bore, speech)}{now}"
            )


def _limits(
    ladder: Ladder, judged: Judged | None, what: str, unit: str, inch: float
) -> tuple[tuple[Band, ...], tuple[Wall, ...]]:
    """Return the window that is ok, and what may not be passed."""
    limit = None if judged is None else judged.limits.get(what)
    if judged is None or limit is None:
        return (), ()
    pad = judged.limits["travel"]
    whole = float(np.nanmax(ladder.travel)) / inch
    high, over = (out_of(x, unit) for x in (limit.most, limit.fail_over))
    band = Band(
        start=max(pad.least, 0.0) / inch,
        stop=min(pad.most / inch, whole),
        low=None,
        high=high,
        text="ok",
    )
    return (band,), (Wall(value=over, text=f"{over:.0f} {unit}"),)


def _foot(ladder: Ladder, speech: Speech, line: str, width: float) -> Iterator[Shape]:
    here = next(hole for hole in ladder.holes if hole.present)
    said: Sequence[str] = [
        f"A curve a hole, by its distance from the pivot; dots are bores in the present "
        f"hole, {hole_text(here, speech)}."
    ]
    if np.any(ladder.short):
        said = [*said, "Where lines fall to the right, the pedal ends before the foot."]
    if len(ladder.holes) > _MOST:
        said = [*said, f"{len(ladder.holes) - _MOST} more holes are in the table."]
    lines = [*wrap(clean(" ".join(said)), SIZE, width - 2.0 * MARGIN)]
    lines += wrap(SHEET, SIZE, width - 2.0 * MARGIN)
    return small_print([*lines, line], MARGIN + _FOOT - 9.0)

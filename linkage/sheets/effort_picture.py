"""A pedal under load on one sheet: effort and forces against the pad's travel."""

from collections.abc import Iterator

import numpy as np

from export.lettering import wrap
from export.shapes import Drawing, Shape, Text
from export.tiling import PAPERS
from linkage.design.records import Design
from linkage.last_word import SHEET
from linkage.parts.balance_bar import BalanceBar
from linkage.pressing.press import Loaded
from linkage.sheets.box import Box
from linkage.sheets.framing import HEAD, MARGIN, SIZE, heading, small_print
from linkage.sheets.ink import STYLES
from linkage.sheets.panels import panel_shapes
from linkage.sheets.scene import Panel, Series
from linkage.sheets.stamp import stamp_of
from linkage.units import out_of
from linkage.words.effort import (
    FINE,
    SCALES,
    Columns,
    Scale,
    guess_count,
    same_home,
    stated_text,
)
from linkage.words.speech import Speech

_FOOT = 14.0
#: What is drawn, in order: the panel's name, then each curve's column and name.
_PANELS = (
    ("foot", (("effort", "pressing"), ("effort_returning", "way home"))),
    (
        "on the fluid",
        (("piston_force", "pressing"), ("piston_force_returning", "home")),
    ),
    ("torque", (("end_torque", "pressing"), ("end_torque_returning", "home"))),
    ("rod, + pushed", (("rod_force", "rod"),)),
    ("cable", (("cable_force", "cable"),)),
    ("side, on piston", (("side_force", "side"),)),
    ("on the pivot", (("pivot_force", "pivot"),)),
)


def effort_picture(design: Design, loaded: Loaded) -> Drawing:
    """Return the sheet of a pedal under load: A4, in inches letter, upright."""
    scale, speech = SCALES[design.units], Speech(design.units)
    width, height = PAPERS["letter" if design.units == "in" else "a4"]
    stamp = stamp_of(design)
    columns = loaded.columns(np.linspace(0.0, loaded.travel, FINE).tolist())
    room = Box(
        left=MARGIN,
        bottom=MARGIN + _FOOT,
        right=width - MARGIN,
        top=height - MARGIN - HEAD,
    )
    panels = list(_panels(columns, scale, speech))
    name = loaded.rest.pedal.name
    title = f"{design.title}: {name}, effort" if design.title else f"{name}, effort"
    return Drawing(
        title=title,
        width=width,
        height=height,
        items=(
            *heading(title, stated_text(loaded, scale), width, height),
            *_guesses(guess_count(loaded), width, height),
            *panel_shapes(panels, room),
            *_foot(stamp.line, width),
        ),
        styles=STYLES,
        mark=stamp.mark,
    )


def _panels(columns: Columns, scale: Scale, speech: Speech) -> Iterator[Panel]:
    for name, curves in _PANELS:
        found = [
            (columns[each], f"{side} {word}".strip())
            for column, word in curves
            for side, each in _sided(columns, column)
            if not same_home(columns, each)
        ]
        if not found:
            continue
        unit, _ = scale.of(found[0][0].unit)
        travel = columns["travel"].values / (1.0 if speech.units == "mm" else 25.4)
        yield Panel(
            name=name,
            unit=unit,
            along=f"{speech.units} of pad",
            series=tuple(
                Series(name=word, travel=travel, values=each.values * out_of(1.0, unit))
                for each, word in found
                if np.any(np.isfinite(each.values))
            ),
        )


def _sided(columns: Columns, column: str) -> list[tuple[str, str]]:
    """Return (side, column): of a bar's cylinders each has its own."""
    sides = ("", *BalanceBar.BRANCHES)
    named = ((side, f"{side}_{column}" if side else column) for side in sides)
    return [(side, each) for side, each in named if each in columns]


def _guesses(count: int, width: float, height: float) -> Iterator[Shape]:
    at = complex(width - MARGIN, height - MARGIN - 11.0)
    text = f"guesses: {count}"
    yield Text(at=at, text=text, role="letters", anchor="end", bold=True)


def _foot(line: str, width: float) -> Iterator[Shape]:
    lines = wrap(SHEET, SIZE, width - 2.0 * MARGIN)
    return small_print([*lines, line], MARGIN + _FOOT - 5.0)

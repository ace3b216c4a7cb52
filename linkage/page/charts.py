"""Curves of the page: a quantity of each pedal against travel, in the shown units."""

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
from msgspec.structs import replace

from linkage.page.frames import series
from linkage.parts.balance_bar import BalanceBar
from linkage.sheets.axes import round_steps, value_range
from linkage.sheets.curves import PANELS, panels_of
from linkage.sheets.ruler import RULERS
from linkage.sheets.scene import Band, Panel, Series
from linkage.sweeping import Sweep
from linkage.units import trim
from linkage.words.speech import Speech

#: The panels of the sheets and those that only the page has, the ratio first.
SHOWN = (
    *sorted(PANELS, key=lambda panel: panel[0] != "ratio"),
    *(
        (f"{branch}_{column}", f"{branch} {name}", quantity)
        for column, name, quantity in PANELS
        if column in ("stroke", "rod_angle")
        for branch in BalanceBar.BRANCHES
    ),
    ("crank_angle", "angle at the hole", "crank angle"),
    ("lever_rate", "lever turn a mm of pad", ""),
    ("foot_force", "foot force", ""),
    ("deceleration", "deceleration", ""),
)
#: Columns that no table has, with the decimals in which they are said.
SAID = {"foot_force": 0, "deceleration": 2}
#: Most round numbers beside an axis.
STEPS = 5

Row = dict[str, Any]
Texts = Mapping[str, Mapping[str, Sequence[str]]]


def charts(sweeps: Sequence[Sweep], texts: Texts, speech: Speech) -> list[Row]:
    """Return the panels of some pedals.

    Parameters
    ----------
    sweeps : sequence of Sweep
    texts : mapping
        By pedal and column: the words for each place.
    speech : Speech
    """
    going = [swept for swept in sweeps if len(swept["travel"])]
    columns = [
        column
        for column, _, _ in SHOWN
        if any(column in swept.columns for swept in going)
    ]
    panels = panels_of(going, speech, SHOWN, apart=True)
    limited = {swept.pedal for swept in going if swept.limit is not None}
    return [
        _chart(column, panel, texts, RULERS[speech.units].unit, limited)
        for column, panel in zip(columns, panels, strict=True)
    ]


def _chart(
    column: str, panel: Panel, texts: Texts, unit: float, limited: set[str]
) -> Row:
    """Return a panel: values in the shown units, places of the travel in mm."""
    low, high = _calm(*value_range(_before_limits(panel, limited)))
    own = [_said(column, panel.unit, each) for each in panel.series]
    said = [
        each or list(texts[line.name].get(column, ()))
        for each, line in zip(own, panel.series, strict=True)
    ]
    digits = _decimals(high - low)
    rows = [
        {"pedal": each.name, "values": series(each.values, digits), "said": words}
        for each, words in zip(panel.series, own, strict=True)
    ]
    return {
        "id": column,
        "name": panel.name,
        "unit": panel.unit,
        "span": [_plain(low), _plain(high)],
        "ticks": ticks(low, high),
        "series": rows,
        "bands": [_band(band, unit) for band in panel.bands],
        "walls": [{"value": _plain(w.value), "text": w.text} for w in panel.walls],
        "spots": [
            {
                "travel": _plain(s.travel * unit),
                "value": _plain(s.value),
                "text": s.text,
            }
            for s in panel.spots
        ],
        "summary": "; ".join(
            _summary(each, words)
            for each, words in zip(panel.series, said, strict=True)
        ),
    }


def _said(column: str, unit: str, each: Series) -> list[str] | None:
    """Return the words of a column at each place; None where the table has them."""
    if column not in SAID:
        return None
    return [
        f"{trim(x, SAID[column])} {unit}" if math.isfinite(x) else ""
        for x in each.values.tolist()
    ]


def _band(band: Band, unit: float) -> Row:
    return {
        "from": _plain(band.start * unit),
        "to": _plain(band.stop * unit),
        "low": None if band.low is None else _plain(band.low),
        "high": None if band.high is None else _plain(band.high),
        "text": band.text,
    }


def _before_limits(panel: Panel, limited: set[str]) -> Panel:
    """Return a panel without the last place before a limit, where all may run away."""
    cut = (
        replace(each, values=np.append(each.values[:-1], np.nan))
        if each.name in limited
        else each
        for each in panel.series
    )
    return replace(panel, series=tuple(cut))


def _calm(low: float, high: float) -> tuple[float, float]:
    """Return a range with round ends: it stays the same while a hand moves a little."""
    steps = round_steps(low, high, 2 * STEPS)
    gap = steps[1] - steps[0]
    return gap * math.floor(low / gap), gap * math.ceil(high / gap)


def _decimals(span: float) -> int:
    """Return how many decimals keep a curve smooth: a 10 000th of its chart."""
    return max(1, 4 - math.floor(math.log10(span)))


def _plain(x: float) -> float:
    return round(x, 6) + 0.0


def ticks(low: float, high: float, most: int = STEPS) -> list[list[Any]]:
    """Return round numbers from low to high, each with its text."""
    steps = round_steps(low, high, most)
    gap = steps[1] - steps[0] if len(steps) > 1 else 1.0
    digits = max(0, -math.floor(math.log10(gap) + 1e-9))
    return [[round(x, 9) + 0.0, f"{x:.{digits}f}"] for x in steps]


def _summary(each: Series, texts: Sequence[str]) -> str:
    """Return a curve in words, for those who cannot see it."""
    good = np.flatnonzero(np.isfinite(each.values))
    if not len(good) or len(texts) != len(each.values):
        return f"{each.name}: no value"
    values = each.values[good]
    low, high = (int(good[k]) for k in (np.argmin(values), np.argmax(values)))
    return (
        f"{each.name}: least {texts[low]}, greatest {texts[high]}, "
        f"at rest {texts[int(good[0])]}, at the end {texts[int(good[-1])]}"
    )


def travel_axis(upto: float, speech: Speech) -> Row:
    """Return the common axis of travel: its end in mm, and round places with texts."""
    size = RULERS[speech.units].unit
    most = max(upto, 1.0) / size
    return {
        "name": f"{speech.units} of pad",
        "upto": _plain(upto),
        "ticks": [[x * size, text] for x, text in ticks(0.0, most, 8)],
    }


def column_texts(table: Row) -> Iterator[tuple[str, list[str]]]:
    """Yield (column, words) of a table's columns that a chart may show."""
    for key, rows in zip(table["keys"], table["rows"], strict=True):
        if key is not None:
            yield key, rows

"""Axes, round numbers and spacing of the curves' panels."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from export.shapes import Line, Path, Text
from linkage.sheets.axes import round_steps, value_range
from linkage.sheets.box import Box
from linkage.sheets.panel_words import spaced
from linkage.sheets.panels import panel_shapes
from linkage.sheets.scene import Band, Panel, Series, Wall

ROOM = Box(left=10.0, bottom=10.0, right=200.0, top=60.0)


@given(st.floats(-1e4, 1e4), st.floats(1e-3, 1e4), st.integers(2, 12))
def test_steps_are_round_inside_and_not_too_many(
    low: float, width: float, most: int
) -> None:
    steps = round_steps(low, low + width, most)
    assert len(steps) <= most + 1
    slack = 1e-6 * width
    assert all(low - slack <= s <= low + width + slack for s in steps)
    gaps = np.diff(steps)
    if len(gaps):
        lead = float(f"{gaps[0]:.6e}".split("e")[0])
        assert lead == pytest.approx(round(lead), abs=1e-4)
        assert round(lead) in (1, 2, 5, 10)


@given(st.lists(st.floats(0.0, 50.0), min_size=1, max_size=6))
def test_names_are_moved_apart_and_keep_their_order(heights: list[float]) -> None:
    rising = sorted(heights)
    moved = spaced(rising, 4.0)
    assert all(b - a >= 4.0 - 1e-9 for a, b in pairwise(moved))
    assert np.mean(moved) == pytest.approx(np.mean(rising))


def _panel(values: list[float], **more: object) -> Panel:
    travel = np.linspace(0.0, 100.0, len(values))
    series = Series(name="a", travel=travel, values=np.array(values))
    return Panel(name="Stroke", unit="mm", series=(series,), **more)  # type: ignore[arg-type]


def test_the_range_holds_curve_band_and_wall() -> None:
    low, high = value_range(
        _panel(
            [0.0, 20.0],
            bands=(Band(start=0, stop=9, low=-3.0, high=None),),
            walls=(Wall(value=30.0, text="end"),),
        )
    )
    assert low < -3.0
    assert high > 30.0
    low, high = value_range(_panel([5.0, 5.0]))
    assert high - low > 0.1


def test_a_curve_lies_where_its_axes_say() -> None:
    """A straight curve is a straight line from one side of its box to the other."""
    shapes = panel_shapes([_panel([0.0, 5.0, 10.0])], ROOM)
    (curve,) = [s for s in shapes if isinstance(s, Path) and s.role == "series 1"]
    a, b, c = curve.runs[0]
    assert b == pytest.approx((a + c) / 2)
    (frame,) = [s for s in shapes if isinstance(s, Path) and s.role == "axis"]
    assert a.real == pytest.approx(frame.runs[0][0].real)
    assert c.real == pytest.approx(frame.runs[0][1].real)


def test_numbers_of_the_axes_stand_where_the_curve_has_them() -> None:
    """The curve passes 4 at 40 of pad: the height of "4", and below "40"."""
    shapes = panel_shapes([_panel([0.0, 4.0, 10.0, 2.0])], ROOM)
    texts = {(s.text, s.anchor): s for s in shapes if isinstance(s, Text)}
    (curve,) = [s for s in shapes if isinstance(s, Path) and s.role == "series 1"]
    levels = {value: texts[str(value), "end"].at.imag for value in (0, 10)}
    assert levels[0] < levels[10]
    points = curve.runs[0]
    half = points[0].imag - levels[0]
    assert points[2].imag - levels[10] == pytest.approx(half)
    rise = (levels[10] - levels[0]) / 10
    assert points[1].imag == pytest.approx(levels[0] + half + 4 * rise)
    left, right = (texts[t, "middle"].at.real for t in ("20", "80"))
    along = left + (100 / 3 - 20) / 60 * (right - left)
    assert points[1].real == pytest.approx(along)


def test_a_wall_and_a_band_stand_at_their_values() -> None:
    panel = _panel(
        [0.0, 20.0],
        walls=(Wall(value=10.0, text="end"),),
        bands=(Band(start=25, stop=75, low=5.0, high=15.0),),
    )
    shapes = panel_shapes([panel], ROOM)
    (curve,) = [s for s in shapes if isinstance(s, Path) and s.role == "series 1"]
    (wall,) = [s for s in shapes if isinstance(s, Line) and s.role == "wall"]
    (band,) = [s for s in shapes if isinstance(s, Path) and s.role == "band"]
    a, b = curve.runs[0]
    assert wall.a.imag == pytest.approx(((a + b) / 2).imag)
    assert band.runs[0][0] == pytest.approx(a + (b - a) / 4)
    assert band.runs[0][2] == pytest.approx(a + (b - a) * 3 / 4)


def test_without_values_a_panel_is_empty_not_wrong() -> None:
    shapes = panel_shapes([_panel([np.nan, np.nan])], ROOM)
    (curve,) = [s for s in shapes if isinstance(s, Path) and s.role == "series 1"]
    assert curve.runs == ()
    assert panel_shapes([], ROOM) == ()

"""A picture of an inch design speaks inches: texts, ticks, curves and the bar."""

import cmath
import math
import re
from pathlib import Path

import pytest

from export.shapes import Drawing, Line, Text
from linkage.loading import load
from linkage.sheets.ruler import RULERS
from linkage.sheets.staging import scene_of
from linkage.sheets.sweep_picture import sweep_picture
from linkage.sweeping import sweep
from linkage.writing import pattern_sheets

ROOT = Path(__file__).resolve().parents[3]
DESIGN = load(ROOT / "examples/brake-inches.toml")
#: The inch is 25.4 mm exactly (NIST SP 811).
INCH = 25.4


@pytest.fixture(scope="module")
def drawing() -> Drawing:
    return sweep_picture(scene_of(DESIGN, ("brake",)))


def words(drawing: Drawing) -> list[str]:
    return [item.text for item in drawing.items if isinstance(item, Text)]


def test_no_text_speaks_of_millimetres(drawing: Drawing) -> None:
    assert not [text for text in words(drawing) if re.search(r"\bmm\b", text)]
    for text in ("in of pad", "piston stroke, in", "ticks 1/2 in of pad"):
        assert text in words(drawing)


def test_positions_are_said_in_inches(drawing: Drawing) -> None:
    travel = float(sweep(DESIGN, "brake")["travel"][-1]) / INCH
    said = words(drawing)
    assert f"full {travel:.2f}" in said
    assert f"half way {travel / 2:.2f}" in said
    assert "rest 0" in said


def test_ticks_are_half_inches_along_the_arc() -> None:
    """The chord of a tick is told by the arm's length alone: 2 r sin(s / 2 r)."""
    (group,) = scene_of(DESIGN, ("brake",)).groups
    arm = group.poses[0].arm
    assert arm is not None
    radius = abs(arm.pad - arm.pivot)
    places = [place for _, place in group.ticks]
    full = group.poses[-1].travel
    assert len(places) == int(full / (INCH / 2)) + 1
    for n, place in enumerate(places):
        turn = n * INCH / 2 / radius
        assert place - arm.pivot == pytest.approx(
            (arm.pad - arm.pivot) * cmath.rect(1.0, turn)
        )


def test_long_ticks_have_whole_inches(drawing: Drawing) -> None:
    numbers = [
        item.text
        for item in drawing.items
        if isinstance(item, Text) and item.role == "arc letters"
    ]
    assert {"2", "4"} <= set(numbers)


def test_curves_are_in_inches() -> None:
    stroke = scene_of(DESIGN, ("brake",)).panels[0]
    found = sweep(DESIGN, "brake", positions=len(stroke.series[0].travel))
    assert stroke.series[0].travel * INCH == pytest.approx(found["travel"])
    assert stroke.series[0].values * INCH == pytest.approx(found["stroke"])
    assert [wall.value for wall in stroke.walls] == [pytest.approx(1.0)]
    ratio = scene_of(DESIGN, ("brake",)).panels[1]
    assert ratio.series[0].values == pytest.approx(found["ratio"])
    (band,) = ratio.bands
    assert band.stop * INCH == pytest.approx(60.0, abs=0.5)


def test_the_bar_is_four_inches_at_the_scale(drawing: Drawing) -> None:
    (text,) = [word for word in words(drawing) if "scale" in word]
    found = re.fullmatch(r"4 in, scale 1:(\d+) on A4", text)
    assert found is not None
    bars = [
        abs(item.b - item.a)
        for item in drawing.items
        if isinstance(item, Line) and item.role == "ground"
    ]
    assert min(abs(bar - 4 * INCH / int(found[1])) for bar in bars) < 1e-9


def test_a_metric_ruler_has_tens_and_an_inch_ruler_halves() -> None:
    assert RULERS["mm"].travel(149.4) == "149"
    assert RULERS["in"].travel(149.4) == "5.88"
    assert [RULERS["in"].is_long(n * INCH / 2) for n in range(5)] == [
        *(True, False, False, False, True)
    ]


def test_the_pattern_of_an_inch_design_is_checked_in_inches() -> None:
    """Pivot to pad by Pythagoras from the file's own fractions."""
    pages = pattern_sheets(DESIGN, "brake", "a4")
    said = " ".join(word for page in pages for word in words(page))
    assert "Check on paper, inches: " in said
    back, up = 8.125 - 4.625, 21.5625 - 10.3125
    assert f"pivot to pad {math.hypot(back, up):.3f}" in said

"""A picture of an inch design speaks inches: texts, ticks, curves and the bar."""

import cmath
import math
import re
from pathlib import Path

import pytest

from export.shapes import Drawing, Line, Text, Window
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
    assert travel == pytest.approx(5.875)
    assert "full 5 7/8" in said
    assert "half way 2 15/16" in said
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
    found = re.fullmatch(r"4 in, scale 1:(\d+) on (?:Letter|Legal)", text)
    assert found is not None
    bars = [
        abs(item.b - item.a)
        for item in drawing.items
        if isinstance(item, Line) and item.role == "ground"
    ]
    assert min(abs(bar - 4 * INCH / int(found[1])) for bar in bars) < 1e-9


def test_a_metric_ruler_has_tens_and_an_inch_ruler_halves() -> None:
    assert RULERS["mm"].travel(149.4) == "149"
    assert RULERS["in"].travel(149.4) == "5 7/8"
    assert RULERS["in"].along(149.4) == "5.9"
    assert [RULERS["in"].is_long(n * INCH / 2) for n in range(5)] == [
        *(True, False, False, False, True)
    ]


def test_the_pattern_of_an_inch_design_is_checked_in_inches() -> None:
    """Pivot to pad by Pythagoras from the file's own fractions."""
    pages = pattern_sheets(DESIGN, "brake", "a4")
    said = " ".join(word for page in pages for word in words(page))
    assert "Check on paper, inches: " in said
    back, up = 8.125 - 4.625, 21.5625 - 10.3125
    arm = math.hypot(back, up)
    assert round(arm * 64) == 11 * 64 + 50
    assert f"pivot to pad 11 25/32 ({arm * INCH:.1f} mm)" in said


def test_dimensions_stand_as_they_were_typed(drawing: Drawing) -> None:
    said = words(drawing)
    for text in ("4 5/8 back", "21 9/16 up", "8 1/8 back", "10 5/16 up", "11 25/32"):
        assert text in said


def test_an_inch_picture_loses_no_scale_for_its_paper(drawing: Drawing) -> None:
    """8 1/2 in is 215.9 mm; the A4 sheet of the same pedal has 1:5."""
    assert drawing.width == 215.9
    assert any("scale 1:5 on" in word for word in words(drawing))


def test_the_pattern_of_an_inch_design_has_bars_of_four_inches() -> None:
    """Letter is 8 1/2 x 11 in (ASME Y14.1 size A); a hole's name is never left out."""
    for page in pattern_sheets(DESIGN, "brake"):
        sides = sorted((page.width, page.height))
        assert sides == pytest.approx([8.5 * INCH, 11 * INCH])
        bars = [
            abs(item.b - item.a)
            for item in page.items
            if isinstance(item, Line) and item.role == "paper bar"
        ]
        assert bars == pytest.approx([4 * INCH, 4 * INCH])
        assert "4 in: print at 100 %, then measure both bars" in words(page)
        (window,) = [item for item in page.items if isinstance(item, Window)]
        named = [item.text for item in window.items if isinstance(item, Text)]
        assert {"pivot", "bore 1 in", "(25.4 mm)", "clevis", "pad, face"} <= {*named}
        assert "bore 21/64 in" in named


def test_the_pattern_shows_the_front_of_the_car() -> None:
    """Turned with the arm, never mirrored: forward is square to the way up."""
    pad = complex(-8.125 + 4.625, 10.3125 - 21.5625)
    page = pattern_sheets(DESIGN, "brake")[0]
    (window,) = [item for item in page.items if isinstance(item, Window)]
    (text,) = [i for i in window.items if isinstance(i, Text) and "front" in i.text]
    lines = [i for i in window.items if isinstance(i, Line) and i.role == "thin"]
    shaft = min(lines, key=lambda line: abs((line.a + line.b) / 2 - text.at))
    turn = -1j * abs(pad) / pad  # brings the pad straight below the pivot
    assert (shaft.b - shaft.a) / abs(shaft.b - shaft.a) == pytest.approx(turn)

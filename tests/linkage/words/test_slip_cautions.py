"""A digit that slipped is said in one line, where it stands; a sound pedal says nothing.

The bounds are common practice, no source; every number said is worked out anew here.
"""

import math
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from linkage.commands import footwell
from linkage.faults import Fault
from linkage.loading import load_text
from linkage.sweeping import sweep
from linkage.templates import TEMPLATES
from linkage.templates.inch_file import in_inches
from linkage.words.cautions import cautions

BRAKE = TEMPLATES["hanging-brake"].text
INCHES = in_inches(BRAKE)
PIVOT = -118 + 546j


def _at(text: str, key: str) -> Fault:
    found = [f for f in cautions(load_text(text, "b.toml")) if f.key == key]
    assert len(found) == 1, found
    assert text.splitlines()[found[0].line - 1].startswith(key.rpartition(" ")[2])
    return found[0]


def _all(text: str) -> str:
    return "\n".join(map(str, cautions(load_text(text, "b.toml"))))


def test_a_hole_ten_times_too_far_is_said_in_every_way_it_harms() -> None:
    text = BRAKE.replace("along = 56.2", "along = 562")
    said = _all(text)
    hole = math.hypot(562, 7.8)
    assert f"the hole is {hole:.1f} mm from the pivot, farther than the pad" in said
    assert f"A dot out of place? {hole / 10:.1f} mm would be usual." in said
    assert "the hole gets 16.1 mm below the floor on its way" in said
    ratio = sweep(load_text(text), "brake")["ratio"].min()
    assert f"the ratio goes down to {ratio:.2f}" in said
    assert "the rod to it is 563 mm" in said


def test_a_hole_just_inside_the_pad_is_not_beyond_it() -> None:
    reach = abs(-206 + 258j - PIVOT)
    for along, said in ((reach - 2.0, False), (reach + 2.0, True)):
        text = BRAKE.replace("along = 56.2, ahead = 7.8", f"along = {along}, ahead = 0")
        assert ("farther than the pad" in _all(text)) is said


@pytest.mark.parametrize(("up", "said"), [(506, False), (512, True), (389.5, True)])
def test_a_rod_that_leans_is_said_from_8_degrees_on(up: float, said: bool) -> None:
    text = BRAKE.replace("up = 489.5", f"up = {up}")
    leans = sweep(load_text(text), "brake", positions=2001)["rod_angle"]
    assert bool(abs(leans).max() > 8.0) is said
    if not said:
        assert "leans" not in _all(text)
        return
    fault = _at(text, "train 1: face")
    size = float(re.findall(r"up to ([\d.]+) deg", fault.wrong)[0])
    assert size == pytest.approx(abs(leans).max(), abs=0.06)
    out = float(re.findall(r"are ([\d.]+) mm out of line", fault.right)[0])
    side = 1.0 if up < 489.5 else -1.0
    mended = BRAKE.replace("up = 489.5", f"up = {up + side * out}")
    assert abs(sweep(load_text(mended), "brake")["rod_angle"]).max() < 2.0


@pytest.mark.parametrize(
    ("travel", "other"), [("15.3", "153 mm"), ("19", None), ("210", "21 mm")]
)
def test_a_travel_that_no_foot_has(travel: str, other: str | None) -> None:
    fault = _at(BRAKE.replace("travel = 153", f"travel = {travel}"), "travel")
    assert f"the pad goes {travel} mm. Pads go 20 to 200" in fault.wrong
    assert other is None or f"{other} would be usual" in fault.right


def test_a_travel_at_either_end_of_the_usual_is_not_said() -> None:
    for travel in (20, 200):
        assert "Pads go" not in _all(
            BRAKE.replace("travel = 153", f"travel = {travel}")
        )


def test_a_gap_that_was_meant_in_millimetres() -> None:
    for said, wrong in (('"0.5 mm"', False), ("0.02", False), ("0.5", True)):
        text = INCHES.replace("free_play = 0.02", f"free_play = {said}")
        assert ("train 1: free_play: the gap is" in _all(text)) is wrong
    assert 'Write free_play = "0.5 mm".' in _all(text)
    tenfold = BRAKE.replace("free_play = 0.5", "free_play = 5")
    assert "A dot out of place? 0.5 mm would be usual." in _all(tenfold)


def test_a_tip_too_deep_in_its_cylinder() -> None:
    fault = _at(BRAKE.replace("depth     = 11 ", "depth = 110 "), "train 1: depth")
    assert "110 mm behind the face" in fault.wrong
    assert "11 mm would be usual" in fault.right
    assert _all(BRAKE.replace("depth     = 11 ", "depth = 60 ")) == ""


@pytest.mark.parametrize("back", [97.0, 99.0])
def test_a_rod_too_short_is_one_under_40(back: float) -> None:
    text = BRAKE.replace("face      = { ahead = 3,", f"face = {{ back = {back},")
    rod = math.dist((11.0 - back, 489.5), (-127.0, 490.0))
    assert ("Rods are 40 to 400" in _all(text)) is (rod < 40.0) is (back > 98.0)


def test_a_pad_through_floor_or_bulkhead() -> None:
    low = BRAKE.replace("floor = 0", "floor = 255")
    deep = 255 - (546 - abs(-88 - 288j))  # straight below the pivot it is lowest
    assert f"the pad gets {deep:.1f} mm below the floor" in _at(low, "pad").wrong
    wall = BRAKE.replace("floor = 0", "floor = 0\nbulkhead = -60")
    swept = sweep(load_text(wall), "brake", positions=2)
    pad = complex(-88, -288) * complex(
        math.cos(math.radians(swept["arm_angle"][-1])),
        math.sin(math.radians(swept["arm_angle"][-1])),
    )
    gone = (PIVOT + pad).real + 60.0
    assert f"the pad gets {gone:.1f} mm through the bulkhead" in _at(wall, "pad").wrong
    sloped = BRAKE.replace("floor = 0", "floor = [[-300, 0], [100, 0]]")
    assert _all(sloped) == ""


def test_a_throttle_may_have_a_small_ratio_and_a_question_is_not_judged() -> None:
    assert _all(TEMPLATES["throttle"].text) == ""
    free = BRAKE.replace("along = 56.2", 'along = "50 to 900 near 562"')
    assert _all(free) == ""


@pytest.mark.parametrize("command", ["show", "sweep", "cut", "place"])
def test_every_command_goes_on_and_says_it_on_standard_error(
    command: str, tmp_path: Path
) -> None:
    file = tmp_path / "b.toml"
    file.write_text(BRAKE.replace("depth     = 11 ", "depth = 110 "), encoding="utf-8")
    more = {"sweep": ["--json"], "cut": ["-o", f"{tmp_path}/a.dxf"]}.get(command, [])
    result = CliRunner().invoke(footwell, [command, str(file), *more])
    assert "train 1: depth: the rod's tip is 110 mm behind" in result.stderr
    assert "the rod's tip is 110" not in result.stdout
    assert result.exit_code == (2 if command == "place" else 0), result.stderr

"""What looks wrong: said where it is, with numbers that hold when they are used."""

import cmath
import math
import re
from pathlib import Path

import numpy as np
import pytest

from linkage.faults import Fault
from linkage.loading import load, load_text
from linkage.sweeping import sweep
from linkage.templates import TEMPLATES
from linkage.words.cautions import cautions
from tests.linkage.words.test_show import BRAKE

EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.toml"))
CLEAN = re.sub(r" \+- \d", "", BRAKE).replace('"about 11"', "11")


def _found(text: str) -> list[Fault]:
    return list(cautions(load_text(text, "b.toml")))


def _one(text: str) -> Fault:
    (fault,) = _found(text)
    return fault


def _line(text: str, key: str) -> int:
    return next(
        i for i, line in enumerate(text.splitlines(), 1) if line.startswith(key)
    )


def test_a_sound_pedal_has_none() -> None:
    assert _found(CLEAN) == []


@pytest.mark.parametrize("template", TEMPLATES.values(), ids=list(TEMPLATES))
def test_starting_files_have_none(template: object) -> None:
    assert _found(getattr(template, "text")) == []  # noqa: B009


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.name)
def test_examples_have_none(path: Path) -> None:
    assert cautions(load(path)) == ()


@pytest.mark.parametrize(("up", "arm"), [(58, 496), (396, 174)])
def test_an_arm_of_no_usual_length_is_asked_about(up: int, arm: int) -> None:
    text = CLEAN.replace('up = "258"', f"up = {up}")
    fault = next(f for f in _found(text) if f.key == "pad")
    assert math.hypot(88, 546 - up) == pytest.approx(arm, abs=0.6)
    assert (fault.line, fault.key) == (_line(text, "pad"), "pad")
    assert f"{arm} from the pivot. Arms are 180 to 360" in fault.wrong
    assert "another mark" in fault.right


def test_a_hole_past_square_asks_for_its_mirror_image() -> None:
    text = CLEAN.replace("back = 127", "back = 109")
    fault = _one(text)
    assert (fault.line, fault.key) == (_line(text, "clevis"), "clevis")
    hole, pivot, seat = -109 + 490j, -118 + 546j, 14 + 489.5j
    past = math.degrees(abs(np.angle((pivot - hole) / (seat - hole))) - math.pi / 2)
    assert f"already {past:.1f} deg PAST square" in fault.wrong
    ratio = sweep(load_text(text), "brake")["ratio"]
    assert f"from {ratio[0]:.2f} to {ratio[-1]:.2f}" in fault.wrong
    assert f"({100 * (ratio[-1] / ratio[0] - 1):+.0f} %)" in fault.wrong
    assert fault.right == "Did you mean 9 mm BEHIND the pivot instead of 9 mm ahead?"
    mended = text.replace("back = 109", "back = 127")
    assert sweep(load_text(mended), "brake")["crank_angle"][0] < 90.0


def test_a_floor_pedals_mirror_image_is_behind_too() -> None:
    text = TEMPLATES["floor-brake"].text.replace("ahead = 5", "ahead = 28")
    fault = _found(text)[0]
    assert "PAST square" in fault.wrong
    assert "BEHIND" in fault.right


@pytest.mark.parametrize(("up", "mirrored"), [(474.5, True), (449.5, False)])
def test_the_mirror_image_is_asked_for_only_where_it_helps(
    up: float, mirrored: bool
) -> None:
    """The rod falls, which alone is past square; by own angles on both sides."""
    text = CLEAN.replace("back = 127", "back = 109").replace("489.5", str(up))
    seat, pivot = complex(14, up), -118 + 546j

    def past(hole: complex) -> float:
        turn = cmath.phase((pivot - hole) / (seat - hole))
        return abs(math.degrees(turn)) - 90.0

    assert past(-109 + 490j) > 2.0
    assert (past(-127 + 490j) < 0.0) is mirrored
    fault = next(f for f in _found(text) if f.key == "clevis")
    assert fault.right.startswith("Did you mean 9 mm BEHIND") is mirrored


def test_past_square_on_the_way_to_a_dead_centre_says_so() -> None:
    text = CLEAN.replace("back = 127", "back = 70")
    fault = next(f for f in _found(text) if f.key == "clevis")
    assert "up to a dead centre" in fault.wrong


def test_a_rod_that_wins_says_by_how_much() -> None:
    crank = """\
[pedal.clutch]
pivot = [0, 300]
pad = [-60, 20]
clevis = [-6, 250]
travel = 100
[[pedal.clutch.train]]
part = "lever"
pivot = [140, 300]
input = [128, 255]
rod = 136.0
"""
    fault = _one(crank)
    assert (fault.line, fault.key) == (_line(crank, "input"), "train 1: input")
    assert "your link rod is 136.0, but these points are 134.1 apart" in fault.wrong
    ahead, up = re.findall(
        r"([\d.]+) further ahead and ([\d.]+) (?:higher|lower)", fault.right
    )[0]
    sign = 1.0 if "higher" in fault.right else -1.0
    there = complex(128 + float(ahead), 255 + sign * float(up))
    assert abs(there - (-6 + 250j)) == pytest.approx(136.0, abs=0.1)
    assert abs(there - (140 + 300j)) == pytest.approx(abs(-12 - 45j), abs=0.1)
    assert _found(crank.replace("136.0", str(abs(134 + 5j)))) == []
    assert _found(crank.replace("136.0", '"133 to 140 near 136"')) == []


def test_no_gap_says_what_to_cut_the_rod_to() -> None:
    text = CLEAN.replace("free_play = 0.5", "free_play = 0")
    fault = _one(text)
    rod = abs(14 + 489.5j - (-127 + 490j))
    assert (fault.line, fault.key) == (_line(text, "free_play"), "train 1: free_play")
    assert f"from {rod:.1f}".rstrip("0").rstrip(".") in fault.right
    assert "for a gap of 0.5" in fault.right
    assert _found(CLEAN.replace("free_play = 0.5\n", "")) == []  # nobody said 0


THROTTLE = TEMPLATES["throttle"].text


def test_a_throttle_that_never_opens_names_hole_and_travel_that_would() -> None:
    text = THROTTLE.replace("up = 86", "up = 70")
    fault = _one(text)
    turn = sweep(load_text(text), "throttle", positions=2)["quadrant_turn"][-1]
    assert fault.key == "train 1: turn"
    assert f"stands at {turn:.1f} deg of its 82. It never opens fully." in fault.wrong
    reach, now, travel = re.findall(
        r"be ([\d.]+) from the pivot \(now ([\d.]+)\), or the pad wants to travel ([\d.]+)",
        fault.right,
    )[0]
    assert float(now) == pytest.approx(math.hypot(70, 18), abs=0.05)
    longer = text.replace("travel = 56 ", f"travel = {travel} ")
    scale = float(reach) / math.hypot(70, 18)
    higher = text.replace(
        "up = 70, ahead = 18", f"up = {70 * scale}, ahead = {18 * scale}"
    )
    for mended in (longer, higher):
        assert _found(mended) == []
        opened = sweep(load_text(mended), "throttle", positions=2)["quadrant_turn"]
        assert opened[-1] == pytest.approx(82.0, abs=0.15)


def test_a_throttle_that_is_open_too_early_is_said() -> None:
    fault = _one(THROTTLE.replace("up = 86", "up = 99"))
    assert "is at its stop (82 deg) after" in fault.wrong
    assert "strains cable and stop" in fault.wrong


def test_a_cable_that_pulls_too_little_names_what_would() -> None:
    text = """\
[pedal.clutch]
pivot = [0, 500]
pad = [-60, 230]
clevis = [6, 560]
travel = 120
[[pedal.clutch.train]]
part = "cable"
ferrule = [130, 562]
slack = 2
pull = 38
"""
    fault = _one(text)
    assert "of the 38 it needs" in fault.wrong
    travel = re.findall(r"travel ([\d.]+) \(now 120\)", fault.right)[0]
    longer = text.replace("travel = 120", f"travel = {travel}")
    pull = sweep(load_text(longer), "clutch", positions=2)["cable_pull"][-1]
    assert pull - 2.0 == pytest.approx(38.0, abs=0.05)
    assert _found(longer) == []


def test_a_piston_that_is_the_stop_is_said_with_its_place() -> None:
    text = CLEAN.replace("travel = 150", "travel = 170").replace(
        'stroke = "1.4 in"', "stroke = 24"
    )
    full = sweep(load_text(text), "brake").ends[0].travel
    fault = _one(text)
    assert (fault.line, fault.key) == (_line(text, "stroke"), "train 1: stroke")
    assert f"after {full:.1f} mm of pad" in fault.wrong
    assert "metal on metal" in fault.wrong
    shorter = text.replace("travel = 170", f"travel = {full - 0.1:.1f}")
    assert _found(shorter) == []
    clutch = text.replace("pedal.brake", "pedal.clutch")
    fault = _one(clutch)
    swept = sweep(load_text(clutch), "clutch")
    assert f"after {swept.ends[0].travel:.1f} mm" in fault.wrong
    assert "stop of its own" in fault.right


def test_a_question_is_not_judged_by_the_middle_of_its_ranges() -> None:
    text = CLEAN.replace("back = 127", 'back = "90 to 128"')
    assert _found(text) == []


def test_what_cannot_stand_is_left_to_its_own_fault() -> None:
    assert _found(CLEAN.replace('"forward"', '"back"')) == []
    assert _found(CLEAN.replace("ahead = 3", "back = 300")) == []


def test_cautions_come_in_file_order() -> None:
    text = CLEAN.replace("back = 127", "back = 109").replace(
        "free_play = 0.5", "free_play = 0"
    )
    text = text.replace('up = "258"', "up = 58")
    lines = [fault.line for fault in _found(text)]
    assert len(lines) == 3
    assert lines == sorted(lines)

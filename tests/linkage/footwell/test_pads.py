"""Pads side by side: edges, steps and where two are level, by plain trigonometry."""

import math

import pytest

from linkage.design.records import Design
from linkage.footwell.pads import PadGap, pad_gaps
from linkage.loading import load_text
from tests.linkage.footwell.rooms import FULL, design

PAIR = """
[pedal.brake]
pivot = [0, 300]
pad = { back = 0, down = 0, wide = 70 }
travel = 60
across = { pad = -10 }

[pedal.throttle]
pivot = [50, 300]
pad = [30, 0]
travel = 40
across = { pad = 110 }
"""


def only(text: str) -> PadGap:
    (pair,) = pad_gaps(load_text(text, "pair.toml"))
    return pair


def test_edges_and_steps_of_two_pads() -> None:
    """The brake's pad hangs 300 straight below its pivot; the throttle's 20 behind."""
    pair = only(PAIR)
    assert (pair.left, pair.right) == ("brake", "throttle")
    assert pair.edge == pytest.approx(120.0 - 35.0 - 30.0)
    assert pair.step == pytest.approx(30.0)
    assert pair.left_full == pytest.approx(30.0 - 300.0 * math.sin(60.0 / 300.0))
    reach = math.hypot(20.0, 300.0)
    turn = math.atan2(-20.0, 300.0) + 40.0 / reach
    assert pair.right_full == pytest.approx(50.0 + reach * math.sin(turn))
    assert pair.level == pytest.approx(300.0 * math.asin(0.1))


def test_the_left_one_comes_first_however_they_stand_in_the_file() -> None:
    mirrored = PAIR.replace("pad = 110", "pad = -130")
    pair = only(mirrored)
    assert (pair.left, pair.right) == ("throttle", "brake")
    assert pair.edge == pytest.approx(only(PAIR).edge)
    assert pair.step == pytest.approx(-only(PAIR).step)
    assert pair.left_full == pytest.approx(-only(PAIR).right_full)
    assert pair.level == pytest.approx(only(PAIR).level)


def test_pads_that_never_come_level_and_pads_without_a_place() -> None:
    assert only(PAIR.replace("travel = 60", "travel = 20")).level is None
    assert pad_gaps(load_text(PAIR.replace("across = { pad = 110 }", ""), "x")) == ()


def test_all_neighbours_in_turn() -> None:
    three: Design = load_text(
        PAIR
        + PAIR.replace("brake", "clutch")
        .replace("-10", "-150")
        .partition("[pedal.throttle]")[0],
        "three.toml",
    )
    pairs = [(gap.left, gap.right) for gap in pad_gaps(three)]
    assert pairs == [("clutch", "brake"), ("brake", "throttle")]


def test_edges_that_overlap_are_below_nought() -> None:
    (pair,) = pad_gaps(design(FULL))
    assert pair.edge == pytest.approx(50.0 - 35.0 - 30.0)

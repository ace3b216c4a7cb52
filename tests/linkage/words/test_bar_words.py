"""A balance bar in words: read back, and a caution for each of its two cylinders."""

from pathlib import Path

import pytest

from linkage.loading import load_text
from linkage.motion.rest import PedalRest
from linkage.sweeping import standing
from linkage.words.bar import bar_lines, cut_rods
from linkage.words.cautions import cautions
from linkage.words.show import show_text
from linkage.words.sweep import sweep_text

EXAMPLES = Path(__file__).parents[3] / "examples"
TEXT = (EXAMPLES / "brake-bar.toml").read_text(encoding="utf-8")


def rest(text: str = TEXT) -> PedalRest:
    return standing(load_text(text), "brake")


def told(text: str) -> list[str]:
    return [str(fault) for fault in cautions(load_text(text))]


def test_it_is_read_back() -> None:
    """101.6 / 2 + 5 of 101.6 mm is 54.9 % (statics)."""
    text = " ".join(show_text(load_text(TEXT), "brake").split())
    assert (
        "The bar is 101.6 from rod to rod, its bearing 5 off the middle towards the"
        in text
    )
    assert "the front rod takes 54.9 % of every push" in text
    assert "it can turn 13 deg either way" in text


def test_rods_differ_by_what_is_asked_and_leave_the_bearing() -> None:
    """The bearing stays: what the front gains its share of, the rear loses."""
    share = 0.5 + 5.0 / 101.6
    front, rear = cut_rods(rest(), 6.0)
    square = cut_rods(rest(), 0.0)
    assert front - rear - (square[0] - square[1]) == pytest.approx(6.0)
    moved = share * (front - square[0]) + (1.0 - share) * (rear - square[1])
    assert moved == pytest.approx(0.0, abs=1e-9)


def test_rods_that_hold_it_square_at_rest_are_said_to() -> None:
    text = TEXT.replace("front_longer = 0.6", "front_longer = 0")
    assert any("square at rest" in line for line in bar_lines(rest(text)))


def test_each_cylinder_has_its_columns() -> None:
    head = sweep_text(load_text(TEXT), "brake").splitlines()
    top = next(i for i, line in enumerate(head) if "straight" in line)
    assert head[top].split().count("front") >= 2
    assert head[top].split().count("rear") >= 2


@pytest.mark.parametrize("side", ["front", "rear"])
def test_a_slip_on_either_side_is_cautioned(side: str) -> None:
    start = TEXT.index(f"[[pedal.brake.train.{side}]]")
    part = TEXT[start:]
    no_gap = TEXT[:start] + part.replace("free_play = 0.5", "free_play = 0", 1)
    gaps = [line for line in told(no_gap) if "free_play" in line]
    assert len(gaps) == 1
    assert f"train 1 {side} 1: free_play" in gaps[0]
    short = TEXT[:start] + part.replace('stroke = "3/4 in"', "stroke = 15", 1)
    (said,) = told(short)
    assert f"train 1 {side} 1: stroke" in said
    deep = TEXT[:start] + part.replace("depth = 11", "depth = 95", 1)
    assert any(f"train 1 {side} 1: depth" in line for line in told(deep))


def test_the_example_has_nothing_to_caution() -> None:
    assert told(TEXT) == []

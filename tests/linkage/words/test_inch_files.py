"""A file in inches is answered in inches: fractions where a tape or a rule is laid on.

Four kinds of pedal, rewritten in inches by hand.
"""

import math
import re
from collections.abc import Iterator
from fractions import Fraction

import pytest

from linkage.arm.fitted import plan_of
from linkage.design.records import Design
from linkage.loading import load_text
from linkage.placing.place import place
from linkage.pressing.press import load_pedal
from linkage.sweeping import sweep
from linkage.words.cut import guess_texts
from linkage.words.effort import effort_text
from linkage.words.place import placement_text
from linkage.words.show import show_text
from linkage.words.speech import Speech
from linkage.words.sways import likely
from linkage.words.sweep import sweep_text
from linkage.words.working import working_text

HEAD = """\
title = "Quillet two-seater"
units = "in"
[footwell]
floor = 0
marks = { back = "the string", up = "the bare floor" }
"""
CYLINDER = """
axis = "forward"
bore = "3/4"
stroke = 1.1
free_play = "1/32"
"""
KINDS = {
    "brake": f"""{HEAD}[pedal.brake]
pivot = {{ back = "4 5/8", up = "21 1/2" }}
pad = {{ back = "8 1/8", up = "10 3/16", thick = "1/2" }}
clevis = {{ line = ["pivot", "pad"], along = "2 7/32", ahead = "5/16" }}
travel = 6
[[pedal.brake.train]]
part = "cylinder"
face = {{ ahead = "1/8", up = "19 9/32" }}
depth = "about 7/16"
{CYLINDER}""",
    "floor": f"""{HEAD}[pedal.floor]
duty = "brake"
pivot = {{ back = "8 1/16", up = "1 1/4" }}
pad = {{ back = 11, up = "10 5/16", thick = "3/8" }}
clevis = {{ line = ["pivot", "pad"], along = "1 13/16", ahead = "3/16" }}
travel = "5 3/8"
[[pedal.floor.train]]
part = "cylinder"
face = {{ back = "2 15/16", up = "3 1/16" }}
depth = "7/16"
{CYLINDER}""",
    "clutch": f"""{HEAD}[pedal.clutch]
pivot = {{ back = "4 5/8", up = "21 1/2" }}
pad = {{ back = "8 1/4", up = "10 5/16", thick = "1/2" }}
clevis = {{ line = ["pivot", "pad"], along = "2 1/16", ahead = "3/16" }}
travel = "5 1/2"
[pedal.clutch.spring]
kind = "extension"
on_arm = {{ line = ["pivot", "pad"], along = 4, back = "5/16" }}
fixed = {{ back = "9 1/16", up = 19 }}
rate = "7 lbf/in"
preload = "9 lbf"
[pedal.clutch.friction]
seal = "6 lbf"
[[pedal.clutch.train]]
part = "cylinder"
face = {{ ahead = "1/8", up = "19 7/16" }}
depth = "7/16"
{CYLINDER}""",
    "throttle": f"""{HEAD}[pedal.throttle]
pivot = {{ back = "3 3/4", up = "16 1/2" }}
pad = {{ back = "6 1/16", up = "8 7/8", thick = "5/16" }}
clevis = {{ from = "pivot", up = "3 3/8", ahead = "11/16" }}
travel = "2 1/4"
[[pedal.throttle.train]]
part = "quadrant"
cable = {{ ferrule = {{ ahead = "1 3/16", up = 20 }}, slack = "1/16" }}
pivot = [0, 0]
radius = "5/8"
sense = "ccw"
turn = 82
""",
}
FREE = (
    KINDS["brake"].replace('"2 7/32"', '"1 3/4 to 2 9/16"')
    + """
[[pedal.brake.target]]
of = "ratio"
at = "2 3/8 in"
is = 5.5
"""
)
#: Sizes of stock stand in both systems; so do lengths off a tape.
BOTH = re.compile(r"[\d./]+(?: in)? \(\d[\d.]* mm\)|[\d/ ]+ in +\d[\d.]* mm")


@pytest.fixture(params=KINDS)
def design(request: pytest.FixtureRequest) -> Design:
    return load_text(KINDS[request.param])


def name(design: Design) -> str:
    (only,) = design.pedals
    return only


def texts(design: Design) -> Iterator[str]:
    pedal = name(design)
    yield show_text(design, pedal)
    yield sweep_text(design, pedal)
    yield effort_text(design, load_pedal(design, pedal, "foot", 300.0))


def test_no_text_has_millimetres_or_kilograms_alone(design: Design) -> None:
    for text in texts(design):
        left = re.sub(r"\d[\d.]* lb \(\d[\d.]* kg\)", "", BOTH.sub("", text))
        assert not re.findall(r".*\b(?:mm|kg)\b.*", left)


def test_a_tape_is_told_no_thousandths(design: Design) -> None:
    """What is read back is in fractions, but for what no tape can show."""
    shown = BOTH.sub("", show_text(design, name(design)))
    sizes = [float(found) for found in re.findall(r"\d*\.\d{3,}", shown)]
    assert all(size < 1 / 16 for size in sizes)
    assert re.search(r"pivot +\d+ \d+/\d+ +\d+ \d+/\d+", shown)


def test_straight_by_tape_is_the_nearest_mark(design: Design) -> None:
    """The chord by plain trigonometry: 2 R sin(half the turn), R the arc by the turn."""
    swept = sweep(design, name(design), positions=2)
    arc, turn = swept["travel"][-1] / 25.4, math.radians(swept["arm_angle"][-1])
    chord = 2.0 * arc / turn * math.sin(0.5 * turn)
    lines = sweep_text(design, name(design)).splitlines()
    (full,) = [line for line in lines if line.endswith("full")]
    words = [Fraction(word) for word in full.split()[1:3]]
    assert abs(float(sum(words)) - chord) <= 1 / 64
    assert words[1].denominator <= 32


def test_doubt_is_in_marks_of_an_inch_tape() -> None:
    design = load_text(KINDS["brake"])
    values = design.values
    outs = {path: likely(each, (), "in") / 25.4 for path, each in values.items()}
    assert outs["brake.pivot.up"] == 1 / 16
    assert outs["brake.clevis.along"] == 1 / 64
    assert outs["brake.train.1.depth"] == pytest.approx(3 / 16)
    said = " ".join(show_text(design, "brake").split())
    assert "3/16 out changes the rod length by 3/16." in said
    assert "Nothing else moves by 0.004 in or 0.1 deg." in said
    assert 'cylinder face, up". 1/16 out' in said
    (out,) = re.findall(r"out by more than (\S+) in\?", said)
    assert Fraction(out) * 16 == int(Fraction(out) * 16)


def test_what_is_to_be_marked_out_is_in_fractions() -> None:
    found = place(load_text(FREE), mark=25.4 / 32)
    told = placement_text(found)
    (row,) = [line for line in told.splitlines() if line.startswith("  hole, along")]
    put = row.split("   ")[-1].strip()
    assert sum(map(Fraction, put.split())) == Fraction(
        found.answers[0].values["brake.clevis.along"] / 25.4
    ).limit_denominator(32)
    assert "/" in put
    assert re.search(r"pivot to hole \d+ \d+/\d+, hole to pad \d+ \d+/\d+;", told)
    assert re.search(r"Cut the rod \d+( \d+/\d+)?, hole to end", told)
    assert not re.search(r"\bmm\b", told)


def test_what_was_taken_is_said_in_both() -> None:
    design = load_text(KINDS["brake"])
    said = list(guess_texts(plan_of(design, "brake"), Speech("in")))
    assert said[0] == "plate 0.315 in (8 mm)"
    assert "bore of pivot 0.7874 in (20 mm)" in said


def test_the_working_names_its_inch() -> None:
    text = working_text(load_text(KINDS["brake"]), "brake")
    assert "mm (1 in is 25.4)" in text
    assert "After 6 in (152.4 mm) of pad" in text


def test_a_mark_that_is_too_coarse_is_said_in_inches() -> None:
    found = place(load_text(FREE), mark=25.4 * 3 / 8)
    assert found.status == "no answer found"
    said = " ".join(placement_text(found).split())
    assert "whole steps of 3/8 in." in said
    assert "Every answer also keeps the piston within the cylinder's 1.1 in" in said

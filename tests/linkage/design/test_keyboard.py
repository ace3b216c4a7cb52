"""Slips at the keyboard: each is told once, and the sentence says what would be right."""

import pytest

from linkage.faults import DesignError
from linkage.loading import load_text
from linkage.templates import TEMPLATES
from linkage.templates.inch_file import in_inches
from tests.linkage.design.samples import BRAKE

PIVOT = "[120, 545]            # from the bulkhead, up from the floor"


def told(old: str, new: str) -> list[str]:
    assert old in BRAKE
    with pytest.raises(DesignError) as refusal:
        load_text(BRAKE.replace(old, new, 1), "brake.toml")
    return str(refusal.value).splitlines()


@pytest.mark.parametrize(
    ("old", "new", "right"),
    [
        # brackets, commas, equals signs
        (
            PIVOT,
            "<120, 545>",
            "pointed brackets are not known here. Write pivot = [120,",
        ),
        (
            PIVOT,
            "120, 545]",
            "a ] closes what nothing opened. Write pivot = [120, 545].",
        ),
        (PIVOT, '"120, 545"', "two numbers in brackets. Write pivot = [120, 545]."),
        (PIVOT, '["120 545"]', "two numbers in brackets. Write pivot = [120, 545]."),
        (PIVOT, "{ back = 120 up = 545 }", "a comma is missing. Write 120, up = 545."),
        (
            "pivot  = ",
            "pivot == ",
            "two equals signs stand here. Write pivot = [120, 5",
        ),
        (
            "= 120\n",
            "= 120,\n",
            "a comma stands at the end of the line. Write travel =",
        ),
        # numbers
        ("= 120\n", "= l2O\n", "a letter where a digit belongs. Write travel = 120."),
        (PIVOT, "[120.0.0, 545]", "120.0.0 is no number. Write one number: 120.5"),
        (PIVOT, "[120+5, 545]", "120+5 is no number."),
        (PIVOT, "[+-120, 545]", "+-120 is no number."),
        (PIVOT, '["~120", 545]', 'A guess is written "about 120".'),
        (PIVOT, '["approx 120", 545]', 'A guess is written "about 120".'),
        (PIVOT, '["120..130", 545]', 'A range is written "120 to 130".'),
        (PIVOT, '["between 1 and 2", 545]', 'A range is written "45 to 65", or'),
        ("= 120\n", '= "100 to 150, near 130"\n', '"45 to 65 near 50".'),
        (
            "= 120\n",
            "= [100, 150]\n",
            'A range is written "45 to 65", a choice { one_of',
        ),
        ("= 120\n", "= { from = 1, to = 2 }\n", 'A range is written "45 to 65", a'),
        ("= 120\n", '= { one_of = "1, 2" }\n', "one_of takes a list"),
        ("= 120\n", "= { one of = [1, 2] }\n", "A key is one word: one_of = ..."),
        ('"3/4 in"', '3/4"', 'Write bore = "3/4 in".'),
        (
            '"3/4 in"',
            '"3/4"',
            'because this file is in mm. Write bore = "3/4 in" (19.05',
        ),
        ("is = 24", 'is = ">24"', "Write is = 24; limits are least and most."),
        # directions
        ('"forward"', '"forward, up"', '"forward, up" is no direction. Write degrees'),
        (
            '"forward"',
            '"forward, 2 deg left"',
            "is no direction. Write degrees, or wor",
        ),
        ('"forward"', '"2 rad"', "an angle belongs here. Its units: deg."),
        ('"forward"', '"forward, 2 rad up"', "Its units: deg."),
        # words of a point
        (PIVOT, "{ forward = 120, up = 545 }", "Nearest: ahead."),
        (PIVOT, "{ back = 120, height = 545 }", "Nearest: up."),
        (
            PIVOT,
            "{ left = 120, up = 545 }",
            "Write across = { pad = -20 } in its pedal",
        ),
        (
            PIVOT,
            "{ x = 120, y = 545 }",
            "x and y cannot stand here. Signs are for [x, z]",
        ),
        # keys
        ("pivot  =", "PIVOT  =", "is not a key that is known here. Nearest: pivot."),
        ("free_play", "Free-Play", "Nearest: free_play."),
        ("within", "tolerance", "Nearest: within."),
        ('units = "mm"', 'unit = "mm"', "Nearest: units."),
        ('"cylinder"', '"CYLINDER"', 'Nearest: "cylinder".'),
        ('of = "stroke"', 'of = "STROKE"', 'Nearest: "stroke".'),
        # headings
        ("[pedal.brake]", "[Pedal.brake]", "Nearest: pedal."),
        ("[pedal.brake]", "[pedals.brake]", "Nearest: pedal."),
        ("[pedal.brake]", "[pedal brake]", "Write [pedal.brake] on a line of its own."),
        (
            "[pedal.brake]",
            "[brake]",
            "pedal. before its name, brake. Write [pedal.brake].",
        ),
        (
            "[pedal.brake]",
            "[pedal]",
            "this names none. Write [pedal.brake] above its k",
        ),
        ("[pedal.brake]", "[pedal.bräke]", "digits, _ and - only: [pedal.brake]."),
        ("[[pedal.brake.train]]", "[[brake.train]]", "Write [pedal.brake]."),
        (
            "[[pedal.brake.train]]",
            "[[pedal.train]]",
            "Write [[pedal.brake.train]], say.",
        ),
        (
            "[[pedal.brake.train]]",
            "[[pedal.brake.cylinder]]",
            'Write [[pedal.brake.train]], and under it part = "cylinder".',
        ),
        ("[[pedal.brake.target]]", "[[target]]", "Write [[pedal.brake.target]]."),
    ],
)
def test_a_slip_is_told_once_with_what_would_be_right(
    old: str, new: str, right: str
) -> None:
    (line,) = told(old, new)
    assert right in line


@pytest.mark.parametrize(
    ("old", "new", "first"),
    [
        ("[pedal.brake]", "[pedal.the brake]", "Write [pedal.the_brake] on a line"),
        (
            "[pedal.brake]",
            "pedal.brake",
            "a heading stands in brackets. Write [pedal.br",
        ),
        ("is = 24", "min = 24", "Nearest: least."),
        ("pivot  =", "pivot point =", "A key is one word: pivot_point = [120, 545]"),
        ("pivot  =", "pivot", "Write pivot = [120, 545], or # before a remark."),
        (PIVOT, "{ Back = 120, Up = 545 }", "Nearest: back."),
    ],
)
def test_what_follows_from_a_slip_does_not_hide_it(
    old: str, new: str, first: str
) -> None:
    assert any(first in line for line in told(old, new))


def test_a_remark_is_no_part_of_the_advice() -> None:
    (line, *_) = (line for line in told("pivot  =", "pivot :=") if ":5:" in line)
    assert line.endswith("Write pivot = [120, 545]")


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("pad    = [35, 255]", "pad = { ahead = 35, up = 255", "{ is opened here"),
        ("travel = 120", "travel 120", "an equals sign is missing"),
        ("clevis = [106, 484.5]", "clevis [106, 484.5]", "an equals sign is missing"),
        ('part = "cylinder"', 'part "cylinder"', "an equals sign is missing"),
        ('units = "mm"', 'units = "millimetres"', 'Nearest: "mm"'),
    ],
)
def test_one_slip_is_one_fault(old: str, new: str, says: str) -> None:
    (only,) = told(old, new)
    assert says in only


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ('units = "inch"', 'Nearest: "in"'),
        ('units = "imperial"', 'Write one of: "mm", "in"'),
        ('units "in"', "an equals sign is missing"),
        ("units = in", 'Write units = "in"'),
    ],
)
def test_a_unit_that_cannot_be_read_makes_no_number_wrong(
    typed: str, says: str
) -> None:
    """A bore of a bare 1 may be an inch there: nobody knows."""
    text = in_inches(TEMPLATES["hanging-brake"].text)
    assert "pivot = 1," in text
    with pytest.raises(DesignError) as refusal:
        load_text(text.replace('units = "in"', typed), "brake.toml")
    (only,) = refusal.value.faults
    assert says in str(only)


def test_braces_over_two_lines_are_still_told_as_such() -> None:
    (only,) = told("pad    = [35, 255]", "pad = { ahead = 35,\n up = 255 }")
    assert "has to stand on one line" in only


@pytest.mark.parametrize(("size", "says"), [(565, True), (300, False)])
def test_a_number_far_out_in_inches_may_be_millimetres(size: int, says: bool) -> None:
    text = BRAKE.replace('units = "mm"', 'units = "in"').replace(
        "[120, 545] ", f'["120 mm", {size}] '
    )
    with pytest.raises(DesignError) as refusal:
        load_text(text, "brake.toml")
    assert (f'Write "{size} mm", if it is mill' in str(refusal.value)) is says

"""Slips at the keyboard: each is told once, and the sentence says what would be right."""

import pytest

from linkage.faults import DesignError
from linkage.loading import load_text
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

"""No minus behind a word: refused as typed, and turned into the other word when filled."""

import math
import tomllib

import pytest

from linkage.design.fill import fill
from linkage.faults import DesignError
from linkage.loading import load_text
from linkage.places import Places
from solvers.jet import value
from tests.linkage.design.samples import BRAKE


def with_pad(words: str) -> str:
    return BRAKE.replace("[35, 255]", words)


def with_hole(across: str) -> str:
    hole = f'{{ line = ["pivot", "pad"], along = 56, {across} }}'
    return BRAKE.replace("[106, 484.5]", hole)


def with_axis(said: str) -> str:
    return BRAKE.replace('"forward"', said)


def refused(text: str) -> str:
    with pytest.raises(DesignError) as refusal:
        load_text(text, "brake.toml")
    (fault,) = refusal.value.faults
    return str(fault)


@pytest.mark.parametrize(
    ("text", "says", "right"),
    [
        (with_pad("{ back = -35, up = 255 }"), "pad.back: -35 has", "{ ahead = 35 }"),
        (with_pad("{ ahead = 35, down = -255 }"), "pad.down", "{ up = 255 }"),
        (
            with_pad('{ back = "about −35 mm", up = 255 }'),
            "pad.back",
            '{ ahead = "about 35 mm" }',
        ),
        (
            with_pad('{ back = "-35 +- 2", up = 255 }'),
            "pad.back",
            '{ ahead = "35 +- 2" }',
        ),
        (
            with_pad('{ back = "-1-3/8 in", up = 255 }'),
            "pad.back",
            '{ ahead = "1-3/8 in" }',
        ),
        (
            with_pad('{ back = "-40 to -30 near -38 mm +- 1", up = 255 }'),
            "pad.back",
            '{ ahead = "30 to 40 near 38 mm +- 1 mm" }',
        ),
        (
            with_pad("{ back = { one_of = [-35, -40] }, up = 255 }"),
            "pad.back",
            "{ ahead = { one_of = [35, 40] } }",
        ),
        (with_hole("ahead = -3"), "clevis.ahead", "{ back = 3 }"),
        (
            BRAKE.replace("travel = 120", "full = { ahead = -58 }"),
            "full.ahead",
            "{ back = 58 }",
        ),
        (with_axis('"down, -5 deg ahead"'), "axis", '"down, 5 deg back"'),
        (with_axis('"Forward, -2 Up"'), "axis", '"Forward, 2 down"'),
        (
            with_axis('"forward, -2 to -1 deg up"'),
            "axis",
            '"forward, 1 to 2 deg down"',
        ),
    ],
)
def test_a_minus_behind_a_word_is_one_fault(text: str, says: str, right: str) -> None:
    said = refused(text)
    assert said.startswith("brake.toml:")
    assert says in said
    assert "forget about signs" in said
    assert said.endswith(f"Write {right}.")


@pytest.mark.parametrize(
    "text",
    [
        with_pad('{ back = "-5 to 5", up = 255 }'),
        with_pad('{ back = "0 +- 2", up = 255 }'),
        with_pad("{ back = 0, up = 255 }"),
        with_pad("{ back = { one_of = [-5, 5] }, up = 255 }"),
        with_hole('ahead = "-3 to 3 near -1"'),
        with_axis('"forward, -2 to 2 deg up"'),
        with_axis('"forward, 0 +- 2 deg up"'),
        with_axis("-2"),
        BRAKE.replace("[35, 255]", "[-35, 255]"),
    ],
)
def test_what_crosses_nought_and_what_has_no_word_keeps_its_sign(text: str) -> None:
    assert list(load_text(text).pedals) == ["brake"]


@pytest.mark.parametrize(
    ("text", "path", "number", "line"),
    [
        (
            with_pad('{ back = "-45 to 45", up = 255 }  # keep'),
            "brake.pad.back",
            -35.0,
            "pad    = { ahead = 35, up = 255 }  # keep",
        ),
        (
            with_pad('{ back = "-45 to 45 mm +- 1", up = 255 }'),
            "brake.pad.back",
            -35.0,
            'pad    = { ahead = "35 mm +- 1", up = 255 }',
        ),
        (
            with_pad('{ back = { one_of = [5, "about −35 mm"] }, up = 255 }'),
            "brake.pad.back",
            -35.0,
            'pad    = { ahead = "about 35 mm", up = 255 }',
        ),
        (
            with_hole('ahead = "-3 to 3"'),
            "brake.clevis.ahead",
            -2.5,
            'clevis = { line = ["pivot", "pad"], along = 56, back = 2.5 }',
        ),
        (
            with_axis('"forward, -2 to 2 deg up"'),
            "brake.train.1.axis",
            math.radians(-1.5),
            'axis = "forward, 1.5 deg down"',
        ),
    ],
)
def test_a_number_on_the_far_side_takes_the_other_word(
    text: str, path: str, number: float, line: str
) -> None:
    """The second road: the place is where the number behind the old word puts it."""
    design = load_text(text)
    filled = fill(design, {path: number}, {})
    assert line in filled.text.splitlines()
    assert len(filled.text.splitlines()) == len(text.splitlines())
    assert tomllib.loads(filled.text)
    asked, answered = Places(design, {path: number}), Places(load_text(filled.text))
    for name in ("brake.pad", "brake.clevis", "brake.train.1.seat"):
        gap = complex(value(asked.point(name))) - complex(value(answered.point(name)))
        assert abs(gap) < 1e-9
    before, after = (p.design.pedals["brake"].train[0] for p in (asked, answered))
    turn = value(asked.heading(getattr(before, "axis")))  # noqa: B009 - any part
    assert abs(turn - value(answered.heading(getattr(after, "axis")))) < 1e-9  # noqa: B009

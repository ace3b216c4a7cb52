"""What is typed at a bench is answered with what to type, worked out from it."""

import re

import pytest

from linkage.design.records import Design
from linkage.faults import DesignError
from linkage.loading import load_text
from linkage.templates import TEMPLATES

BRAKE = TEMPLATES["hanging-brake"].text


def _refused(old: str, new: str) -> str:
    assert old in BRAKE
    with pytest.raises(DesignError) as caught:
        load_text(BRAKE.replace(old, new), "b.toml")
    (fault,) = caught.value.faults
    return str(fault)


@pytest.mark.parametrize(
    ("typed", "right"),
    [
        ("11?", "about 11"),
        ("11 ?", "about 11"),
        ("11??", "about 11"),
        ("3/8? in", "about 3/8 in"),
        ("3/8 in?", "about 3/8 in"),
        ("500-560", "500 to 560"),
        ("500 - 560 mm", "500 to 560 mm"),
        ("500–560", "500 to 560"),
        ("500..560", "500 to 560"),
        ("1 ft 9 1/2 in", "21 1/2 in"),
        ("1 ft 9.5 in", "21 1/2 in"),
        ("1 foot 9.3 inches", "21.3 in"),
        ("4' 5 5/8\\\"", "53 5/8 in"),
        ("4'5\\\"", "53 in"),
        ("1 ft 12 in", "24 in"),
    ],
)
def test_what_was_meant_is_offered_and_is_read(typed: str, right: str) -> None:
    told = _refused("up = 258", f'up = "{typed}"')
    offered = re.findall(r'written? "([^"]*)"|write "([^"]*)"', told)[-1]
    assert right in offered
    load_text(BRAKE.replace("up = 258", f'up = "{right}"'))


@pytest.mark.parametrize("typed", ["560-500", "5-3/8 x", "11!", "four"])
def test_nothing_is_made_up_for_what_could_be_anything(typed: str) -> None:
    told = _refused("up = 258", f'up = "{typed}"')
    assert "500" not in told.partition("can read.")[2]


@pytest.mark.parametrize(
    ("typed", "right"),
    [("0.8", "plate = 8 "), ("80", "plate = 8 "), ("0.3", 'plate = "0.3 in" (7.62')],
)
def test_only_a_plate_that_shops_have_is_advised(typed: str, right: str) -> None:
    assert right in _refused("plate    = 8", f"plate = {typed}")


@pytest.mark.parametrize(
    ("typed", "wrong"),
    [
        ("{ back = 118 }", ["up is missing, so it is read as 0"]),
        ("{ up = 546 }", ["back is missing, so it is read as 0"]),
        ("{ back = 118, up = 0 }", []),
        ("[-118, 546]", []),
    ],
)
def test_a_number_left_out_of_a_point_from_the_marks_is_not_0_in_silence(
    typed: str, wrong: list[str]
) -> None:
    cautions = _read_with(typed).cautions
    assert [each.key for each in cautions] == ["point.mark"] * len(wrong)
    assert all(said in str(one) for said, one in zip(wrong, cautions, strict=True))


def test_a_point_counted_from_another_may_leave_one_number_out() -> None:
    assert not _read_with('{ from = "brake.pivot", up = 20 }').cautions


def _read_with(typed: str) -> Design:
    return load_text(f"{BRAKE}\n[point]\nmark = {typed}\n", "b.toml")

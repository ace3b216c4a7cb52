"""Targets of every quantity can be placed by, and what a target may not say."""

import pytest

from linkage.faults import DesignError
from linkage.loading import load_text
from linkage.placing.place import place

FREE = """
[pedal.brake]
pivot = [120, 545]
pad = [35, 255]
clevis = { from = "pivot", reach = "50 to 75", angle = "down, 5 to 20 deg back" }
travel = 100
[[pedal.brake.train]]
part = "cylinder"
axis = "forward"
bore = "3/4 in"
stroke = 40
free_play = 0.5
seat = [233, "470 to 500"]
"""


@pytest.mark.parametrize(
    "wish", ["most = 5", "is = 0\nwithin = 3", 'prefer = "small"', "least = -4"]
)
@pytest.mark.parametrize("at", ['at = "full"', 'at = "0 to 70 mm"', ""])
def test_ratio_change_is_placed_by(wish: str, at: str) -> None:
    target = f'[[pedal.brake.target]]\nof = "ratio change"\n{at}\n{wish}\n'
    found = place(load_text(FREE + target))
    assert found.status == "placed"
    assert all(judged.met for judged in found.answers[0].judged)


@pytest.mark.parametrize("which", ["7", '"front"'])
@pytest.mark.parametrize("of", ["rod angle", "stroke", "ratio", "crank angle"])
def test_a_rod_that_is_not_there_is_a_fault(of: str, which: str) -> None:
    target = f'[[pedal.brake.target]]\nof = "{of}"\nmost = 2\nwhich = {which}\n'
    with pytest.raises(DesignError, match=r"no branch|rods and cables"):
        place(load_text(FREE + target))


def test_a_guess_within_a_choice_stays_a_guess() -> None:
    design = load_text(
        FREE.replace('"3/4 in"', '{ one_of = ["about 0.70 in", "3/4 in"] }')
    )
    assert [value.path for value in design.guesses] == ["brake.train.1.bore"]

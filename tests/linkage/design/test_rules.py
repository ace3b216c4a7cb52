"""``[rules]``: what it takes, and one clear line for each slip."""

import pytest

from linkage.design.records import Design
from linkage.faults import DesignError
from linkage.loading import load_text

PEDAL = """
[pedal.brake]
pivot = [0, 0]
pad = [0, -300]
travel = 100
"""


def read(rules: str, pedal: str = PEDAL) -> Design:
    return load_text(f"{pedal}{rules}", "a.toml")


def faults(rules: str, pedal: str = PEDAL) -> list[str]:
    with pytest.raises(DesignError) as caught:
        read(rules, pedal)
    return [str(fault) for fault in caught.value.faults]


def test_what_it_takes() -> None:
    design = read(
        '[rules]\nset = "student"\n[[rules.limit]]\nof = "effort"\nmost = "450 N"\n'
        'fail_over = "120 lbf"\nreason = "a strong leg"\n'
    )
    (anew,) = design.rules.anew
    assert design.rules.set == "student"
    assert anew.ends["most"].nominal == 450.0
    assert anew.ends["fail_over"].nominal == pytest.approx(120.0 * 4.4482216152605)
    assert anew.reason == "a strong leg"


def test_left_out_it_is_the_road() -> None:
    assert read("").rules.set == "road"
    assert read("[rules]\n").rules.anew == ()


def test_one_limit_may_stand_in_one_bracket() -> None:
    design = read('[rules.limit]\nof = "rod gap"\nmost = 0.8\nreason = "a feeler"\n')
    assert design.rules.anew[0].ends["most"].nominal == 0.8


def test_a_limit_is_no_number_of_the_car() -> None:
    design = read('[rules.limit]\nof = "rod gap"\nmost = "about 0.8"\nreason = "x"\n')
    assert design.guesses == ()
    assert not [path for path in design.values if path.startswith("rules")]


GOOD = '[[rules.limit]]\nof = "rod angle"\nmost = 4\nreason = "the maker says so"\n'
BAD = {
    "set": ('[rules]\nset = "rode"\n', 'set: "rode" is none of its words.'),
    "of": (GOOD.replace("rod angle", "rod angel"), 'Nearest: "rod angle".'),
    "no of": (GOOD.replace('of = "rod angle"\n', ""), "of is missing."),
    "no reason": (GOOD.split("reason")[0], "reason is missing."),
    "empty reason": (
        GOOD.replace("the maker says so", "  "),
        "an empty reason is none.",
    ),
    "no end": (GOOD.replace("most = 4\n", ""), "most is missing."),
    "unit": (GOOD.replace("most = 4", 'most = "4 N"'), "most"),
    "order": (
        GOOD.replace("most = 4", "most = 4\nfail_over = 3"),
        "most: most is more than fail_over.",
    ),
    "key": (GOOD.replace("most", "max"), 'Nearest: "most"'),
    "twice": (GOOD + GOOD, 'of: "rod angle" is set twice.'),
    "text": ("[rules]\nlimit = 4\n", "4 stands where tables belong."),
    "table": ("rules = 4\n" + PEDAL, "4 stands where a table belongs."),
}


@pytest.mark.parametrize("slip", BAD)
def test_a_slip_gets_one_line(slip: str) -> None:
    rules, said = BAD[slip]
    told = faults(rules, "" if slip == "table" else PEDAL)
    assert len(told) == 1, told
    assert said.replace('"most"', "most") in told[0].replace('"most"', "most")
    assert told[0].startswith("a.toml:")


def test_a_force_needs_its_unit() -> None:
    (told,) = faults('[rules.limit]\nof = "effort"\nmost = 450\nreason = "x"\n')
    assert "450 is a force and needs its unit" in told


def test_no_pedal_is_named_rules() -> None:
    told = faults("", PEDAL.replace("pedal.brake", "pedal.rules"))
    assert any('"rules" cannot name a pedal' in line for line in told)

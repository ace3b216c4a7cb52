"""A placement in words: what a builder looks for is there, and it fits a terminal."""

import re

import pytest

from linkage.faults import DesignError
from linkage.loading import load_text
from linkage.placing.place import place
from linkage.templates import TEMPLATES
from linkage.words.place import placement_text
from linkage.words.show import show_text
from linkage.words.show_document import show_document
from linkage.words.speech import WIDTH
from tests.linkage.design.samples import BRAKE
from tests.linkage.placing.asked import HANGING, SHARED, SHORT, asked


@pytest.fixture
def placed() -> str:
    return placement_text(asked(HANGING, mark=0.5))


def test_it_fits_a_terminal(placed: str) -> None:
    texts = [placed, *(placement_text(asked(t)) for t in (SHORT, SHARED))]
    assert max(len(line) for text in texts for line in text.splitlines()) <= WIDTH


def test_an_answer_shows_exact_and_marked(placed: str) -> None:
    assert "Placed: 4 of 4 targets hold." in placed
    assert re.search(r"hole, back +0 to 20 +11\.72 +11\.5\n", placed)
    assert re.search(r"ratio at 65 mm +5\.5, within 0\.05 +5\.5 .*holds\n", placed)
    assert "Others may exist" in placed
    assert "Your local code" in placed


def test_what_is_still_free_and_what_to_cut(placed: str) -> None:
    """The arm's lengths are sums of the marked numbers: sqrt(11.5^2 + 53.5^2)."""
    assert "Still yours: 1 direction." in placed
    assert "pivot to hole 54.7" in placed
    assert 'guess: depth "about 11"' in placed
    found = re.search(r"Cut the rod ([\d.]+)", placed)
    assert found is not None
    rod = abs(complex(3 + 11 - (-118.0 - 11.5), 491 - (546 - 53.5)))
    assert float(found[1]) == pytest.approx(rod, abs=0.06)


def test_a_refusal_gives_reasons_and_ways_out() -> None:
    said = placement_text(asked(SHORT))
    assert "These two cannot both be had:" in said
    assert re.search(r"line 12 +stroke at full +24, within 0\.2\n", said)
    assert "Because 100 of pad at 5.5 or more moves the piston 18.2 at most." in said
    assert re.search(r"travel +100 -> 13\d +3\d more pad\n", said)
    assert re.search(r"stroke +24 -> 18\.\d +5\.\d less\n", said)
    assert said.endswith("Nothing was written.\n")


def test_a_refusal_without_a_proof_says_so() -> None:
    text = re.sub(r"(?s)of = \"ratio\".*", 'of = "rod angle"\nmost = 0.5\n', SHORT)
    said = placement_text(asked(text))
    assert "No proof" in said


def test_no_answer_in_words() -> None:
    said = placement_text(asked(HANGING.replace("30.5", "5")))
    assert "No answer found." in said
    assert "cylinder is full" in said


def test_other_answers_are_listed_and_told() -> None:
    text = HANGING.replace('"0.70 in"', '{ one_of = ["0.70 in", "3/4 in"] }')
    placement = asked(text)
    assert "Answer 1 of 2" in placement_text(placement)
    second = placement_text(placement, answer=2)
    assert "Answer 2 of 2" in second
    assert re.search(r"(?ms)^ +1  .*cylinder, bore 0\.70 in", second)


def test_pedals_together_are_named() -> None:
    said = placement_text(asked(SHARED))
    assert said.startswith("brake and clutch. Placed")
    assert "clutch: ratio at rest" in said


@pytest.mark.parametrize("given", ["", "within = 0.5\n"])
def test_a_within_left_out_is_said_in_every_answer(given: str) -> None:
    """Default or typed alike, the layout is one; only the default is told."""
    text = BRAKE.replace("within = 0.2\n", given).replace(
        "clevis = [106, 484.5]", 'clevis = ["100 to 110", 484.5]'
    )
    taken = "Line 18, stroke at full: within is not given, so 0.5 is taken."
    design = load_text(text)
    for wanted in (24, 400):
        told = load_text(text.replace("is = 24", f"is = {wanted}"))
        assert (taken in placement_text(place(told))) is (not given)
    assert (taken in show_text(design, "brake")) is (not given)
    (pedal,) = show_document(design, ["brake"])["pedals"]
    assert pedal["taken"]["within"] == ({} if given else {"1": 0.5})


BOTH_SHORT = SHARED.replace('axis = "forward"', 'axis = "forward"\nstroke = 40')


def test_a_joint_refusal_names_each_pedal_once() -> None:
    said = " ".join(
        placement_text(asked(BOTH_SHORT.replace("is = 5\n", "is = 12\n"))).split()
    )
    assert said.count("Every answer also keeps") == 2
    assert said.count("brake's piston within the cylinder's 40 mm") == 1
    assert said.count("clutch's piston within the cylinder's 40 mm") == 1


def test_a_further_conflict_goes_on_in_one_sentence() -> None:
    text = SHORT + (
        '[[pedal.brake.target]]\nof = "rod angle"\nat = "rest"\nis = 40\nwithin = 0.5\n'
    )
    said = placement_text(asked(text))
    assert re.search(r"^And apart from that: th(is|ese two) cannot", said, re.MULTILINE)


def test_one_rod_is_no_rods() -> None:
    text = SHORT.replace('of = "ratio"', 'of = "ratio"\nwhich = 2')
    with pytest.raises(DesignError, match=r"it has 1 rod or cable\."):
        place(load_text(text))


def test_a_place_within_the_slack_says_why_it_has_no_ratio() -> None:
    """A question without a proof gives the reason all the same."""
    text = """
[pedal.brake]
pivot = [120, 545]
pad = [35, 255]
clevis = ["118 to 122", 645]
travel = 60
[[pedal.brake.train]]
part = "lever"
pivot = [0, 0]
input = { from = "own pivot", reach = 22, angle = "up, 20 deg back" }
output = [30, 2]
cable = { ferrule = [220, 650], end_ferrule = [130, 17], slack = SLACK }
[[pedal.brake.train]]
part = "cylinder"
seat = [36, -98]
axis = "down"
[[pedal.brake.target]]
of = "ratio"
at = "2 mm"
least = 1
"""
    why = "Until the cable's slack is taken up there is no ratio"
    assert why in placement_text(place(load_text(text.replace("SLACK", "1.2"))))
    design = load_text(text.replace("slack = SLACK", "").replace("17],", "17]"))
    assert place(design).status == "placed"


def test_a_distance_to_another_pedal_says_where_that_one_is() -> None:
    other = BRAKE.partition("[pedal.brake]")[2].replace("brake", "clutch")
    target = '[[pedal.brake.target]]\nof = "distance"\nbetween = ["pad", "POINT"]\nleast = 0\n'
    text = f"{BRAKE}{target}[pedal.clutch]{other}"
    for point, said in (("clutch.pad", True), ("clevis", False)):
        shown = show_text(load_text(text.replace("POINT", point)), "brake")
        assert ("clutch is at rest." in " ".join(shown.split())) is said


def test_a_mean_that_is_wanted_everywhere_is_told_apart() -> None:
    text = TEMPLATES["hanging-brake"].text.replace("up = 546", 'up = "500 to 600"')
    for at, told in (("", True), ('at = "full"\n', False)):
        wish = f'[[pedal.brake.target]]\nof = "mean ratio"\n{at}is = 9\n'
        said = placement_text(place(load_text(text + wish)))
        assert "cannot be had" in said
        assert ('With at = "full" it is the' in said) == told

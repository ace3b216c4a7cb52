"""What a search found, in the words of the command and the numbers of the file."""

import json
from functools import cache
from typing import Any

import pytest

from linkage.loading import load, load_text
from linkage.page.answers import answers
from linkage.placing.document import written_values
from linkage.placing.place import place
from linkage.placing.records import Placement
from linkage.words.place import placement_text
from tests.linkage.page.cases import EXAMPLES
from tests.linkage.placing.asked import HANGING, asked

Row = dict[str, Any]


@cache
def found(name: str) -> Placement:
    return place(load(EXAMPLES / f"{name}.toml"), mark=0.5)


def told(name: str, units: Any = None) -> Row:
    return answers(found(name), units=units, door="right")


def words(text: str) -> str:
    return " ".join(text.split())


def test_an_answer_says_what_the_command_says() -> None:
    said = words(placement_text(found("brake-to-place")))
    (answer,) = told("brake-to-place")["answers"]
    for row in answer["values"]:
        assert (
            words(" ".join(row[k] for k in ("label", "allowed", "exact", "put")))
            in said
        )
    for row in answer["targets"]:
        keys = ("says", "wanted", "exact", "got", "verdict")
        assert words(" ".join(row[k] for k in keys)) in said
    for text in (answer["free"]["says"], *answer["free"]["each"], *answer["metal"]):
        assert words(text) in said


def test_what_is_put_is_what_is_marked_out_and_written() -> None:
    placement = found("brake-to-place")
    (answer,) = told("brake-to-place")["answers"]
    written = written_values(placement, placement.answers[0])
    for row in answer["values"]:
        number = float(row["put"])
        assert number == written[row["path"].removeprefix("brake.")]
        assert number * 2 == round(number * 2)
        assert float(row["exact"]) == pytest.approx(number, abs=0.26)


def test_a_conflict_says_what_the_command_says() -> None:
    said = words(placement_text(found("brake-wishes-fight")))
    row = told("brake-wishes-fight")
    assert (row["status"], row["answers"]) == ("conflict", [])
    (conflict,) = row["conflicts"]
    assert words(conflict["because"]) in said
    assert words(conflict["says"]) in said
    for give in conflict["gives"]:
        assert words(" ".join(give.values())) in said
    assert {clash["n"] for clash in conflict["targets"]} == {1, 2}


def test_a_stroke_that_would_do_is_told_without_a_fight() -> None:
    """The bare linkage cannot make its travel in a cylinder of 5 mm."""
    found = asked(HANGING.replace("stroke = 30.5", "stroke = 5"))
    row = answers(found, units=None, door="right")
    assert (row["answers"], row["conflicts"]) == ([], [])
    assert "stroke" in [give["label"].rpartition(" ")[2] for give in row["gives"]]
    said = words(placement_text(found))
    for give in row["gives"]:
        assert words(" ".join(give.values())) in said


def test_a_small_side_view_has_the_answer_at_rest_and_at_full() -> None:
    placement = found("brake-to-place")
    (answer,) = told("brake-to-place")["answers"]
    (pedal,) = answer["scene"]["pedals"]
    design = load_text(placement.answers[0].text)
    assert [len(body["turn"]) for body in pedal["bodies"]] == [2]
    left, low, right, high = answer["scene"]["extent"]
    x, z, _ = pedal["bodies"][0]["pins"][0]
    assert x == pytest.approx(-design.values["brake.pivot.back"].nominal)
    assert left < x < right
    assert low < z < high


@pytest.mark.parametrize("name", ["brake-to-place", "brake-wishes-fight"])
def test_inches_say_lengths_in_inches_and_values_as_the_file_has_them(
    name: str,
) -> None:
    own, inches = told(name), told(name, "in")
    json.dumps(inches, allow_nan=False)
    for a, b in zip(own["answers"], inches["answers"], strict=True):
        assert a["values"] == b["values"]
        assert a["metal"] != b["metal"]

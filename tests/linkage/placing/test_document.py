"""The JSON document: its keys, its units, its numbers those of the file as written."""

import json
import re
import tomllib
from typing import Any

import pytest

from linkage.placing.document import placement_json
from tests.linkage.placing.asked import HANGING, SHARED, SHORT, asked


def document(text: str, **how: Any) -> dict[str, Any]:
    said = json.dumps(placement_json(asked(text, **how)), allow_nan=False)
    found: dict[str, Any] = json.loads(said)
    return found


def test_an_answer_in_mm_and_degrees_as_the_file_has_it() -> None:
    text = HANGING.replace('axis = "forward"', 'axis = "forward, 0 to 2 deg near 1 up"')
    placement = asked(text)
    found = json.loads(json.dumps(placement_json(placement)))
    assert list(found) == ["pedals", "status", "answers", "conflict"]
    assert (found["pedals"], found["status"]) == (["brake"], "placed")
    answer = found["answers"][0]
    assert set(answer) == {"values", "targets", "free_directions", "touched"}
    brake = tomllib.loads(placement.answers[0].text)["pedal"]["brake"]
    assert answer["values"] == {
        "pivot.back": brake["pivot"]["back"],
        "clevis.back": brake["clevis"]["back"],
        "clevis.down": brake["clevis"]["down"],
        "train.1.face.up": brake["train"][0]["face"]["up"],
        "train.1.axis": pytest.approx(
            float(re.findall(r"[\d.]+", brake["train"][0]["axis"])[0])
        ),
    }
    first = answer["targets"][1]
    assert first["target"] == 2
    assert (first["of"], first["at"], first["unit"]) == ("crank angle", "65 mm", "deg")
    assert first["wanted"] == {"is": 90.0, "within": 1.0}
    assert first["met"] is True
    assert first["got"] == pytest.approx(90.0, abs=1.0)
    assert answer["targets"][3]["wanted"] == {"most": 1.5}


def test_pedals_together_carry_their_names() -> None:
    found = document(SHARED)
    assert found["pedals"] == ["brake", "clutch"]
    answer = found["answers"][0]
    assert set(answer["values"]) == {"clutch.clevis.z", "point.shaft.x"}
    assert [(t["pedal"], t["target"]) for t in answer["targets"]] == [
        ("brake", 1),
        ("clutch", 1),
    ]


def test_a_conflict() -> None:
    found = document(SHORT)
    assert (found["status"], found["answers"]) == ("conflict", [])
    one, two = found["conflict"]
    assert {"target", "of", "at", "missed_by", "unit", "would_do"} <= set(one)
    assert (one["target"], one["of"], one["unit"]) == (1, "stroke", "mm")
    assert (two["target"], two["of"], two["unit"]) == (2, "ratio", "1")
    assert found["give"][0]["value"] == "travel"
    assert "18.2" in found["proof"]


def test_further_conflicts_are_lists_of_their_own() -> None:
    text = SHORT + (
        '[[pedal.brake.target]]\nof = "crank angle"\nat = "rest"\nleast = 100\n'
        '[[pedal.brake.target]]\nof = "crank angle"\nat = "rest"\nmost = 95\n'
    )
    found = document(text)
    assert [t["target"] for t in found["conflict"]] != []
    assert all(isinstance(each, list) for each in found["further"])
    assert found["conflict"][0]["unit"] in ("mm", "1", "deg")


def test_no_answer_says_why() -> None:
    found = document(HANGING.replace("stroke = 30.5", "stroke = 5"))
    assert (found["status"], found["conflict"]) == ("no answer found", [])
    assert found["why"].endswith(".")


def test_inch_files_speak_mm_here() -> None:
    text = """
units = "in"
[pedal.brake]
pivot = [4.75, 21.5]
pad = [1.4, 10]
clevis = ["4.1 to 4.3", 19]
travel = 4
[[pedal.brake.train]]
part = "cylinder"
seat = [9.1, 19.1]
axis = "forward"
[[pedal.brake.target]]
of = "stroke"
at = "2 in"
is = 0.42
within = 0.01
"""
    found = document(text)
    assert found["status"] == "placed"
    (value,) = found["answers"][0]["values"].values()
    assert 4.1 * 25.4 <= value <= 4.3 * 25.4
    target = found["answers"][0]["targets"][0]
    assert target["wanted"] == {"is": pytest.approx(10.668), "within": 0.254}
    assert target["unit"] == "mm"

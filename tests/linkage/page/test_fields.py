"""Fields: each number of a file, as spelt and as it is meant."""

from typing import Any

import pytest

from linkage.design.grammar import read_number
from linkage.page.document import read
from linkage.page.fields import fields
from linkage.page.view import state
from linkage.units import Measure
from linkage.words.speech import Speech
from tests.linkage.page.cases import EXAMPLES, FORMS

Row = dict[str, Any]


def rows(text: str, units: Any = "mm") -> dict[str, Row]:
    design = read(text, "x.toml").design
    assert design is not None
    return {row["path"]: row for row in fields(design, Speech(units))}


def test_every_number_and_choice_has_its_field_in_the_order_of_the_file() -> None:
    design = read(FORMS, "x.toml").design
    assert design is not None
    found = fields(design, Speech("mm"))
    assert {row["path"] for row in found} == {*design.values, *design.choices}
    lines = [row["line"] for row in found]
    assert lines == sorted(lines)


@pytest.mark.parametrize("units", ["mm", "in"])
def test_what_is_shown_reads_as_what_is_meant(units: Any) -> None:
    """Typed back with its unit, each field means the number that it has."""
    for text in (FORMS, (EXAMPLES / "brake-inches.toml").read_text()):
        for row in rows(text, units).values():
            if row["kind"] == "choice" or row["unit"] not in ("mm", "in", "deg"):
                continue
            measure = Measure.ANGLE if row["unit"] == "deg" else Measure.LENGTH
            spelt = row["shown"].replace(" +- ", f" {row['unit']} +- ")
            value = read_number(f"{spelt} {row['unit']}", measure)
            size = 180.0 / 3.141592653589793 if row["unit"] == "deg" else 1.0
            assert value.nominal * size == pytest.approx(row["number"], abs=2e-3)
            if row["low"] is not None:
                ends = (value.low, value.high)
                assert None not in ends
                assert [end * size for end in ends if end is not None] == pytest.approx(
                    [row["low"], row["high"]], abs=2e-3
                )


def test_a_field_says_what_kind_of_number_it_is() -> None:
    found = rows(FORMS)
    free = found["brake.holes.lower.reach"]
    assert (free["kind"], free["low"], free["high"], free["near"]) == (
        *("free", 40.0),
        *(80.0, 57.0),
    )
    assert free["says"] == "free, read as 57 mm (near)"
    assert found["point.post.z"]["says"] == (
        "free, read as 400 mm (the middle of its range)"
    )
    assert found["brake.pad.back"]["says"] == "205 mm, +- 1.5"
    assert found["brake.pad.up"]["says"] == "a guess: 262 mm"
    assert found["brake.clevis"]["options"] == ["lower", "upper"]
    assert found["brake.train.2.bore"]["kind"] == "choice"
    assert found["brake.train.1.rod"]["group"] == "crank"
    assert found["point.shaft.back"]["pedal"] is None


def test_what_is_welded_is_locked() -> None:
    text = (EXAMPLES / "brake-hanging.toml").read_text()
    before = {path for path, row in rows(text).items() if row["locked"]}
    assert not before
    welded = text.replace("[pedal.brake]\n", '[pedal.brake]\nlocked = ["pivot"]\n', 1)
    after = {path for path, row in rows(welded).items() if row["locked"]}
    assert after == {"brake.pivot.back", "brake.pivot.up"}


def test_a_target_may_be_of_what_the_file_may_name() -> None:
    """Each quantity that the page offers is read, with its points where it has some."""
    text = (EXAMPLES / "brake-hanging.toml").read_text(encoding="utf-8")
    result = state(read(text, "x.toml"), units=None, door="right")
    assert result is not None
    names = ["pad", "pivot", "clevis"]
    for each in result["quantities"]:
        points = names[: each["between"]]
        between = f"between = {points}\n" if points else ""
        wish = f'\n[[pedal.brake.target]]\nof = "{each["name"]}"\nmost = 900\n'
        said = " ".join(map(str, read(text + wish + between, "x.toml").faults))
        assert "between" not in said
        assert "measure" not in said

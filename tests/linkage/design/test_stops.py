"""A target beyond the full stop: one fault at reading, whichever command reads."""

import json
import math
from pathlib import Path

import pytest
from click.testing import CliRunner

from linkage.commands import footwell
from linkage.faults import DesignError
from linkage.loading import load_text
from tests.linkage.design.samples import BRAKE

#: From pivot to pad: [120, 545] to [35, 255].
RADIUS = math.hypot(85.0, 290.0)


def asked(travel: str, at: str) -> str:
    return BRAKE.replace("travel = 120", travel).replace('"full"', at)


@pytest.mark.parametrize(
    ("travel", "at", "says"),
    [
        (
            "travel = 120",
            '"140 mm"',
            'travels 120 mm. Write "full", or up to "120 mm".',
        ),
        ("travel = 120", "140", '"140" lies beyond the full stop'),
        ("travel = 120", '"60 to 120.1 mm"', "beyond the full stop"),
        ("travel = 120", '"0 to 110 %"', 'Write "full", or up to "100 %".'),
        ('travel = "100 to 150"', '"151 mm"', "travels 150 mm at most."),
        ('travel = "100 to 150 near 120"', "151", "travels 150 mm at most."),
        ("travel = { one_of = [100, 130] }", "131", "travels 130 mm at most."),
        ('travel = "5 in"', '"6 in"', "travels 5 in."),
        ("full = { tape = 119 }", "140", "beyond the full stop: the pad travels 119."),
        ("full = { ahead = 150 }", "140", "beyond the full stop: the pad travels 116."),
    ],
)
def test_a_place_beyond_the_stop_is_a_fault(travel: str, at: str, says: str) -> None:
    with pytest.raises(DesignError) as refusal:
        load_text(asked(travel, at), "brake.toml")
    (fault,) = refusal.value.faults
    assert says in str(fault)
    assert (fault.key, fault.line in (18, 20)) == ("at", True)


def test_the_stop_itself_and_what_is_free_to_reach_it_are_none() -> None:
    for travel, at in (
        ("travel = 120", '"120 mm"'),
        ("travel = 120", '"0 to 100 %"'),
        ('travel = "100 to 150"', '"150 mm"'),
        ('full = { tape = "100 to 150" }', '"150 mm"'),
    ):
        assert load_text(asked(travel, at)).pedals["brake"].targets


def test_a_stop_by_tape_is_where_trigonometry_has_it() -> None:
    """A chord of the pad's circle: arc = 2 R asin(chord / 2 R)."""
    arc = 2.0 * RADIUS * math.asin(119.0 / (2.0 * RADIUS))
    load_text(asked("full = { tape = 119 }", f"{arc - 0.001:.4f}"))
    with pytest.raises(DesignError) as refusal:
        load_text(asked("full = { tape = 119 }", f"{arc + 0.001:.4f}"))
    (fault,) = refusal.value.faults
    said = fault.right.rpartition(' "')[2].removesuffix(' mm".')
    assert arc - 0.01 <= float(said) <= arc


def test_every_command_says_the_same(tmp_path: Path) -> None:
    file = tmp_path / "brake.toml"
    file.write_text(
        asked("travel = 120", '"140 mm"').replace("[120, 545]", '["110 to 130", 545]')
    )
    said = set()
    for command in ("show", "sweep", "place", "effort"):
        result = CliRunner().invoke(footwell, [command, str(file), "--json"])
        assert result.exit_code == 2
        said.add(json.dumps(json.loads(result.stdout)["faults"]))
    assert len(said) == 1


def test_places_of_the_command_line_may_still_go_beyond(tmp_path: Path) -> None:
    file = tmp_path / "brake.toml"
    file.write_text(BRAKE)
    words = ["sweep", str(file), "--json", "--at", "0,125"]
    result = CliRunner().invoke(footwell, words)
    assert result.exit_code in (0, 1)
    columns = json.loads(result.stdout)["columns"]
    assert columns["travel"]["values"] == [0.0, 125.0]

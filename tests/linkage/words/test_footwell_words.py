"""The footwell in words and for programs: what is near, what touches, the pads."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from linkage.commands import footwell
from linkage.footwell.clearance import clearances
from linkage.footwell.document import footwell_document
from linkage.sweeping import sweep, sweep_document
from linkage.words.footwell import beside, gap_lines, gap_text, nearest_of, room_lines
from linkage.words.names import value_name
from linkage.words.speech import Speech
from tests.linkage.footwell.rooms import FULL, design, resting

MM = Speech("mm")


def test_the_nearest_part_of_each_thing_the_least_gap_first() -> None:
    found = nearest_of(resting(), 120.0)
    assert [each.thing for each in found][:2] == ["throttle arm", "throttle pad"]
    assert [each.gap for each in found] == sorted(each.gap for each in found)
    assert len({each.thing for each in found}) == len(found) == 6


def test_a_gap_and_a_touch_in_words() -> None:
    seen = {(c.part, c.thing): c for c in clearances(resting(), 120.0)}
    wall = seen["pad", "bulkhead"]
    assert gap_text(wall, MM) == f"{wall.gap:.1f} at 120.0 of pad"
    shoe = seen["shoe", "throttle pad"]
    assert shoe.touch is not None
    assert gap_text(shoe, MM) == (
        f"touches at {shoe.touch:.1f} of pad; {-shoe.gap:.1f} in its way at "
        f"{shoe.travel:.1f}"
    )


def test_the_table_stands_below_the_sweep(tmp_path: Path) -> None:
    lines = gap_lines(resting(), 120.0)
    assert lines[1] == "  Nearest on the way, mm"
    assert any(line.startswith("    shoe to throttle pad") for line in lines)
    (tmp_path / "full.toml").write_text(FULL)
    words = ["sweep", str(tmp_path / "full.toml"), "--pedal", "brake"]
    result = CliRunner().invoke(footwell, words)
    assert result.exit_code == 0
    assert "\n".join(lines) in result.stdout


def test_a_bare_footwell_has_no_table() -> None:
    bare = (
        FULL.partition("[[footwell.fixed]]")[0]
        + "[pedal.brake]"
        + (FULL.partition("[pedal.brake]")[2].partition("[pedal.throttle]")[0])
    )
    rest = resting(bare)
    assert gap_lines(rest, 120.0) == []
    assert list(room_lines(design(bare), rest)) == []
    assert footwell_document(rest, 120.0) == {}
    assert {*sweep_document(sweep(design(bare), "brake"))} == {
        *("pedal", "columns", "limit", "ends"),
    }


def test_what_the_file_says_is_read_back() -> None:
    text = " ".join(room_lines(design(), resting()))
    assert "steering column, all across; tunnel, 20 right to 200 right" in text
    assert "Shoe 300 long, about 125 wide, sole about 12, 66 over the toes" in text
    assert "flat on the pad" in text
    assert "so taken" not in text
    plain = FULL.replace(", wide = 70, high = 55, lean = 12", "")
    text = " ".join(room_lines(design(plain), resting(plain)))
    assert "so taken: a pad 60 wide and 64 high" in text


def test_pads_in_words_from_either_side() -> None:
    from linkage.footwell.pads import PadGap

    pad = PadGap(
        left="brake",
        right="throttle",
        edge=42.5,
        step=30.0,
        left_full=-20.0,
        right_full=70.0,
        level=31.0,
    )
    assert beside(pad, "brake", MM) == (
        "The throttle pad is to the right: 42.5 between their edges. At rest this face "
        "is 30 nearer to you; at full, 20 beyond it. They are level at 31.0 of pad."
    )
    assert beside(pad, "throttle", MM) == (
        "The brake pad is to the left: 42.5 between their edges. At rest this face is "
        "30 beyond it; at full, 70 beyond it."
    )


def test_programs_read_the_same(tmp_path: Path) -> None:
    (tmp_path / "full.toml").write_text(FULL)
    words = ["sweep", str(tmp_path / "full.toml"), "--pedal", "brake", "--json"]
    result = CliRunner().invoke(footwell, words)
    assert result.exit_code == 0
    document = json.loads(result.stdout)
    seen = clearances(resting(), 120.0)
    rows = document["clearance"]
    assert [(r["part"], r["thing"]) for r in rows] == [(c.part, c.thing) for c in seen]
    for row, each in zip(rows, seen, strict=True):
        assert row["gap"] == pytest.approx(each.gap)
        assert row["on_thing"] == pytest.approx(
            [each.on_thing.real, each.on_thing.imag]
        )
    assert document["pads"][0]["between_edges"] == pytest.approx(-15.0)
    assert document["columns"].keys() >= {"travel", "stroke", "ratio"}


def test_a_number_of_a_fixed_thing_goes_by_its_name() -> None:
    assert value_name(design(), "footwell.fixed.1.thick") == "steering column, thick"
    assert value_name(design(), "footwell.fixed.3.arc.2.x") == (
        "pipe, arc, 2, fore and aft"
    )


def test_no_two_empty_lines_stand_before_the_table(tmp_path: Path) -> None:
    """A pedal without a train has no sentences between its rows and the table."""
    bare = FULL.partition("[[pedal.brake.train]]")[0].replace("clevis = {", "# {")
    (tmp_path / "bare.toml").write_text(bare)
    result = CliRunner().invoke(footwell, ["sweep", str(tmp_path / "bare.toml")])
    assert result.exit_code == 0
    assert "\n\n  Nearest on the way" in result.stdout
    assert "\n\n\n" not in result.stdout

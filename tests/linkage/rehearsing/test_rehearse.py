"""Each failure against the same brake with other words in its file, and plain laws."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from linkage.car.rig import rig_of
from linkage.design.records import Design
from linkage.faults import DesignError
from linkage.loading import load_text
from linkage.rehearsing.document import rehearsal_document
from linkage.rehearsing.rehearse import GREATEST, Outcome, Rehearsal, rehearse

EXAMPLES = Path(__file__).parents[3] / "examples"
BAR, BOOSTED, MANUAL = (
    (EXAMPLES / f"brake-{name}.toml").read_text(encoding="utf-8")
    for name in ("bar", "boosted", "manual")
)
TEXTS = {"bar": BAR, "boosted": BOOSTED, "manual": MANUAL}


@cache
def found(text: str, foot: float = GREATEST) -> Rehearsal:
    return rehearse(load_text(text), "brake", foot)


def outcome(text: str, name: str) -> Outcome:
    return next(each for each in found(text).outcomes if each.case.name == name)


def pressed(design: Design, effort: float, **state: str | bool) -> tuple[float, float]:
    """Return (travel, deceleration) of a brake at an effort."""
    rig = rig_of(design, "brake", **state)  # type: ignore[arg-type]
    at = rig.state(np.array([rig.level_of_foot(effort)]))
    assert at.car is not None
    return float(at.foot.travel[0]), float(at.car.z[0])


def told(each: Outcome) -> tuple[float, float | None]:
    return each.travel, each.z


def test_a_hundred_pounds_are_the_usual_greatest_effort() -> None:
    """100 lbf: common practice, no source; 1 lbf is 4.4482216152605 N (NIST SP 811)."""
    assert pytest.approx(444.82216152605) == GREATEST


@pytest.mark.parametrize(
    ("text", "names"),
    [
        (BOOSTED, ["booster dead", "front circuit lost", "rear circuit lost"]),
        (MANUAL, ["front circuit lost", "rear circuit lost"]),
        (
            BAR,
            [
                *("front circuit lost", "rear circuit lost"),
                *("bar wound to the front", "bar wound to the rear"),
            ],
        ),
    ],
    ids=["boosted", "manual", "bar"],
)
def test_what_such_a_brake_can_fail_in(text: str, names: list[str]) -> None:
    whole = {"all well", *names, "pads knocked back", "fluid hot", "air in the fluid"}
    assert {each.case.name for each in found(text).outcomes} == whole


def test_a_dead_booster_is_what_the_budget_makes_of_it() -> None:
    got = outcome(BOOSTED, "booster dead")
    assert told(got) == pytest.approx(pressed(load_text(BOOSTED), GREATEST, dead=True))


@pytest.mark.parametrize("name", sorted(TEXTS))
@pytest.mark.parametrize("lost", ["front", "rear"])
def test_a_lost_circuit_holds_nothing(name: str, lost: str) -> None:
    got = outcome(TEXTS[name], f"{lost} circuit lost")
    assert told(got) == pytest.approx(
        pressed(load_text(TEXTS[name]), GREATEST, lost=lost)
    )
    assert got.state.fluid.pressures[lost][0] == 0.0


def test_a_case_is_the_file_with_other_words() -> None:
    """The bar's bearing, fluid and clearances as a builder would write them."""
    shift = 101.6 / 6.0
    for side in ("front", "rear"):
        got = outcome(BAR, f"bar wound to the {side}")
        wound = BAR.replace('"5 towards front"', f'"{shift:.12f} towards {side}"')
        assert told(got) == pytest.approx(pressed(load_text(wound), GREATEST), rel=1e-9)
    airy = BAR.replace('bulk = "1.8 GPa"', 'bulk = "1.8 GPa"\nair = "1 cc"')
    got = outcome(BAR, "air in the fluid")
    assert told(got) == pytest.approx(pressed(load_text(airy), GREATEST), rel=1e-9)
    hot = BAR.replace('"1.8 GPa"', '"1.08 GPa"')
    got = outcome(BAR, "fluid hot")
    assert told(got) == pytest.approx(pressed(load_text(hot), GREATEST), rel=1e-9)
    rig = rig_of(load_text(BAR.replace("clearance = 0.1", "clearance = 0.6")), "brake")
    got = outcome(BAR, "pads knocked back")
    assert got.stopped == "the piston is at its end"
    assert got.level == pytest.approx(rig.top, rel=1e-9)


def test_a_bar_without_a_shift_is_wound_as_well() -> None:
    bare = BAR.replace('shift = "5 towards front"', "")
    got = outcome(bare, "bar wound to the rear")
    wound = BAR.replace('"5 towards front"', f'"{101.6 / 6.0:.12f} towards rear"')
    assert told(got) == pytest.approx(pressed(load_text(wound), GREATEST), rel=1e-9)


@pytest.mark.parametrize("name", sorted(TEXTS))
def test_nothing_goes_beyond_its_end(name: str) -> None:
    rehearsed = found(TEXTS[name], 2500.0)
    for each in rehearsed.outcomes:
        assert each.travel <= each.first.travel * (1.0 + 1e-6)
        assert each.first.travel <= rehearsed.reach * (1.0 + 1e-9)
        assert each.share == pytest.approx(100.0 * each.travel / rehearsed.reach)
        assert bool(each.stopped) == (each.effort < 2500.0 * (1.0 - 1e-6))


def test_a_floor_that_is_met_first_ends_the_way() -> None:
    """A bulkhead tube 60 mm ahead of the pad's back: neither stop nor piston comes."""
    tube = (
        '\n[[footwell.fixed]]\nname = "tube"\n'
        "circle = { back = 105, up = 258, diameter = 16 }\n"
    )
    file = BAR.replace("\n[pedal.brake]\n", f"{tube}\n[pedal.brake]\n", 1)
    rehearsed = found(file, 1500.0)
    assert rehearsed.reach < 115.0
    assert "meets" in rehearsed.counted
    assert "tube" in rehearsed.counted
    for each in rehearsed.outcomes:
        assert each.travel <= rehearsed.reach * (1.0 + 1e-6)
    lost = next(e for e in rehearsed.outcomes if e.case.name == "front circuit lost")
    assert lost.first.what == rehearsed.counted
    assert lost.travel == rehearsed.reach
    assert lost.state.fluid.pressures["rear"][0] == 0.0
    assert lost.missed == f"{rehearsed.counted} before that"


def test_what_a_regulation_asks_is_asked_of_each() -> None:
    """FMVSS 135 S7.10 and S7.11 ask 2.44 m/s2 of what is left, S7.5 else 6.43."""
    for each in found(BOOSTED).outcomes:
        assert each.meeting is not None
        failed = each.case.dead or bool(each.case.lost)
        want = 2.4417877793 if failed else 6.4300411523
        assert each.meeting.rule.deceleration == pytest.approx(want)
        assert each.meeting.rule.effort[1] == 500.0


def test_a_brake_that_misses_says_why() -> None:
    misses = found(BOOSTED).misses
    assert [each.case.name for each in misses] == ["pads knocked back"]
    assert "before that" in misses[0].missed


def test_without_a_car_the_pad_is_still_told() -> None:
    start, end = MANUAL.index("[vehicle]"), MANUAL.index("[circuit.front]")
    rehearsed = found(MANUAL[:start] + MANUAL[end:])
    assert all(each.z is None and each.meeting is None for each in rehearsed.outcomes)
    assert rehearsed.misses == ()
    assert all(each.travel > 10.0 for each in rehearsed.outcomes)


def test_a_tandem_of_unknown_stroke_is_said_to_be_left_out() -> None:
    text = MANUAL.replace('stroke = "1 in"\n', "").replace(
        'first_stroke = "1/2 in"            # the chamber at the rod; the rest is the rear\'s\n',
        "",
    )
    rehearsed = found(text)
    names = [each.case.name for each in rehearsed.skipped]
    assert names == ["front circuit lost", "rear circuit lost"]
    assert "how long that is" in rehearsed.skipped[0].why


def test_a_pedal_without_fluid_is_refused() -> None:
    text = (EXAMPLES / "clutch-cable.toml").read_text(encoding="utf-8")
    with pytest.raises(DesignError, match="no cylinder"):
        rehearse(load_text(text), "clutch")


def test_the_document_is_whole() -> None:
    got = rehearsal_document(found(BAR))
    rows = {row["failure"]: row for row in got["failures"]}
    assert abs(rows["front circuit lost"]["tilt"]) > 5.0
    assert rows["front circuit lost"]["pressure"]["front"] == 0.0
    assert rows["all well"]["rule"]["missed"] is None
    assert rows["all well"]["share"] == pytest.approx(
        100.0 * rows["all well"]["travel"] / got["reach"]
    )

"""A brake along its pad's travel: against hand sums, and against single questions."""

import numpy as np
import pytest

from linkage.car.along import along
from linkage.car.asking import ask
from linkage.car.rig import rig_of
from linkage.design.records import Design
from linkage.loading import load, load_text
from linkage.sweeping import sweep, sweep_document
from tests.documents import ROOT
from tests.linkage.car.test_rig import BOOSTED, TEXT, drags, moved_of, pad_of, rod_of

EXAMPLES = ROOT / "examples"
WHOLE = ("brake-boosted", "brake-manual")


@pytest.mark.parametrize("p", [0.01, 0.4, 1.9, 2.1, 5.0, 9.0])
def test_at_the_travel_of_a_pressure_by_hand(p: float) -> None:
    """Pythagoras, volumes and levers by hand say where the pad is at a pressure."""
    found = along(load_text(TEXT), "brake", [pad_of(moved_of(p, rod_of(p)))])
    assert found["front_pressure"].values == pytest.approx([p], rel=1e-8)
    assert found["rear_pressure"].values == pytest.approx([p], rel=1e-8)
    held = sum(drags(p)) / (900.0 * 9.80665)
    if held < 0.5:  # neither axle locks
        assert found["deceleration"].values == pytest.approx([held], rel=1e-8)


@pytest.mark.parametrize("name", WHOLE)
@pytest.mark.parametrize("push", [60.0, 200.0, 400.0])
def test_it_agrees_with_a_question_about_one_push(name: str, push: float) -> None:
    design = load(EXAMPLES / f"{name}.toml")
    state = ask(rig_of(design, "brake"), "foot", push, swayed=False).state
    found = along(design, "brake", state.foot.travel)
    assert found["foot_force"].values == pytest.approx([push], rel=1e-8)
    for circuit, size in state.fluid.pressures.items():
        told = found[f"{circuit}_pressure"]
        assert told.unit == "MPa"
        assert told.values == pytest.approx(size, rel=1e-8)
    assert state.car is not None
    assert found["deceleration"].values == pytest.approx(state.car.z, rel=1e-8)


@pytest.mark.parametrize("text", [TEXT, BOOSTED], ids=["bare", "boosted"])
def test_forces_go_on_but_for_the_jump_of_a_booster(text: str) -> None:
    """Twice as fine, half the greatest step; a booster's jump stays, and is one."""
    steps = []
    for count in (4001, 8001):
        found = along(load_text(text), "brake", np.linspace(0.0, 40.0, count))
        steps.append(np.sort(np.abs(np.diff(found["foot_force"].values)))[-2])
    assert steps[1] == pytest.approx(0.5 * steps[0], rel=0.2)


def test_before_the_gap_is_closed_the_foot_carries_arm_and_springs() -> None:
    found = along(load_text(TEXT), "brake", [0.0, 1.0])
    assert found["front_pressure"].values.tolist() == [0.0, 0.0]
    rig = rig_of(load_text(TEXT), "brake")
    bare = rig.effort(np.array([0.0, 1.0]), rig.driven.rod(np.zeros(2)))
    assert found["foot_force"].values == pytest.approx(bare, abs=1e-12)


def beyond(design: Design) -> float:
    rig = rig_of(design, "brake")
    return float(rig.state(np.array([rig.top])).foot.travel[0])


def test_beyond_its_end_there_is_no_value() -> None:
    design = load_text(TEXT)
    end = beyond(design)
    found = along(design, "brake", [-1.0, end * (1 - 1e-9), end * (1 + 1e-6), 1e4])
    for each in found.values():
        assert np.isfinite(each.values).tolist() == [False, True, False, False]


def test_a_sweep_has_these_columns_under_names_of_their_own() -> None:
    design = load(EXAMPLES / "brake-boosted.toml")
    swept = sweep(design, "brake", positions=7)
    units = {name: column.unit for name, column in swept.columns.items()}
    assert list(units)[-4:] == [
        "foot_force",
        "front_pressure",
        "rear_pressure",
        "deceleration",
    ]
    assert [units[name] for name in list(units)[-4:]] == ["N", "MPa", "MPa", "g0"]
    told = sweep_document(swept)["columns"]["foot_force"]
    found = along(design, "brake", swept["travel"])["foot_force"].values
    np.testing.assert_array_equal(told["values"], found)


@pytest.mark.parametrize("name", ["brake-hanging", "clutch-cable", "throttle-lever"])
def test_what_has_no_circuits_has_none(name: str) -> None:
    design = load(EXAMPLES / f"{name}.toml")
    (pedal,) = design.pedals
    assert along(design, pedal, [0.0]) == {}
    assert "foot_force" not in sweep(design, pedal).columns


def test_numbers_put_in_place_of_the_file_s_count() -> None:
    design = load_text(TEXT)
    path = "brake.train.1.bore"
    swept = sweep(design, "brake", values={path: 25.4}, positions=5)
    plain = sweep(design, "brake", positions=5)
    assert swept["foot_force"][3] > plain["foot_force"][3]

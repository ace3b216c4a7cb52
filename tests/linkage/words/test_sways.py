"""What a number sways: exact derivatives against sweeps of the altered file."""

from pathlib import Path

import numpy as np
import pytest

from linkage.design.records import Design
from linkage.loading import load, load_text
from linkage.sweeping import sweep
from linkage.templates import TEMPLATES
from linkage.words.guesses import twice_text
from linkage.words.sways import Swayed, likely, on_metal, readings, sways
from tests.linkage.words.test_show import BRAKE

EXAMPLES = Path(__file__).parents[3] / "examples"
COLUMN = {"rod angle": "rod_angle", "cable pull": "cable_pull"}
STEP = 1e-5


def _by_differences(design: Design, pedal: str, swayed: Swayed, of: str) -> float:
    """The greatest slope over rest, half and full, from two sweeps, times the error."""
    column = COLUMN.get(of, of.replace(" ", "_"))
    at = swayed.value
    step = STEP * max(1.0, abs(at.nominal))
    sides = [
        sweep(design, pedal, positions=3, values={at.path: at.nominal + side * step})
        for side in (-1.0, 1.0)
    ]
    if column not in sides[0].columns:
        column = "_".join(column.split("_")[-2:])
    slope = (sides[1][column] - sides[0][column]) / (2.0 * step)
    return float(np.nanmax(np.abs(slope))) * swayed.out


DESIGNS = {
    "guess": (load_text(BRAKE), "brake"),
    "throttle": (load_text(TEMPLATES["throttle"].text), "throttle"),
    "floor": (load(EXAMPLES / "brake-floor.toml"), "brake"),
    "lever": (load(EXAMPLES / "throttle-lever.toml"), "throttle"),
    "shared": (load(EXAMPLES / "three-on-one-shaft.toml"), "clutch"),
}


@pytest.mark.parametrize("name", DESIGNS)
def test_every_sway_is_what_an_altered_file_shows(name: str) -> None:
    design, pedal = DESIGNS[name]
    seen = 0
    for swayed in sways(design, pedal).values():
        for sway in swayed.sways:
            if "rod length" in sway.of or swayed.value.path.endswith("free_play"):
                continue
            of = sway.of.replace("crank turn", "lever turn")
            expected = _by_differences(design, pedal, swayed, of)
            assert sway.change == pytest.approx(expected, rel=1e-4, abs=1e-5), (
                swayed.value.path,
                sway.of,
            )
            seen += sway.change > 0.0
    assert seen > 5


def test_a_guessed_depth_moves_the_rod_alone() -> None:
    design = load_text(BRAKE)
    depth = sways(design, "brake")["brake.train.1.depth"]
    assert depth.out == 5.0
    (only,) = depth.felt
    assert only.of == "rod length"
    assert only.change == pytest.approx(5.0, abs=0.01)


def test_how_far_a_number_may_be_out() -> None:
    design = load_text(
        BRAKE.replace(
            "{ back = 127, up = 490 }", '{ from = "pivot", back = 9, down = 56 }'
        )
        .replace("free_play = 0.5", 'free_play = "about 0.5"')
        .replace('"forward"', '"forward, 2 deg up"')
    )
    metal = on_metal(design)
    outs = {path: likely(each, metal) for path, each in design.values.items()}
    assert outs["brake.pivot.back"] == 2.0  # said
    assert outs["brake.pad.up"] == 3.0  # said
    assert outs["brake.train.1.face.up"] == 2.0  # a tape in the car
    assert outs["brake.clevis.down"] == 0.5  # a rule on metal
    assert outs["brake.train.1.depth"] == 5.0  # a guess
    assert outs["brake.train.1.free_play"] == 0.25  # a small guess: half of it
    assert outs["brake.train.1.axis"] == pytest.approx(np.radians(1.0))


def test_the_reading_to_take_twice_sways_most() -> None:
    """2 mm on the height from pivot to cylinder over 140 mm of rod is 0.8 deg."""
    design = load_text(TEMPLATES["hanging-brake"].text)
    found = sways(design, "brake")
    order = readings(found)
    assert {each.value.path for each in order[:2]} == {
        "brake.pivot.up",
        "brake.train.1.face.up",
    }
    lean = next(s.change for s in order[1].sways if s.of == "rod angle")
    rod = 140.96  # face 3 ahead and 11 deep, hole 9 behind a pivot 118 back
    assert lean == pytest.approx(np.degrees(2.0 / rod), rel=2e-3)
    text = twice_text(design, found)
    assert 'Do these two twice: "pivot, up" and "cylinder face, up".' in text
    assert "the rod's lean by 0.8 deg" in text
    assert 'Not worth it: "cylinder face, ahead"' in text


def test_guesses_and_free_values_are_no_readings() -> None:
    text = BRAKE.replace("up = 489.5", 'up = "475 to 505"')
    paths = [r.value.path for r in readings(sways(load_text(text), "brake"))]
    assert "brake.train.1.depth" not in paths
    assert "brake.train.1.face.up" not in paths
    assert "brake.train.1.face.ahead" in paths


def test_a_train_that_stops_early_is_looked_at_before_its_limit() -> None:
    text = BRAKE.replace("travel = 150", "travel = 450")
    found = sways(load_text(text), "brake")
    assert all(np.isfinite(s.change) for each in found.values() for s in each.sways)
    assert any(s.change > 0.0 for each in found.values() for s in each.sways)

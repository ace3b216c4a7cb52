"""Every example runs, is a pedal to fit, and has one number worked out by hand here.

The second road is plain trigonometry from the numbers typed in the files: points are
complex, x forward and z up, mm; or a general root finder on the loop that must close.
"""

import cmath
import math
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import brentq

from linkage.car.rig import rig_of
from linkage.design.records import Design
from linkage.footwell.clearance import clearances
from linkage.loading import load, load_text
from linkage.motion.run import move
from linkage.placing.place import place
from linkage.pressing.document import pressed_document
from linkage.pressing.press import load_pedal
from linkage.sweeping import Sweep, standing, sweep
from linkage.words.effort import effort_text

HERE = Path(__file__).parent.parent / "examples"
INCH = 25.4
SHAFT = complex(-118, 548)
BRAKE_PAD = complex(-207, 262)


def example(name: str) -> Design:
    return load(HERE / name)


def ends(name: str, pedal: str) -> Sweep:
    """Sweep a pedal of an example to rest and full only."""
    return sweep(example(name), pedal, positions=2)


def ranges(design: Design) -> dict[str, tuple[float, float]]:
    """Return what the file leaves free, and from where to where."""
    return {
        path: (value.low, value.high)
        for path, value in design.values.items()
        if value.low is not None and value.high is not None
    }


# ------------------------------------------------------------ the second road


def turned(point: complex, pivot: complex, turn: float) -> complex:
    """Where a point of a body is after it has turned, anticlockwise positive."""
    return pivot + (point - pivot) * cmath.exp(1j * turn)


def off_string(start: complex, end: complex, along: float, ahead: float) -> complex:
    """Along a string that hangs down, then square off it towards the front."""
    down = (end - start) / abs(end - start)
    return start + down * along + down * 1j * ahead


def slid(hole: complex, moved: complex, seat: complex) -> float:
    """How far the end of a rod moves forward along a level line, by Pythagoras."""
    rod = abs(seat - hole)
    return moved.real + math.sqrt(rod**2 - (seat.imag - moved.imag) ** 2) - seat.real


def square_off(pivot: complex, start: complex, end: complex) -> float:
    """The perpendicular from a pivot to the line through two points."""
    line = (end - start) / abs(end - start)
    return abs(((pivot - start) * line.conjugate()).imag)


def ratio_of(pivot: complex, pad: complex, hole: complex, seat: complex) -> float:
    """Pad path over piston travel, L cos(lean) / b, along a level axis.

    L is pivot to pad, b the perpendicular from the pivot to the rod's line: the trade's
    "perpendicular distances" (common practice, no source; the cosine is a sum).
    """
    rod = seat - hole
    lean = math.atan(rod.imag / rod.real)
    return abs(pad - pivot) * math.cos(lean) / square_off(pivot, hole, seat)


def test_hanging_brake_by_pythagoras() -> None:
    hole = off_string(SHAFT, BRAKE_PAD, 50.5, 6.4)
    moved = turned(hole, SHAFT, 150 / abs(BRAKE_PAD - SHAFT))
    piston = slid(hole, moved, complex(11, 497.5)) - 0.5
    run = ends("brake-hanging.toml", "brake")
    assert run["stroke"][-1] == pytest.approx(piston, abs=1e-9)


def test_floor_brake_by_a_root_of_its_loop() -> None:
    """Both rods keep their length: a general solver finds the crank and the piston."""
    pivot, pad = complex(-236, 34), complex(-288, 270)
    hole = pivot + 50 * cmath.exp(1j * math.radians(90 + 14))
    crank, seat = complex(-92, 34), complex(-210, -14)
    bottom = crank + 48 * cmath.exp(1j * math.radians(-90 + 14))
    moved = turned(hole, pivot, -134 / abs(pad - pivot))

    def crank_angle(driver: complex) -> float:
        def gap(angle: float) -> float:
            return abs(crank + 48 * cmath.exp(1j * angle) - driver) - 144

        return float(brentq(gap, math.radians(60), math.radians(120), xtol=1e-14))

    turn = crank_angle(moved) - crank_angle(hole)
    foot = turned(bottom, crank, turn)
    rod = abs(bottom - seat)
    end = brentq(lambda x: abs(complex(x, -14) - foot) - rod, -300, -200, xtol=1e-12)
    run = ends("brake-floor.toml", "brake")
    assert run["stroke"][-1] == pytest.approx(-210 - end - 0.5, abs=1e-9)
    assert run["lever_turn"][-1] == pytest.approx(-math.degrees(turn), abs=1e-9)


def test_inch_brake_by_perpendicular_distances() -> None:
    pivot = complex(-4.625, 21.5625)
    pad = complex(-8.125, 10.3125)
    hole = off_string(pivot, pad, 1.98, 0.25)
    ratio = ratio_of(pivot, pad, hole, complex(0.4375, 19.5625))
    run = ends("brake-inches.toml", "brake")
    assert run["ratio"][0] == pytest.approx(ratio, rel=1e-12)
    assert run["travel"][-1] == pytest.approx(5.875 * INCH, rel=1e-12)


def test_reverse_clutch_by_pythagoras() -> None:
    """Seen in a mirror, so that the piston goes forward again."""
    pivot, pad = complex(108, 520), complex(204, 258)
    hole = complex(108 - 9, 520 + 51)
    moved = turned(hole, pivot, -132 / abs(pad - pivot))
    piston = slid(hole, moved, complex(222, 570)) - 0.5
    run = ends("clutch-reverse.toml", "clutch")
    assert run["stroke"][-1] == pytest.approx(piston, abs=1e-9)


def drawn(pivot: complex, pad: complex, reach: float, ferrule: complex, lean: float,
          travel: float) -> float:  # fmt: skip
    """What a hole above the pivot, ``lean`` degrees ahead, draws of a cable."""
    hole = pivot + reach * cmath.exp(1j * math.radians(90 - lean))
    moved = turned(hole, pivot, travel / abs(pad - pivot))
    return abs(moved - ferrule) - abs(hole - ferrule)


@pytest.mark.parametrize(("hole", "reach"), [("upper", 64), ("lower", 46)])
def test_cable_clutch_by_the_straight_run(hole: str, reach: float) -> None:
    pivot, pad = complex(-108, 520), complex(-204, 258)
    pull = drawn(pivot, pad, reach, complex(0, 583), 8, 130)
    text = (HERE / "clutch-cable.toml").read_text(encoding="utf-8")
    swapped = text.replace('clevis = "upper"', f'clevis = "{hole}"')
    run = sweep(load_text(swapped), "clutch", positions=2)
    assert run["cable_pull"][-1] == pytest.approx(pull, abs=1e-9)


def test_throttle_lever_by_a_root_of_its_free_length() -> None:
    """The far run has grown shorter by the pull less the slack."""
    pivot, pad = complex(-84, 402), complex(-150, 212)
    pull = drawn(pivot, pad, 110, complex(0, 512), 4, 51) - 1.2
    start, ferrule = math.radians(90 + 20), complex(130, 17)

    def run_out(turn: float) -> float:
        return abs(22 * cmath.exp(1j * (start - turn)) - ferrule)

    turn = brentq(lambda t: run_out(0) - run_out(t) - pull, 0, 1.7, xtol=1e-13)
    run = ends("throttle-lever.toml", "throttle")
    assert run["lever_turn"][-1] == pytest.approx(math.degrees(turn), abs=1e-9)


def test_throttle_quadrant_by_cable_over_radius() -> None:
    pivot, pad = complex(-84, 402), complex(-150, 212)
    pull = drawn(pivot, pad, 99, complex(0, 501), 4, 50)
    run = ends("throttle-quadrant.toml", "throttle")
    turn = math.degrees((pull - 1) / 17)
    assert run["quadrant_turn"][-1] == pytest.approx(turn, abs=1e-9)


@pytest.mark.parametrize("lift", [0.0, 3.0])
def test_three_on_one_shaft_all_follow_it(lift: float) -> None:
    """The shaft in the file moved up: every pedal is worked out from there again."""
    shaft = SHAFT + 1j * lift
    design = example("three-on-one-shaft.toml")
    moved = {"point.shaft.up": shaft.imag}
    run = {
        pedal: sweep(design, pedal, positions=2, values=moved)
        for pedal in design.pedals
    }
    pads = {"clutch": complex(-205, 266), "brake": BRAKE_PAD}
    strings = {"clutch": (52.5, 6.5, 495.5), "brake": (50.5, 6.4, 497.5)}
    for pedal, (along, ahead, height) in strings.items():
        hole = off_string(shaft, pads[pedal], along, ahead)
        ratio = ratio_of(shaft, pads[pedal], hole, complex(11, height))
        assert run[pedal]["ratio"][0] == pytest.approx(ratio, rel=1e-12)
    pull = drawn(shaft, complex(-172, 276), 100, complex(0, 648), 4, 57)
    turn = math.degrees((pull - 1) / 14)
    assert run["throttle"]["quadrant_turn"][-1] == pytest.approx(turn, abs=1e-9)


@pytest.mark.parametrize(
    ("pedal", "pad", "travel"),
    [("clutch", complex(-205, 266), 132.0), ("brake", BRAKE_PAD, 150.0)],
)
def test_the_shoe_clears_the_frame_tube(
    pedal: str, pad: complex, travel: float
) -> None:
    """The sole lies flat on the face, its ball on the pad's point.

    Along the sole from there, away from the pivot: its straight runs from -74 (under the
    toe's disc of 33) to 196 (that of the heel, of 7). The tube is 25 thick.
    """
    design = example("three-on-one-shaft.toml")
    down = (pad - SHAFT) / abs(pad - SHAFT)
    turns = np.exp(1j * np.linspace(0.0, travel, 6001) / abs(pad - SHAFT))
    tube = (-14 + 190j - SHAFT - (pad - SHAFT) * turns) / (down * turns)
    straight = np.abs(tube - np.clip(tube.real, -74.0, 196.0)) - 12.5
    heel = np.abs(tube - complex(196.0, -7.0)) - 7.0 - 12.5
    want = np.min(np.where(tube.real > 196.0, heel, straight))
    least = next(
        each
        for each in clearances(standing(design, pedal), travel)
        if (each.part, each.thing) == ("shoe", "frame tube")
    )
    assert least.gap == pytest.approx(want, abs=1e-5)
    assert least.gap > 15.0


def drawn_answer() -> dict[str, float]:
    """Rod level and square to the arm at 60 of pad: then ratio is L over the crank."""
    crank = abs(BRAKE_PAD - SHAFT) / 5.5
    back = 60 / abs(BRAKE_PAD - SHAFT)  # the turn to 60 mm; the hole hangs plumb there
    return {
        "brake.pivot.back": 118.0,
        "brake.clevis.back": crank * math.sin(back),
        "brake.clevis.down": crank * math.cos(back),
        "brake.train.1.face.up": 548 - crank,
    }


def test_brake_to_place_has_an_answer_that_a_rule_can_draw() -> None:
    answer = drawn_answer()
    design = example("brake-to-place.toml")
    free = ranges(design)
    assert set(answer) == set(free)
    for path, (low, high) in free.items():
        assert low < answer[path] < high
    at = sweep(design, "brake", values=answer, at=[60.0])
    assert at["ratio"] == pytest.approx(5.5, abs=1e-9)
    assert at["crank_angle"] == pytest.approx(90, abs=1e-9)
    assert at["rod_angle"] == pytest.approx(0, abs=1e-9)
    whole = sweep(design, "brake", values=answer)
    assert np.max(np.abs(whole["rod_angle"][whole["travel"] <= 110])) < 1.5
    assert whole["stroke"][-1] < 1.1 * INCH


def test_brake_to_place_is_placed_as_a_rule_draws_it() -> None:
    """The pivot stays where it would like to be; the rest follows, to half a mm."""
    design = example("brake-to-place.toml")
    exact, marked = place(design), place(design, mark=0.5)
    assert (exact.status, marked.status) == ("placed", "placed")
    found = exact.answers[0].values
    for path, number in drawn_answer().items():
        assert found[path] == pytest.approx(number, abs=0.3)
    written = sweep(load_text(marked.answers[0].text), "brake", at=[60.0])
    assert written["ratio"] == pytest.approx(5.5, abs=0.05)
    assert written["crank_angle"] == pytest.approx(90, abs=1)
    assert written["rod_angle"] == pytest.approx(0, abs=0.2)


def test_fighting_wishes_are_both_named() -> None:
    found = place(example("brake-wishes-fight.toml"))
    assert found.status == "conflict"
    assert not found.answers
    (fight,) = found.conflicts
    ratio, stroke = sorted(fight.clashes, key=lambda clash: clash.wish.target.of)
    assert (ratio.wish.target.of, stroke.wish.target.of) == ("ratio", "stroke")
    assert stroke.would_do is not None
    assert 0 < 100 / 5.5 + stroke.wish.unit - stroke.would_do < 0.2


def test_fighting_wishes_cannot_both_be_had() -> None:
    """100 of pad at 5.5 or more moves the rod 100 / 5.5 at most; 24 is asked for."""
    design = example("brake-wishes-fight.toml")
    free = ranges(design)
    assert len(free) == 3
    random = np.random.default_rng(24)
    kept = 0
    for _ in range(50):
        lots = {path: random.uniform(*span) for path, span in free.items()}
        run = sweep(design, "brake", values=lots)
        if run["ratio"].min() >= 5.5:
            kept += 1
            assert run["stroke"][-1] <= 100 / 5.5 < 24 - 0.2
    assert kept > 0


# --------------------------------------------------------- a pedal to be fitted

#: Ratio over the first 60 mm, travel, pivot to pad, pivot to hole: what the trade
#: fits (common practice, no source). A cable clutch is geared lower than a fluid one, a
#: brake with a booster lower than one without.
USUAL = {
    "brake": ((4.5, 7.0), (100, 160), (180, 360), (38, 75)),
    "boosted": ((2.5, 5.0), (100, 160), (180, 360), (38, 75)),
    "clutch": ((3.5, 6.5), (100, 165), (230, 360), (38, 75)),
    "throttle": ((1.5, 4.0), (40, 75), (180, 360), (60, 130)),
}
FILES = sorted(path.name for path in HERE.glob("*.toml"))


@pytest.mark.parametrize("name", FILES)
def test_a_builder_would_fit_it(name: str) -> None:
    design = example(name)
    assert not design.cautions
    for pedal in design.pedals:
        run = sweep(design, pedal)
        assert run.limit is None
        assert all(end.what == "cable slack taken up" for end in run.ends)
        last = design.pedals[pedal].train[-1]
        kind = "boosted" if getattr(last, "booster", None) else pedal
        for got, (low, high) in zip(_sizes(run), USUAL[kind], strict=True):
            assert np.all((low <= got) & (got <= high)), (pedal, got)
        sides = ("",) if design.pedals[pedal].bar is None else ("front_", "rear_")
        for side in sides:
            assert np.all(np.abs(run[f"{side}crank_angle"] - 90) < 21)
            if f"{side}rod_angle" in run.columns:
                assert np.all(np.abs(run[f"{side}rod_angle"]) <= 3)


def _sizes(run: Sweep) -> tuple[NDArray[np.float64], ...]:
    working = run["ratio"][run["travel"] <= 60]
    rest = run.rest
    hole = rest.places.point(f"{run.pedal}.clevis")
    pad = rest.places.point(f"{run.pedal}.pad")
    reach = abs(np.asarray(pad - rest.pivot))
    crank = abs(np.asarray(hole - rest.pivot))
    return working, run["travel"][-1:], np.atleast_1d(reach), np.atleast_1d(crank)


@pytest.mark.parametrize(
    ("name", "column", "needs"),
    [
        ("throttle-lever.toml", "lever_turn", 82.0),
        ("throttle-quadrant.toml", "quadrant_turn", 80.0),
        ("three-on-one-shaft.toml", "quadrant_turn", 80.0),
    ],
)
def test_the_butterfly_opens_and_its_stop_is_not_leant_on(
    name: str, column: str, needs: float
) -> None:
    turn = ends(name, "throttle")[column][-1]
    assert needs - 1.5 <= turn <= needs


def test_every_example_is_tested() -> None:
    text = Path(__file__).read_text(encoding="utf-8")
    assert len(FILES) >= 8
    assert not [name for name in FILES if f'"{name}"' not in text]


@pytest.mark.parametrize("name", FILES)
def test_what_counts_from_rest_is_nothing_there(name: str) -> None:
    design = example(name)
    for pedal in design.pedals:
        swept = sweep(design, pedal, at=[0.0, 30.0, 0.0])
        for column in swept.columns:
            if column.endswith("_turn") or column in ("arm_angle", "stroke"):
                assert swept[column][0] == swept[column][2] == 0.0, column
                assert swept[column][1] > 0.0, column


def test_clutch_over_centre_by_hand() -> None:
    """The spring turns the arm neither way where both eyes and the pivot are in line.

    The eye starts at 80 degrees and is then opposite the fixed one: the turn between,
    times the pad's radius, is the travel. The force is preload and rate x stretch.
    """
    loaded = load_pedal(example("clutch-over-centre.toml"), "clutch", "end", 0.0)
    eye, fixed = cmath.rect(72.0, math.radians(80.0)), complex(3.0, -150.0)
    radius = abs(complex(-214, 268) - complex(-122, 556))
    across = radius * (cmath.phase(-fixed) - cmath.phase(eye))
    assert 0.4 * 125.0 < across < 0.5 * 125.0
    force = 450.0 + 4.0 * (72.0 + abs(fixed) - abs(eye - fixed))
    columns = loaded.columns([across])
    assert columns["spring_1_force"].values[0] == pytest.approx(force, rel=1e-12)
    (spring,) = loaded.burden.springs
    places = np.array([across - 1.0, across, across + 1.0])
    moment = spring.on_arm(move(loaded.rest, places))[1]
    assert moment[1] == pytest.approx(0.0, abs=1e-6)
    assert moment[0] < 0.0 < moment[2]  # against the press, and then with it


def discs(diameter: float) -> float:
    return math.pi * diameter * diameter / 4.0


def asked(name: str, z: float, *, dead: bool = False) -> tuple[float, float, float]:
    """Line pressure, push on the piston and force in the rod at a deceleration."""
    rig = rig_of(example(name), "brake", dead=dead)
    assert rig.road is not None
    level = rig.road.level_for(rig.driven, z)
    fluid = rig.state(np.array([level])).fluid
    return float(fluid.pressures["front"][0]), float(level), float(fluid.rod[0])


def test_manual_brake_at_half_a_g_by_hand() -> None:
    """Torques of discs (2 mu p A r) and drums (factor p A r) over the tyres' radius."""
    front = 2 * 2 * 0.4 * discs(45.0) * 98.0 / 282.0
    rear = 2 * discs(11 / 16 * INCH) * (1.7 + 0.55) * 90.0 / 282.0
    want = (0.5 * 690.0 * 9.80665 + rear * 0.4) / (front + rear)
    pressure, push, rod = asked("brake-manual.toml", 0.5)
    assert pressure == pytest.approx(want, rel=1e-9)
    assert push == rod == pytest.approx(want * discs(13 / 16 * INCH), rel=1e-9)


@pytest.mark.parametrize("dead", [False, True])
def test_boosted_brake_at_four_tenths_by_hand(dead: bool) -> None:
    """Below the knee of the valve; gain 4 from 80 N and 300 N on, or nothing at all."""
    front = 2 * 2 * 0.38 * 2 * discs(1.5 * INCH) * 112.0 / 300.0
    rear = 2 * 2 * 0.38 * discs(1.375 * INCH) * 105.0 / 300.0
    want = 0.4 * 1150.0 * 9.80665 / (front + rear)
    pressure, push, rod = asked("brake-boosted.toml", 0.4, dead=dead)
    assert pressure == pytest.approx(want, rel=1e-9)
    assert push == pytest.approx(want * discs(7 / 8 * INCH), rel=1e-9)
    assert rod == pytest.approx(push + 100.0 if dead else 80.0 + (push - 300.0) / 4.0)


#: FMVSS 135 S7.10 and S7.11, 168 m from 100 km/h: m/s2 in g0 (S7.10 from memory).
LEAST = 2.4417877793 / 9.80665


@pytest.mark.parametrize("lost", ["front", "rear"])
@pytest.mark.parametrize(
    "name", ["brake-manual.toml", "brake-bar.toml", "brake-boosted.toml"]
)
def test_a_whole_car_stops_on_one_circuit(name: str, lost: str) -> None:
    """With 500 N at most, before pad or piston comes to an end."""
    rig = rig_of(example(name), "brake", lost=lost)
    level = float(rig.level_of_foot(500.0))
    car = rig.state(np.array([min(level, rig.top)])).car
    assert car is not None
    assert car.z[0] > LEAST


@pytest.mark.parametrize(
    "name", ["brake-manual.toml", "brake-bar.toml", "brake-boosted.toml"]
)
def test_a_whole_car_is_one_to_drive(name: str) -> None:
    """The front locks first; 0.75 g0 takes no more than 400 N and 90 mm of pad; without
    assist 500 N is enough for FMVSS 135 S7.11, 2.44 m/s2."""
    rig = rig_of(example(name), "brake")
    assert rig.road is not None
    assert rig.locks()[0].axle == "front"
    state = rig.state(np.array([rig.road.level_for(rig.driven, 0.75)]))
    assert state.foot.effort[0] < 400.0
    assert 30.0 < state.foot.travel[0] < 90.0
    dead = rig_of(example(name), "brake", dead=True)
    car = dead.state(np.array([dead.level_of_foot(500.0)])).car
    assert car is not None
    assert car.z[0] > LEAST


def test_the_car_sways_no_rod() -> None:
    """A guess of the fluid is none of the forces in the train."""
    design = example("brake-boosted.toml")
    assert len(design.guesses) >= 4
    loaded = load_pedal(design, "brake", "foot", 500.0)
    said = [*pressed_document(loaded, [0.0])["guesses"], effort_text(design, loaded)]
    assert not [line for line in said if "cc" in line or "mount" in line]


def test_a_slack_cable_turns_its_lever_by_nothing() -> None:
    swept = sweep(example("throttle-lever.toml"), "throttle", at=[0.0, 0.5, 1.0, 30.0])
    assert swept["lever_turn"][:3].tolist() == [0.0, 0.0, 0.0]
    assert swept["lever_turn"][3] > 1.0

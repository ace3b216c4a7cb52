"""Good files: every form of every value lands in its record."""

import math
from pathlib import Path

import pytest

from linkage.design.read import read_file
from linkage.design.records import (
    CableRun,
    Cartesian,
    Chosen,
    Design,
    Marks,
    OffString,
    Polar,
    Same,
    SideReach,
)
from linkage.loading import load, load_text
from linkage.parts import KINDS
from linkage.parts.cable import Cable
from linkage.parts.cylinder import Cylinder
from linkage.parts.lever import Lever
from linkage.parts.quadrant import Quadrant
from tests.linkage.design.samples import BRAKE, FREE


@pytest.fixture
def design() -> Design:
    return load_text(FREE, "free.toml")


def test_a_plain_brake() -> None:
    design = load_text(BRAKE)
    brake = design.pedals["brake"]
    assert (design.title, design.units, brake.duty) == (
        "Quillet two-seater",
        "mm",
        "brake",
    )
    pivot = brake.points["pivot"]
    assert isinstance(pivot, Cartesian)
    assert (pivot.x.nominal, pivot.z.nominal, pivot.x.path) == (
        120.0,
        545.0,
        "brake.pivot.x",
    )
    (part,) = brake.train
    assert isinstance(part, Cylinder)
    assert part.bore is not None
    assert (part.bore.nominal, part.bore.text, part.bore.line) == (19.05, "3/4 in", 14)
    assert (part.path, part.line, part.lines["seat"]) == ("brake.train.1", 10, 12)
    (target,) = brake.targets
    assert (target.exact, target.within, target.at.low, target.at.share) == (
        24,
        0.2,
        1,
        True,
    )
    assert brake.lines["travel"] == 8
    assert all(value.kind == "fixed" for value in design.values.values())


def test_every_free_value_is_known_by_its_path(design: Design) -> None:
    free = [path for path, value in design.values.items() if value.kind == "free"]
    assert free == [
        "point.shaft.z",
        "brake.pad.back",
        "brake.travel",
        "brake.holes.lower.along",
        "brake.holes.upper.reach",
        "brake.holes.upper.angle",
        "brake.train.1.face.ahead",
        "brake.train.1.axis",
        "clutch.clevis.z",
        "clutch.train.1.input.reach",
        "throttle.train.1.radius",
        "throttle.train.1.cable.slack",
    ]
    assert list(design.choices) == ["brake.clevis"]
    assert design.values["brake.train.1.bore"].kind == "choice"


def test_spans_hold_what_was_typed(design: Design) -> None:
    along = design.values["brake.holes.lower.along"]
    assert FREE[slice(*along.span)] == '"50 to 60 near 56 +- 0.5"'
    chosen = design.choices["brake.clevis"]
    assert FREE[slice(*chosen.span)] == '{ one_of = ["lower", "upper"] }'


def test_points_keep_their_form(design: Design) -> None:
    points = design.pedals["brake"].points
    assert points["pivot"] == Same(base="point.shaft", line=13)
    lower, upper, pad = points["holes.lower"], points["holes.upper"], points["pad"]
    assert isinstance(lower, OffString)
    assert (lower.start, lower.end, lower.word) == ("brake.pivot", "brake.pad", "ahead")
    assert isinstance(upper, Polar)
    assert upper.angle.base == -math.pi / 2
    assert upper.angle.sign == -1.0
    assert upper.reach.high == pytest.approx(2.25 * 25.4)
    assert isinstance(pad, Cartesian)
    assert (pad.x_sign, pad.z_sign, pad.z.guess) == (-1.0, 1.0, True)
    clevis = points["clevis"]
    assert isinstance(clevis, Chosen)
    assert clevis.options == ("brake.holes.lower", "brake.holes.upper")


def test_what_else_belongs_to_a_pedal(design: Design) -> None:
    brake, clutch = design.pedals["brake"], design.pedals["clutch"]
    assert brake.locked == ("brake.pivot",)
    assert {key: value.nominal for key, value in brake.across.items()} == {
        "pad": -20,
        "clevis": 0,
        "seat": 5,
    }
    assert brake.pad_thick is not None
    assert brake.pad_thick.nominal == 13
    assert (brake.arm.process, brake.arm.material_guess) == ("plasma", False)
    assert brake.arm.mass is not None
    assert brake.arm.mass.nominal == 0.7
    bores = {hole: (bore.nominal, bore.guess) for hole, bore in brake.arm.bores.items()}
    assert bores["pivot"] == (25, False)
    assert bores["lower"] == (10, False)
    assert bores["upper"][1] is True
    assert clutch.arm.material_guess
    assert (clutch.full.how, clutch.full.value.path) == ("tape", "clutch.full.tape")


def test_an_arm_that_nobody_described() -> None:
    arm = load_text(BRAKE).pedals["brake"].arm
    assert (arm.plate.nominal, arm.plate.guess, arm.plate.line) == (8.0, True, 0)
    assert (arm.material, arm.material_guess, arm.process) == ("steel", True, "laser")
    bores = {hole: (bore.nominal, bore.guess) for hole, bore in arm.bores.items()}
    assert bores == {"pivot": (20.0, True), "clevis": (8.0, True)}
    assert "brake.arm.plate" not in load_text(BRAKE).values


def test_an_arm_half_described() -> None:
    arm = load_text(BRAKE + "[pedal.brake.arm]\nplate = 6\n").pedals["brake"].arm
    assert (arm.plate.nominal, arm.plate.guess, arm.material_guess) == (
        6.0,
        False,
        True,
    )
    arm = (
        load_text(BRAKE + '[pedal.brake.arm]\nmaterial = "6061-T6"\n')
        .pedals["brake"]
        .arm
    )
    assert (arm.plate.guess, arm.material, arm.material_guess) == (
        True,
        "6061-T6",
        False,
    )


def test_an_angle_off_a_line() -> None:
    off = '{ from = "pivot", reach = 61, angle = "9 to 12", off = "pad" }'
    point = (
        load_text(BRAKE.replace("[106, 484.5]", off)).pedals["brake"].points["clevis"]
    )
    assert isinstance(point, Polar)
    assert (point.off, point.angle.base, point.angle.sign) == ("brake.pad", 0.0, 1.0)
    assert point.angle.value is not None
    assert point.angle.value.low == math.radians(9)


def test_trains(design: Design) -> None:
    lever, cable = design.pedals["clutch"].train
    assert isinstance(lever, Lever)
    assert isinstance(cable, Cable)
    assert isinstance(lever.input, SideReach)
    assert lever.input.side == "below"
    assert isinstance(cable.ferrule, Cartesian)
    assert cable.ferrule.base == "clutch.train.1.output"
    (quadrant,) = design.pedals["throttle"].train
    assert isinstance(quadrant, Quadrant)
    assert quadrant.turn is not None
    assert quadrant.turn.nominal == math.radians(82)
    assert isinstance(quadrant.cable, CableRun)
    (cylinder,) = design.pedals["brake"].train
    assert (cylinder.name, cylinder.thread) == ("main", "M8")


@pytest.mark.parametrize(
    "name",
    ["train.1.output", "crank.output", "train.crank.output", "clutch.train.1.output"],
)
def test_a_part_goes_by_its_number_or_its_name(name: str) -> None:
    design = load_text(FREE.replace('"crank.output"', f'"{name}"'))
    _, cable = design.pedals["clutch"].train
    assert isinstance(cable, Cable)
    assert isinstance(cable.ferrule, Cartesian)
    assert cable.ferrule.base == "clutch.train.1.output"


def test_targets(design: Design) -> None:
    ratio, lean = design.pedals["brake"].targets
    assert (ratio.least, ratio.most, ratio.which, ratio.unit) == (5, 5.6, 1, "1")
    assert (ratio.at.low, ratio.at.high, ratio.at.share) == (0.0, 70.0, False)
    assert (lean.prefer, lean.at.text, lean.unit) == ("small", "whole travel", "deg")
    (distance,) = design.pedals["clutch"].targets
    assert distance.between == ("clutch.pad", "brake.pad")
    assert (distance.at.low, distance.at.single, distance.at.share) == (0.6, True, True)


def test_the_car(design: Design) -> None:
    assert design.footwell.marks == Marks(
        back="the string at the scuttle lip", up="the bare floor"
    )
    assert not isinstance(design.footwell.floor, tuple)
    assert isinstance(design.footwell.bulkhead, tuple)
    ends = [path for path in design.values if path.startswith("footwell.bulkhead")]
    assert ends == [f"footwell.bulkhead.{i}.{axis}" for i in (1, 2) for axis in "xz"]
    assert [guess.path for guess in design.guesses] == [
        "brake.pad.up",
        "brake.train.1.depth",
    ]


@pytest.mark.parametrize(
    ("of", "wish", "within"),
    [
        ("stroke", "24", 0.5),
        ("ratio", "5.5", 0.05),
        ("rod angle", "0", math.radians(0.5)),
        ("ratio change", "5", 0.5),
    ],
)
def test_within_left_out(of: str, wish: str, within: float) -> None:
    text = BRAKE.replace('of = "stroke"', f'of = "{of}"')
    text = text.replace("within = 0.2\n", "").replace("is = 24", f"is = {wish}")
    (target,) = load_text(text).pedals["brake"].targets
    assert target.within == pytest.approx(within, rel=1e-15)
    assert not target.within_said


def test_in_inches() -> None:
    text = BRAKE.replace('units = "mm"', 'units = "in"')
    text = text.replace("[120, 545]", "[4.625, '21 1/2']").replace(
        "[35, 255]", "[1.5, 10]"
    )
    text = text.replace("travel = 120", "travel = 4.75").replace(
        "is = 24", 'is = "24 mm"'
    )
    text = text.replace("[106, 484.5]", "[4, 19]").replace("[233, 487]", "[9, 19]")
    text = text.replace("free_play = 0.5", "free_play = 0.02")
    design = load_text(text)
    pivot = design.pedals["brake"].points["pivot"]
    assert isinstance(pivot, Cartesian)
    assert (pivot.x.nominal, pivot.z.nominal) == (117.475, 546.1)
    (target,) = design.pedals["brake"].targets
    assert (target.exact, target.unit) == (24.0, "mm")
    assert target.within == pytest.approx(0.2 * 25.4)


@pytest.mark.parametrize(
    ("words", "base", "sign", "degrees"),
    [
        ('"forward"', 0, 1, None),
        ('"Back"', 180, 1, None),
        ("2", 0, 1, 2),
        ('"2 deg"', 0, 1, 2),
        ('"-3 to 5"', 0, 1, 1),
        ('"forward, 2 deg up"', 0, 1, 2),
        ('"forward, 2 deg down"', 0, -1, 2),
        ('"back, 2 deg up"', 180, -1, 2),
        ('"back, 2 deg down"', 180, 1, 2),
        ('"down, 9 deg back"', -90, -1, 9),
        ('"down, 9° forward"', -90, 1, 9),
        ('"up, 9 back"', 90, 1, 9),
        ('"up 9 deg ahead"', 90, -1, 9),
        ('"down, about 9 deg back"', -90, -1, 9),
        ('"down, 5 to 12 deg back"', -90, -1, 8.5),
        ('"down, 5 to 12 near 6 deg back"', -90, -1, 6),
    ],
)
def test_directions(
    words: str, base: float, sign: float, degrees: float | None
) -> None:
    design = load_text(BRAKE.replace('"forward"', words))
    (part,) = design.pedals["brake"].train
    assert isinstance(part, Cylinder)
    axis = part.axis
    assert math.degrees(axis.base) == pytest.approx(base)
    assert axis.sign == sign
    if degrees is None:
        assert axis.value is None
    else:
        assert axis.value is not None
        assert math.degrees(axis.value.nominal) == pytest.approx(degrees)
        assert axis.value.path == "brake.train.1.axis"


@pytest.mark.parametrize(
    ("word", "base", "to"),
    [("forward", 1, 1j), ("back", -1, 1j), ("up", 1j, 1), ("down", -1j, -1)],
)
def test_a_turned_direction_leans_the_way_it_says(
    word: str, base: complex, to: complex
) -> None:
    """A second road: the unit vector, turned, has gone towards the second word."""
    names = {1: "forward", -1: "back", 1j: "up", -1j: "down"}
    text = BRAKE.replace('"forward"', f'"{word}, 10 deg {names[to]}"')
    (part,) = load_text(text).pedals["brake"].train
    assert isinstance(part, Cylinder)
    assert part.axis.value is not None
    turn = part.axis.base + part.axis.sign * part.axis.value.nominal
    vector = complex(math.cos(turn), math.sin(turn))
    assert (vector * base.conjugate()).real == pytest.approx(math.cos(math.radians(10)))
    assert (vector * complex(to).conjugate()).real == pytest.approx(
        math.sin(math.radians(10))
    )


def test_headings_dots_and_braces_are_one() -> None:
    """The same file written three ways gives the same values."""
    braces = BRAKE.replace("[120, 545]            #", "{ ahead = 120, up = 545 } #")
    dots = BRAKE.replace("pivot  = [120, 545] ", "pivot.ahead = 120\npivot.up = 545 ")
    heading = BRAKE.replace("pivot  = [120, 545]            #", "#")
    heading += "[pedal.brake.pivot]\nahead = 120\nup = 545\n"
    rows = [load_text(text).values for text in (braces, dots, heading)]
    sizes = [{path: value.nominal for path, value in row.items()} for row in rows]
    assert sizes[0] == sizes[1] == sizes[2]
    assert rows[2]["brake.pivot.up"].line == heading.count("\n")


def test_a_file_is_read_as_its_text(tmp_path: Path) -> None:
    path = tmp_path / "brake.toml"
    path.write_bytes(b"\xef\xbb\xbf" + BRAKE.replace("\n", "\r\n").encode())
    design = load(path)
    assert design.text == "\ufeff" + BRAKE.replace("\n", "\r\n")
    assert design.values["brake.travel"].line == 8
    assert read_file(str(path), KINDS) == design

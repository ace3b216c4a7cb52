"""Filling in: the free spots alone change, and what is written is what is judged."""

import difflib
import math
import tomllib
from fractions import Fraction

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from linkage.design.fill import fill, rounded
from linkage.design.records import Design
from linkage.design.values import Value
from linkage.loading import load_text
from tests.cases_count import many
from tests.linkage.design.samples import BRAKE, FREE

DESIGN: Design = load_text(FREE)
FREE_VALUES = [v for v in DESIGN.values.values() if v.kind == "free"]


def changed(text: str, filled: str) -> list[str]:
    lines = difflib.ndiff(text.splitlines(), filled.splitlines())
    return [line[2:] for line in lines if line.startswith("+ ")]


def one(spelling: str, number: float, mark: float | None = None) -> str:
    """Fill a travel in and return what stands there then."""
    text = BRAKE.replace("travel = 120", f"travel = {spelling}  # stop")
    design = load_text(text)
    filled = fill(design, {"brake.travel": number}, {}, mark=mark)
    assert filled.lines == (8,)
    (line,) = changed(text, filled.text)
    return line.removeprefix("travel = ").removesuffix("  # stop")


@pytest.mark.parametrize(
    ("spelling", "number", "written"),
    [
        ('"100 to 150"', 118.0, "118"),
        ('"100 to 150"', 118.126, "118.13"),
        ('"100 to 150 near 120"', 118.126, "118.13"),
        ('"100 to 150 mm"', 118.126, '"118.13 mm"'),
        ('"10 to 15 cm"', 118.126, '"11.813 cm"'),
        ('"4 to 6 in"', 118.0, '"4.6455 in"'),
        ('"4 to 6”"', 118.0, '"4.6455 in"'),
        ('"100 to 150 +- 0.5"', 118.126, '"118.13 +- 0.5"'),
        ('"100 to 150 near 120 ± 0.5 mm"', 118.126, '"118.13 ± 0.5 mm"'),
        ('"100 to 150 +/- 1/2"', 118.126, '"118.13 +/- 1/2"'),
        ('"100 to 150±½ mm"', 118.126, '"118.13±½ mm"'),
        ('"4 to 6 ± 1/32 in"', 118.0, '"4.6455 ± 1/32 in"'),
        ('"4 to 6 in +- 1/32 in"', 118.0, '"4.6455 in +- 1/32 in"'),
        ("'100 to 150'", 118.126, "118.13"),
        ('"100 to 150"', 99.999, "100"),
        ('"100 to 150"', 150.001, "150"),
        ('"100.003 to 100.004"', 100.0034, "100.003"),
        ('"100.00000001 to 100.00000002"', 100.000000019, "100.00000002"),
        ('"100.00000001 to 100.00000002"', 100.000000011, "100.00000001"),
        ('{ one_of = ["4 1/2", "4 3/4 in"] }', 120.65, '"4 3/4 in"'),
        ("{ one_of = [110, 120.5] }", 120.5, "120.5"),
    ],
)
def test_what_is_written(spelling: str, number: float, written: str) -> None:
    assert one(spelling, number) == written


@pytest.mark.parametrize(
    ("spelling", "number", "mark", "written"),
    [
        ('"100 to 150"', 118.26, 0.5, "118.5"),
        ('"100 to 150"', 118.26, 1.0, "118"),
        ('"100.2 to 150"', 100.2, 0.5, "100.5"),
        ('"4 to 6 in"', 118.0, 25.4 / 32, '"4 21/32 in"'),
        ('"100.1 to 100.3"', 100.2, 0.5, "100.2"),
    ],
)
def test_written_in_steps_of_a_mark(
    spelling: str, number: float, mark: float, written: str
) -> None:
    assert one(spelling, number, mark) == written


def test_only_the_free_spots_change() -> None:
    values = {
        "point.shaft.z": 543.217,
        "brake.holes.lower.along": 55.555,
        "brake.holes.upper.angle": math.radians(7.777),
        "brake.train.1.axis": math.radians(-1.5),
        "brake.train.1.bore": 19.05,
        "brake.pad.up": 999.0,  # fixed: left alone
        "throttle.train.1.cable.slack": 1.5,
    }
    filled = fill(DESIGN, values, {"brake.clevis": "upper"})
    assert changed(FREE, filled.text) == [
        "shaft = [120, 543.22]   # both pedals hang on it",
        'clevis = "upper"',
        'lower = { line = ["pivot", "pad"], along = "55.55 +- 0.5", ahead = 7.8 }',
        'upper = { from = "pivot", reach = "1 7/8 to 2 1/4 in", '
        'angle = "down, 7.78 deg back" }',
        'axis = "-1.5 deg"',
        'bore = "3/4 in"',
        "cable = { ferrule = [-150, 420], slack = 1.5 }",
    ]
    numbers = [n for n, line in enumerate(FREE.splitlines(), 1) if line in FREE]
    lines = FREE.splitlines()
    wanted = [n for n in numbers if filled.text.splitlines()[n - 1] != lines[n - 1]]
    assert list(filled.lines) == wanted


def test_line_ends_stay() -> None:
    text = FREE.replace("\n", "\r\n")
    filled = fill(load_text(text), {"point.shaft.z": 543.0}, {})
    assert filled.text == text.replace('"540 to 550"', "543")


def test_another_reader_sees_the_same_file() -> None:
    """A second road: tomlkit, which keeps comments too, sets the same places."""
    values = {"brake.pad.back": 33.0, "throttle.train.1.radius": 20.5}
    filled = fill(DESIGN, values, {})
    doc = tomlkit.parse(FREE)
    doc["pedal"]["brake"]["pad"]["back"] = 33
    doc["pedal"]["throttle"]["train"][0]["radius"] = 20.5
    assert tomllib.loads(filled.text) == tomllib.loads(tomlkit.dumps(doc))


def test_words_with_signs_of_documents() -> None:
    text = BRAKE.replace('"forward"', '"down, −5 to 12° back"')
    filled = fill(load_text(text), {"brake.train.1.axis": math.radians(-3)}, {})
    assert 'axis = "down, 3 deg forward"' in filled.text


def test_what_is_not_offered_is_not_written() -> None:
    with pytest.raises(ValueError, match="middle is not offered"):
        fill(DESIGN, {}, {"brake.clevis": "middle"})
    with pytest.raises(ValueError, match="is not offered"):
        fill(DESIGN, {"brake.train.1.bore": 18.0}, {})
    assert rounded(DESIGN.values["brake.pad.up"], 3.0) == 255.0


@st.composite
def ranges(draw: st.DrawFn) -> tuple[str, str]:
    """Draw a range as typed, and its unit."""
    unit = draw(st.sampled_from(["", " mm", " in", " cm", "”"]))
    scale = {" in": 25.4, "”": 25.4, " cm": 10.0}.get(unit, 1.0)
    low = draw(st.integers(20_000, 300_000)) / 1000
    width = draw(st.integers(1, 200_000)) / 1000
    ends = [f"{size / scale:.4f}" for size in (low, low + width)]
    give = draw(st.sampled_from(["", " +- 1", " ± 1/2"]))
    return f'"{ends[0]} to {ends[1]}{unit}{give}{unit if give else ""}"', unit


@settings(max_examples=many(2000), derandomize=True, deadline=None)
@given(
    ranges(),
    st.floats(0, 1),
    st.one_of(st.none(), st.sampled_from([0.5, 1.0, 25.4 / 16, 25.4 / 64])),
)
def test_read_again_it_is_exactly_the_number_judged(
    spelling: tuple[str, str], share: float, mark: float | None
) -> None:
    text = BRAKE.replace("travel = 120", f"travel = {spelling[0]}")
    try:
        design = load_text(text)
    except ValueError:
        return  # the ends fell together when typed
    value = design.values["brake.travel"]
    number = between(value, share)
    filled = fill(design, {"brake.travel": number}, {}, mark=mark)
    again = load_text(filled.text).values["brake.travel"]
    assert again.nominal == rounded(value, number, mark)
    assert (again.kind, again.give, again.unit) == ("fixed", value.give, value.unit)
    low, high = ends(value)
    assert low <= again.nominal <= high
    step = mark or (0.0127 if value.unit == "in" else 0.01)
    assert abs(again.nominal - number) <= step * 1.001 + 1e-9


@settings(max_examples=many(1000), derandomize=True, deadline=None)
@given(st.lists(st.floats(0, 1), min_size=len(FREE_VALUES), max_size=len(FREE_VALUES)))
def test_every_free_value_of_a_file_at_once(shares: list[float]) -> None:
    numbers = {
        value.path: between(value, share)
        for value, share in zip(FREE_VALUES, shares, strict=True)
    }
    filled = fill(DESIGN, numbers, {"brake.clevis": "lower"})
    again = load_text(filled.text)
    for value in FREE_VALUES:
        assert again.values[value.path].nominal == rounded(value, numbers[value.path])
    assert not [v for v in again.values.values() if v.kind == "free"]
    twice = fill(again, numbers, {})
    assert (twice.text, twice.lines) == (filled.text, ())


def ends(value: Value) -> tuple[float, float]:
    assert value.low is not None
    assert value.high is not None
    return value.low, value.high


def between(value: Value, share: float) -> float:
    low, high = ends(value)
    return float(Fraction(low) + (Fraction(high) - Fraction(low)) * Fraction(share))

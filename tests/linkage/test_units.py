"""Every factor against pint, a units library; spellings; numbers for people."""

import math
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from linkage.units import (
    UNITS,
    Measure,
    Unit,
    both,
    find_unit,
    inches,
    into,
    out_of,
    plain,
    say,
    trim,
    units_of,
)

REGISTRY: pint.UnitRegistry = pint.UnitRegistry()
#: Our spelling where pint's differs; what is absent is spelled alike.
PINT = {
    "%": "percent",
    "inHg": "inch_Hg",
    "g0": "standard_gravity",
    "N m": "N*m",
    "N mm": "N*mm",
    "lbf ft": "lbf*ft",
    "lbf in": "lbf*in",
    "N m/deg": "N*m/deg",
    "m/s2": "m/s**2",
    "kg/m3": "kg/m**3",
    "mm2": "mm**2",
    "mm3": "mm**3",
    "cm3": "cm**3",
    "in3": "in**3",
    "°C": "delta_degC",
}
#: What one internal unit of each measure is.
INSIDE = {
    Measure.LENGTH: "mm",
    Measure.ANGLE: "rad",
    Measure.PERCENT: "percent",
    Measure.FORCE: "N",
    Measure.PRESSURE: "MPa",
    Measure.MASS: "kg",
    Measure.AREA: "mm**2",
    Measure.VOLUME: "mm**3",
    Measure.RATE: "N/mm",
    Measure.TORQUE: "N*mm",
    Measure.TURN_RATE: "N*mm/rad",
    Measure.TIME: "s",
    Measure.SPEED: "mm/s",
    Measure.ACCELERATION: "mm/s**2",
    Measure.SWELL: "mm**3/mm",
    Measure.YIELD: "mm**3/MPa",
    Measure.DENSITY: "kg/mm**3",
    Measure.TEMPERATURE: "delta_degC",
}


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: unit.name)
def test_factor_is_that_of_pint(unit: Unit) -> None:
    theirs = REGISTRY.Quantity(1.0, PINT.get(unit.name, unit.name))
    factor = theirs.to(INSIDE[unit.measure]).magnitude
    assert float(unit.factor) == pytest.approx(factor, rel=1e-14)


def test_factors_printed_in_nist_sp_811_appendix_b8() -> None:
    """Digits as printed there: inch, psi, lbf, inHg (conventional), lbf ft, mph."""
    printed = {
        "in": 2.54e1,
        "psi": 6.894757e-3,
        "lbf": 4.448222,
        "inHg": 3.386389e-3,
        "lbf ft": 1.355818e3,
        "mph": 4.4704e2,
        "lbf/in": 1.751268e-1,
        "in3": 1.638706e4,
    }
    for name, factor in printed.items():
        unit = find_unit(name)
        assert unit is not None
        assert float(unit.factor) == pytest.approx(factor, rel=3e-7)


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: unit.name)
def test_every_spelling_is_found_in_any_case(unit: Unit) -> None:
    for word in (unit.name, *unit.spellings):
        assert find_unit(word) is unit
        assert find_unit(f" {word.upper()} ") is unit


@pytest.mark.parametrize(
    ("word", "name"),
    [
        ("metres", "m"),
        ("Centimeter", "cm"),
        ("millimeters", "mm"),
        ("”", "in"),
        ("″", "in"),
        ("º", "deg"),
        ("cm³", "cm3"),
        ("’", "ft"),
    ],
)
def test_signs_of_documents_are_known(word: str, name: str) -> None:
    unit = find_unit(word)
    assert unit is not None
    assert unit.name == name


@pytest.mark.parametrize("word", ["", "furlong", "m m", "mmm"])
def test_other_words_are_no_units(word: str) -> None:
    assert find_unit(word) is None


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("¾", "3/4"),
        ("1¾", "1 3/4"),
        ("1 ⅜", "1 3/8"),
        ("about ¾ ft", "about 3/4 ft"),
        ("½ to 1¾ in near ⅝", "1/2 to 1 3/4 in near 5/8"),
        ("−5", "-5"),
        ("3⁄4", "3/4"),
        ("a\u00a0b", "a b"),
    ],
)
def test_plain_signs(text: str, right: str) -> None:
    assert plain(text) == right


def test_a_bore_of_seven_tenths_is_exact() -> None:
    assert into(Fraction("0.70"), find_unit("in")) == 17.78


@given(st.floats(-1e4, 1e4), st.sampled_from(UNITS))
def test_out_is_the_inverse_of_into(number: float, unit: Unit) -> None:
    there = into(Fraction(number), unit)
    assert out_of(there, unit.name) == pytest.approx(number, rel=1e-15, abs=1e-300)


def test_every_measure_but_pure_has_a_unit() -> None:
    assert all(units_of(m) for m in Measure if m is not Measure.PURE)
    assert units_of(Measure.PURE) == ()


@pytest.mark.parametrize(
    ("length", "words"),
    [
        (301.0, "11 27/32 in"),
        (245.0, "9 21/32 in"),
        (130.0, "5 1/8 in"),
        (25.4, "1 in"),
        (0.3, "0 in"),
        (-0.3, "0 in"),
        (-38.1, "-1 1/2 in"),
        (25.39, "1 in"),
    ],
)
def test_tape_inches(length: float, words: str) -> None:
    assert inches(length) == words


@given(st.floats(-5000, 5000), st.sampled_from([16, 32, 64]))
def test_tape_inches_are_the_nearest(length: float, finest: int) -> None:
    """A second road: the words summed again lie within half a step."""
    sign, size = 1, inches(length, finest).removesuffix(" in")
    if size.startswith("-"):
        sign, size = -1, size[1:]
    there = sign * sum(Fraction(word) for word in size.split())
    assert abs(float(there) * 25.4 - length) <= 25.4 / finest / 2 + 1e-9


def test_numbers_for_people() -> None:
    assert trim(-0.04, 1) == "0"
    assert trim(120.0, 0) == "120"
    assert both(245.04) == ("245", "9 21/32 in")
    assert say(math.radians(8.9), "deg", 1) == "8.9 deg"
    assert say(5.5, "1", 2) == "5.5"

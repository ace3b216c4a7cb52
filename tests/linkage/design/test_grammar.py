"""The grammar of a number: what is taken, what it means, what is refused and how."""

import math
import unicodedata
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linkage.design.grammar import read_number
from linkage.design.terms import Misread
from linkage.units import UNITS, Measure, Unit

LENGTH = Measure.LENGTH


@pytest.mark.parametrize(
    ("raw", "mm"),
    [
        (120, 120.0),
        (Decimal("120.5"), 120.5),
        ("120.5", 120.5),
        ("3/4 in", 19.05),
        ("¾ in", 19.05),
        ("3/4”", 19.05),
        ('3/4"', 19.05),
        ("3 / 4 inch", 19.05),
        ("1-3/8 in", 34.925),
        ("1 3/8 in", 34.925),
        ("1⅜ in", 34.925),
        ("-1 3/8 in", -34.925),
        ("-1-3/8 in", -34.925),
        ("+5", 5.0),
        ("−5 mm", -5.0),
        ("0.70 in", 17.78),
        (".70 in", 17.78),
        ("12 cm", 120.0),
        ("1 ft", 304.8),
        ("0.12 m", 120.0),
        ("  5   MM. ", 5.0),
    ],
)
def test_one_number(raw: Any, mm: float) -> None:
    value = read_number(raw, LENGTH)
    assert (value.nominal, value.kind, value.give) == (mm, "fixed", None)


def test_a_bare_number_is_in_the_unit_of_the_file() -> None:
    value = read_number("4 5/8", LENGTH, "in")
    assert (value.nominal, value.unit) == (117.475, "in")
    assert read_number(Decimal("4.625"), LENGTH, "in").nominal == 117.475


def test_mixed_numbers_are_never_differences() -> None:
    assert read_number("1-3/8", Measure.PURE).nominal == 1.375


def test_about_is_a_guess() -> None:
    value = read_number("about 11", LENGTH)
    assert (value.nominal, value.guess) == (11.0, True)
    assert not read_number("11", LENGTH).guess


@pytest.mark.parametrize("sign", ["+-", "±", "+/-", " +- ", "+ -"])
def test_tolerance(sign: str) -> None:
    value = read_number(f"120{sign}2", LENGTH)
    assert (value.nominal, value.give, value.kind) == (120.0, 2.0, "fixed")


def test_range_near_and_tolerance() -> None:
    value = read_number("45 to 65 near 50 +- 0.5 mm", LENGTH)
    assert (value.low, value.high, value.near, value.give) == (45.0, 65.0, 50.0, 0.5)
    assert (value.nominal, value.kind) == (50.0, "free")
    assert read_number("45 to 65", LENGTH).nominal == 55.0
    assert read_number("45 to 65 near 45", LENGTH).near == 45.0
    assert read_number("45 to 65 near 65", LENGTH).near == 65.0


@pytest.mark.parametrize(
    ("raw", "low", "high"),
    [
        ("1 to 2 in", 25.4, 50.8),
        ("1 in to 60 mm", 25.4, 60.0),
        ("-1/2 to 1-3/8 in", -12.7, 34.925),
        ("−5 to −2", -5.0, -2.0),
    ],
)
def test_a_unit_after_the_last_number_holds_for_those_before(
    raw: str, low: float, high: float
) -> None:
    value = read_number(raw, LENGTH)
    assert (value.low, value.high) == (low, high)


def test_near_takes_the_unit_of_its_range() -> None:
    assert read_number("1 to 2 in near 1.5", LENGTH).near == pytest.approx(38.1)


def test_a_choice_keeps_its_spelling_with_the_unit() -> None:
    value = read_number({"one_of": ["0.70", "3/4 in"]}, LENGTH)
    assert value.options == (17.78, 19.05)
    assert value.spelt == ("0.70 in", "3/4 in")
    assert (value.nominal, value.unit, value.kind) == (17.78, "in", "choice")


@pytest.mark.parametrize(
    ("measure", "raw", "inside"),
    [
        (Measure.ANGLE, 9, math.radians(9)),
        (Measure.ANGLE, "9°", math.radians(9)),
        (Measure.PERCENT, 5, 5.0),
        (Measure.PERCENT, "5 %", 5.0),
        (Measure.PURE, Decimal("5.5"), 5.5),
        (Measure.FORCE, "100 lbf", 444.82216152605),
        (Measure.PRESSURE, "7 MPa", 7.0),
        (Measure.TORQUE, "10 Nm", 10_000.0),
    ],
)
def test_other_measures(measure: Measure, raw: Any, inside: float) -> None:
    assert read_number(raw, measure).nominal == pytest.approx(inside, rel=1e-15)


@pytest.mark.parametrize(
    ("raw", "measure", "says"),
    [
        ("1,5 mm", LENGTH, "A decimal needs a dot: 1.5."),
        ("5-12 mm", LENGTH, 'A range is written "5 to 12 mm".'),
        ("1 - 3/8", LENGTH, '"1 3/8"'),
        ("65 to 45", LENGTH, "runs backwards"),
        ("45 to 45", LENGTH, "no room"),
        ("45 to 65 near 70", LENGTH, "near lies outside"),
        ("3/4 in +- 0.5", LENGTH, '"0.5 in"'),
        ("1 in to 40", LENGTH, '"40 in"'),
        ("120 +- -2", LENGTH, "no sign"),
        ("about 5 to 6", LENGTH, 'a guess and a range. Write "5 to 6", or a guess'),
        ("about 120 +- 2", LENGTH, 'a guess and a tolerance. Write "120 +- 2", or'),
        ("about 120 mm ± 2", LENGTH, 'of one number: "about 120 mm".'),
        ("1e2 mm", LENGTH, "Write it in full: 100."),
        ("2.5E-1", LENGTH, "Write it in full: 0.25."),
        ("1e9", LENGTH, "Is a digit or a dot astray?"),
        (Decimal("1e9"), LENGTH, "1E+9 is far too large"),
        ("2 rad", Measure.ANGLE, "an angle belongs here. Its units: deg."),
        ("2 radians", Measure.ANGLE, "Its units: deg."),
        ("2 dge", Measure.ANGLE, "Nearest: deg."),
        ("5 kn", Measure.MASS, '"5 kn" is a force, and a mass belongs here.'),
        ("100 lbs", Measure.FORCE, 'a force belongs here. Write "100 lbf". Its units:'),
        ("about 8 1/2 kg", Measure.FORCE, 'Write "8 1/2 kgf".'),
        ("5 kgs", Measure.MASS, "Nearest: kg. Its units: kg, g, lb."),
        ("5 kgs", LENGTH, "Its units: mm, cm, m, in, ft."),
        (
            "0.2 x",
            Measure.PURE,
            "and a pure number belongs here. Write the number alone",
        ),
        ("1 9/8", LENGTH, "9/8"),
        ("1/2/3", LENGTH, "not a number I can read"),
        ("100 to 140 near", LENGTH, "no number stands behind near"),
        ("100 to", LENGTH, "no number stands behind to"),
        ("about", LENGTH, "no number stands behind about"),
        ("120 ±", LENGTH, "no number stands behind ±"),
        ("4 in +- 0.5", LENGTH, 'Say which: "0.5 in".'),
        ("3/0", LENGTH, "3/0"),
        ("nan", LENGTH, "not a number I can read"),
        ("inf mm", LENGTH, "not a number I can read"),
        ("", LENGTH, "not a number I can read"),
        ("1.2.3", LENGTH, "not a number I can read"),
        ("5 to 6 to 7", LENGTH, "not a number I can read"),
        ("12 mn", LENGTH, '"mn" is not a unit'),
        ("5 deg", LENGTH, "is an angle, and a length belongs here"),
        ("9" * 60, LENGTH, "far too large"),
        ("9" * 600, LENGTH, "too long"),
        (Decimal("nan"), LENGTH, "not a number"),
        (Decimal("inf"), LENGTH, "not a number"),
        (Decimal("1e999999999"), LENGTH, "far too large or too small"),
        (Decimal("1e-999999999"), LENGTH, "far too large or too small"),
        (10**4000, LENGTH, "far too large or too small"),
        (True, LENGTH, "true stands where a number belongs"),
        ([1], LENGTH, "a list stands where a number belongs"),
        ({"near": 1}, LENGTH, "one_of"),
        ({"one_of": []}, LENGTH, "one_of = [] leaves nothing to choose from. Write {"),
        ({"one_of": ["3/4 in", "0.75 in"]}, LENGTH, "3/4 in and 0.75 in are one size"),
        (
            {"one_of": [20, 30, 20]},
            LENGTH,
            "20 stands in this choice twice. Take 20 out",
        ),
        ({"one_of": ["1 to 2"]}, LENGTH, "plain numbers"),
        ({"one_of": ["1 in", 20]}, LENGTH, "has no unit"),
        ({"one_of": ["0.7", "3/4 in", "1 in"]}, LENGTH, 'Say which: "0.7 in".'),
        (60, Measure.FORCE, 'needs its unit. Write "60 N" (or kN, kgf, lbf).'),
        ("60", Measure.MASS, 'Write "60 kg"'),
        ("5 mm", Measure.PURE, "the number alone"),
    ],
)
def test_refused_in_words(raw: Any, measure: Measure, says: str) -> None:
    with pytest.raises(Misread) as refusal:
        read_number(raw, measure)
    assert says in f"{refusal.value.wrong} {refusal.value.right}"


SIZES = st.one_of(
    st.decimals(0, 9999, places=3).map(lambda size: (f"{size}", Fraction(size))),
    st.tuples(st.integers(1, 31), st.integers(32, 64)).map(
        lambda two: (f"{two[0]}/{two[1]}", Fraction(*two))
    ),
    st.tuples(st.integers(0, 99), st.integers(1, 7), st.sampled_from(" -")).map(
        lambda mixed: (
            f"{mixed[0]}{mixed[2]}{mixed[1]}/8",
            mixed[0] + Fraction(mixed[1], 8),
        )
    ),
)
LENGTHS = st.sampled_from([unit for unit in UNITS if unit.measure is LENGTH])


@given(SIZES, LENGTHS, st.sampled_from(["", "-", "+"]))
def test_every_spelling_gives_the_exact_size(
    size: tuple[str, Fraction], unit: Unit, sign: str
) -> None:
    exact = (-1 if sign == "-" else 1) * size[1] * Fraction(unit.factor)
    if abs(exact) < 1e5:
        assert read_number(f"{sign}{size[0]} {unit.name}", LENGTH).nominal == float(
            exact
        )


@given(st.text(alphabet='0123456789 ./-+,"tonearbumig°±¾−', max_size=24))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        value = read_number(text, LENGTH)
    except Misread:
        return
    assert math.isfinite(value.nominal)


@pytest.mark.parametrize("measure", list(Measure))
def test_a_unit_that_does_not_fit_names_those_that_do_and_no_other(
    measure: Measure,
) -> None:
    """For every measure: an unknown unit, and each known one of another measure."""
    fitting = [unit.name for unit in UNITS if unit.measure is measure]
    others = [unit.name for unit in UNITS if unit.measure is not measure]
    for word in ("zz", *others):
        with pytest.raises(Misread) as refusal:
            read_number(f"2 {word}", measure)
        listed = refusal.value.right.partition("Its units: ")[2].rstrip(".")
        assert listed.split(", ") == (fitting or [""])
        assert fitting or refusal.value.right == "Write the number alone."
        assert f"{measure.value} belongs here" in refusal.value.wrong
        if word != "zz":
            assert word in refusal.value.wrong


@pytest.mark.parametrize("sign", ["¼", "½", "¾", "⅓", "⅝", "⅞"])
def test_a_fraction_sign_after_any_word_is_the_fraction(sign: str) -> None:
    """The same as its digits, behind every word of the grammar."""
    size = float(unicodedata.numeric(sign)) * 304.8
    assert read_number(f"about {sign} ft", LENGTH).nominal == pytest.approx(size)
    value = read_number(f"-{sign} to {sign} near {sign} ft +- {sign} ft", LENGTH)
    assert (value.low, value.high) == pytest.approx((-size, size))
    assert (value.near, value.give) == pytest.approx((size, size))

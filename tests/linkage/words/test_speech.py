"""Numbers, directions and tables in words."""

import cmath
import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linkage.words.speech import Speech, heading, paragraph, table, tidy, way


@pytest.mark.parametrize(
    ("z", "words"),
    [
        (-9 - 56j, "9 behind and 56 below"),
        (3.0 + 0j, "3 ahead of"),
        (0.01 + 86j, "86 above"),
        (0j, "on"),
    ],
)
def test_offsets_have_no_sign(z: complex, words: str) -> None:
    assert Speech("mm").offset(z) == words


@pytest.mark.parametrize(
    ("degrees", "words"),
    [
        (0.0, "forward, level"),
        (2.0, "forward, 2 deg up"),
        (-0.04, "forward, level"),
        (-44.0, "forward, 44 deg down"),
        (180.0, "back, level"),
        (178.0, "back, 2 deg up"),
        (-178.5, "back, 1.5 deg down"),
        (90.0, "straight up"),
        (93.0, "up, 3 deg back"),
        (-81.0, "down, 9 deg forward"),
    ],
)
def test_headings(degrees: float, words: str) -> None:
    assert heading(cmath.rect(1.0, math.radians(degrees))) == words


def test_ways_in_eighths_of_a_turn() -> None:
    found = [way(cmath.rect(3.0, math.radians(45.0 * k + 20.0))) for k in range(8)]
    assert found[:3] == ["forward", "forward and up", "up"]
    assert found[4:7] == ["back", "back and down", "down"]
    assert len(set(found)) == 8


def test_inch_readings_are_fractions_where_they_were() -> None:
    say = Speech("in").reading
    assert say(4.625 * 25.4) == "4 5/8"
    assert say(21.5 * 25.4) == "21 1/2"
    assert say(4.974 * 25.4) == "4.974"
    assert Speech("mm").reading(120.5) == "120.5"


@given(st.floats(25.4 / 16, 1000.0))
def test_a_length_is_a_fraction_within_half_a_mark(mm: float) -> None:
    """Read back by the standard library's fractions; typed 64ths are kept."""
    for finest in (32, 64):
        words = Speech("in").ruled(mm, finest)
        size = float(sum(Fraction(word) for word in words.split()))
        assert abs(size - mm / 25.4) <= 0.5 / finest + 1e-9
        assert "." not in words


def test_what_is_no_fraction_of_a_tape_is_in_thousandths() -> None:
    assert Speech("in").ruled(0.020 * 25.4) == "0.02"
    assert Speech("in").ruled(25.4 / 32) == "1/32"
    assert Speech("in").ruled(4.974 * 25.4) == "4 31/32"
    assert Speech("mm").ruled(126.34) == "126.3"


def test_stock_is_never_rounded_and_says_both() -> None:
    """The inch is 25.4 mm exactly (NIST SP 811)."""
    inch, metric = Speech("in"), Speech("mm")
    assert (inch.stock(7.9375), inch.stock(8.0)) == (
        *("5/16 in (7.94 mm)", "0.315 in (8 mm)"),
    )
    assert (inch.size(25.4), inch.size(20.0)) == ("1", "0.7874 (20 mm)")
    assert (metric.stock(8.0), metric.size(19.05)) == ("8 mm", "19.05")
    assert (inch.mass(0.45359237), metric.mass(1.0)) == ("1.00 lb (0.45 kg)", "1.00 kg")


def test_tape_lengths_are_as_fine_as_a_tape() -> None:
    say = Speech("mm").on_tape
    assert (say(301.14), say(56.2), say(56.3), say(99.9)) == (
        "301",
        "56",
        "56.5",
        "100",
    )
    assert Speech("in").on_tape(301.0) == "11 27/32 in"


def test_a_tables_numbers_and_words_stand_under_each_other() -> None:
    lines = table(
        [["1", "8.9 short", "rest"], ["120", "14.3 past", ""], ["5", "0.0", ""]],
        [("pad",), ("rod to", "its arm"), ("",)],
    )
    dots = {line.index(".") for line in lines[3:]}
    assert len(dots) == 1
    assert lines[3].endswith("rest")
    assert not any(line != line.rstrip() for line in lines)


def test_words_of_others_are_one_printable_line() -> None:
    assert tidy("a\x1b[31m\n\tb\u202e") == "a [31m b"
    assert tidy("x" * 99, 10) == "x" * 9 + "…"
    assert tidy("¾ in, Größe") == "¾ in, Größe"


def test_paragraphs_fit() -> None:
    lines = paragraph("word " * 60, 4, 2)
    assert max(map(len, lines)) <= 88
    assert lines[0].startswith("    word")
    assert lines[1].startswith("      word")

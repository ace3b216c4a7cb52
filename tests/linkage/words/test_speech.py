"""Numbers, directions and tables in words."""

import cmath
import math

import pytest

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

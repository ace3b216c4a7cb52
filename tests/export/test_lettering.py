"""Widths against the font's own advances; cleaning against hostile text."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.font_manager import FontProperties, findfont, get_font
from matplotlib.ft2font import LoadFlags

from export.lettering import CAPITAL, clean, shorten, text_width, wrap


def _drawn(text: str, weight: str) -> float:
    """Width in em, from the font file."""
    face = findfont(FontProperties(family="DejaVu Sans", weight=weight))
    font = get_font(face)
    font.set_size(64.0, 72.0)
    font.set_text(text, 0.0, flags=LoadFlags.NO_HINTING)
    return float(font.get_width_height()[0]) / 64.0 / 64.0


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize(
    "text",
    ["118 back", "Ratio 5.31 at 48 mm", "WWWW", "iiil.:;", "±2 mm, 12°", "é Ø ½"],
)
def test_no_label_is_wider_than_counted(text: str, bold: bool) -> None:
    counted = text_width(text, 2.5, bold=bold)
    drawn = _drawn(text, "bold" if bold else "normal") * 2.5 / CAPITAL
    assert drawn <= counted + 0.02
    assert counted < 1.6 * drawn


@given(st.text(max_size=60))
def test_cleaned_text_is_one_line_of_printable_characters(text: str) -> None:
    out = clean(text)
    assert out == out.strip()
    assert not any(unicodedata.category(c).startswith("C") for c in out)
    assert clean(out) == out
    out.encode("utf-8")


def test_marks_that_turn_the_writing_direction_are_dropped() -> None:
    assert clean("brake\u202egpj.\u2066x\u200f") == "brake gpj. x"


@given(st.text(max_size=200), st.floats(5.0, 80.0))
def test_shortened_text_fits(text: str, width: float) -> None:
    out = shorten(text, 2.5, width)
    assert text_width(out, 2.5) <= width
    assert out == clean(text) or out.endswith("…")


def test_ten_thousand_letters_are_shortened() -> None:
    assert text_width(shorten("W" * 10_000, 3.5, 120.0), 3.5) <= 120.0


def test_wrap_keeps_every_word_in_order() -> None:
    words = "one two three four five six seven eight"
    lines = wrap(words, 2.5, 25.0)
    assert len(lines) > 1
    assert " ".join(lines) == words
    assert all(text_width(line, 2.5) <= 25.0 for line in lines)

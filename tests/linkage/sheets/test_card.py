"""The measuring card: every number on the sketch has its blank, nothing overlaps."""

from pathlib import Path

import pytest
from click.testing import CliRunner
from msgspec.structs import replace

from export.shapes import Circle, Drawing, Line, Text
from export.shapes import Path as Stroke
from linkage.commands import footwell
from linkage.sheets.card import MARGIN, Blank, card_page
from linkage.templates import TEMPLATES
from tests.export.sample import HOSTILE
from tests.linkage.sheets.apart import expect_apart, expect_on_page, letters
from tests.linkage.sheets.samples import BLANKS, card_scene, floor_scene, throttle_scene

CHECKS = ("pivot to pad", "hole to pad")


def _apart(drawing: Drawing) -> None:
    expect_apart(drawing, MARGIN)
    expect_on_page(drawing)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_each_number_is_on_the_sketch_and_has_a_line(paper: str) -> None:
    card = card_page(card_scene(), BLANKS, paper=paper, checks=CHECKS)
    words = [item.text for item in letters(card)]
    for blank in BLANKS:
        assert f"({blank.number})" in words
        assert str(blank.number) in words
        assert blank.label in words
    lines = [i for i in card.items if isinstance(i, Line) and i.role == "blank"]
    assert len([line for line in lines if abs(line.b - line.a) > 50.0]) >= len(BLANKS)
    rings = [i for i in card.items if isinstance(i, Circle) and i.role == "number"]
    assert len(rings) == len(BLANKS)
    _apart(card)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_each_length_to_check_has_a_line_of_its_own(paper: str) -> None:
    card = card_page(card_scene(), BLANKS, paper=paper, checks=CHECKS)
    lines = [i for i in card.items if isinstance(i, Line) and i.role == "blank"]
    for check in CHECKS:
        (words,) = [item for item in letters(card) if item.text == check]
        (line,) = [
            line
            for line in lines
            if abs(line.a.imag - words.at.imag) < 0.1
            and 0.0 < line.a.real - words.at.real < 40.0
        ]
        assert abs(line.b - line.a) > 40.0
    bare = card_page(card_scene(), BLANKS, paper=paper)
    assert not [item for item in letters(bare) if "as well: " in item.text]


def test_the_card_shows_the_rest_position_only() -> None:
    roles = {
        getattr(item, "role", "") for item in card_page(card_scene(), BLANKS).items
    }
    assert "arm rest" in roles
    assert not roles & {"arm mid", "arm full", "arc", "square", "series 1"}


def test_other_kinds_fit_too() -> None:
    for scene in (floor_scene(), throttle_scene()):
        _apart(card_page(scene, BLANKS[:8]))


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_words_are_cut_to_their_room(text: str) -> None:
    blanks = [Blank(number=n, label=text, hint=text) for n in range(1, 10)]
    _apart(card_page(replace(card_scene(), title=text), blanks))


def test_too_many_blanks_are_refused() -> None:
    blanks = [Blank(number=n, label="x", hint="y") for n in range(40)]
    with pytest.raises(ValueError, match="40 blanks"):
        card_page(card_scene(), blanks)
    with pytest.raises(ValueError, match="a4, letter, a3"):
        card_page(card_scene(), BLANKS, paper="b5")


def test_a_sketch_fills_its_room() -> None:
    """Free of standard scales the sketch is larger than at the next of them, 1:10."""
    (arm,) = [
        i
        for i in card_page(card_scene(), BLANKS).items
        if isinstance(i, Stroke) and i.role == "arm rest"
    ]
    tall = max(p.imag for p in arm.runs[0]) - min(p.imag for p in arm.runs[0])
    assert tall > 300.0 / 10.0 * 1.5


def test_no_blank_is_in_a_unit_that_the_tape_has_not() -> None:
    card = card_page(card_scene(), BLANKS, paper="letter", checks=CHECKS)
    said = [item.text for item in card.items if isinstance(item, Text)]
    assert said.count("mm / in") == len(BLANKS) + len(CHECKS)
    assert "mm" not in said
    assert any("strike out one unit" in word for word in said)


@pytest.mark.parametrize("kind", TEMPLATES)
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_no_word_of_a_real_card_is_cut_off(
    kind: str, paper: str, tmp_path: Path
) -> None:
    out = tmp_path / "card.svg"
    words = ["new", kind, "--card", str(out), "--paper", paper]
    assert CliRunner().invoke(footwell, words).exit_code == 0
    assert "…" not in out.read_text()


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_words_at_its_head_stay_above_their_rule(paper: str) -> None:
    card = card_page(card_scene(), BLANKS, paper=paper, checks=CHECKS)
    (rule,) = [
        item
        for item in card.items
        if isinstance(item, Line) and item.role == "thin" and item.a.real == MARGIN
    ]
    for item in card.items:
        if isinstance(item, Text) and "guess." in item.text:
            assert item.at.imag > rule.a.imag + 0.8
            break
    else:
        pytest.fail("the card does not say how a guess is marked")

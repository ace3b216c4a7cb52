"""A sweep in words: the pad from the builder's mark, and the reading to take twice."""

import math
import re

from linkage.loading import load, load_text
from linkage.templates import TEMPLATES
from linkage.words.speech import WIDTH
from linkage.words.sweep import sweep_text
from tests.documents import ROOT
from tests.linkage.words.test_show import BRAKE, PAD, _turned


def _rows(text: str) -> list[list[str]]:
    return [
        line.split() for line in text.splitlines() if re.match(r" +\d+\.\d +\d", line)
    ]


def test_the_pad_is_told_from_the_builders_mark() -> None:
    text = sweep_text(load_text(BRAKE), "brake")
    assert "is back" in text
    for row in _rows(text):
        back = -_turned(PAD, float(row[0])).real
        said = [float(cell) for cell in row if re.fullmatch(r"\d+", cell)]
        assert any(abs(cell - back) <= 0.6 for cell in said), row


def test_without_a_mark_there_is_no_such_column() -> None:
    text = re.sub(r"marks = .*\n", "", BRAKE)
    assert "is back" not in sweep_text(load_text(text), "brake")


def test_a_pad_that_passes_the_mark_says_ahead() -> None:
    text = BRAKE.replace("travel = 150", "travel = 230")
    full = _turned(PAD, 230.0).real
    assert full > 0.0
    assert f"{full:.0f} ahead" in sweep_text(load_text(text), "brake")


def test_the_title_has_rod_and_gap() -> None:
    first = sweep_text(load_text(BRAKE), "brake").splitlines()[0]
    rod = math.hypot(14 + 127, 0.5)
    assert f"Rod {rod:.1f} hole to end, 0.5 gap." in first
    none = BRAKE.replace("free_play = 0.5\n", "")
    assert "gap" not in sweep_text(load_text(none), "brake").splitlines()[0]


def test_the_reading_to_take_twice_is_named() -> None:
    text = TEMPLATES["hanging-brake"].text
    flat = " ".join(sweep_text(load_text(text), "brake").split())
    assert 'Tape Do these two twice: "pivot, up" and "cylinder face, up".' in flat


def test_it_fits_a_terminal() -> None:
    for template in TEMPLATES.values():
        text = sweep_text(load_text(template.text), template.pedal)
        assert max(map(len, text.splitlines())) <= 88
    hostile = BRAKE.replace("Quillet two-seater", "\\u001b[2J" + "x" * 3000)
    shown = sweep_text(load_text(hostile), "brake")
    assert "\x1b" not in shown
    assert max(map(len, shown.splitlines())) <= 92


def _row(text: str, travel: float) -> str:
    (line,) = [row for row in text.splitlines() if row.strip().startswith(f"{travel} ")]
    return line


def test_a_row_beyond_full_says_so() -> None:
    text = sweep_text(load_text(BRAKE), "brake", [0.0, 100.0, 155.0])
    assert "beyond full" in _row(text, 155.0)
    assert "beyond" not in _row(text, 100.0)


def test_the_gap_is_not_closed_at_rest() -> None:
    design = load_text(BRAKE)
    assert "gap closed" not in _row(sweep_text(design, "brake", [0.0, 75.0]), 0.0)
    assert "gap closed" in sweep_text(design, "brake")


def test_the_two_cylinders_of_a_bar_fit_a_terminal() -> None:
    text = sweep_text(load(ROOT / "examples" / "brake-bar.toml"), "brake")
    assert max(map(len, text.splitlines())) <= WIDTH

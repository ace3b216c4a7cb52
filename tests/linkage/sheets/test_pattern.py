"""The paper pattern, measured on rendered pages as a builder would with a rule."""

import re

import numpy as np
import pymupdf
import pytest

from export.pdf import pdf_bytes
from export.shapes import Circle, Contour, Drawing, Line, Text, Window
from export.tiling import PAPERS
from linkage.sheets.pattern import pattern_pages
from tests.export.raster import PIXEL, dark_centre, dark_span, patch, render
from tests.linkage.sheets.samples import ARM, BAR, HOLES, PAD, PIVOT, STAMP


def _pages(paper: str = "a4") -> tuple[Drawing, ...]:
    return pattern_pages(
        ARM, HOLES, pad=PAD, paper=paper, title="Brake arm", stamp=STAMP
    )


def _window(page: Drawing) -> Window:
    (window,) = [item for item in page.items if isinstance(item, Window)]
    return window


def _on_page(page: Drawing, place: complex) -> bool:
    window, size = _window(page), 6.5
    at = place + window.shift
    low, high = window.lower, window.upper
    return (
        low.real + size < at.real < high.real - size
        and low.imag + size < at.imag < high.imag - size
    )


def _centre(
    document: bytes, pages: tuple[Drawing, ...], number: int, place: complex
) -> complex:
    """Where the ink of a cross is on one sheet, in the drawing's coordinates."""
    page = pages[number]
    shift = _window(page).shift
    at = place + shift
    corner = complex(round((at.real - 4) / PIXEL), round((at.imag - 4) / PIXEL)) * PIXEL
    grey = patch(render(document, number), page.height, corner, corner + 8 + 8j)
    x, y = dark_centre(grey)
    return corner + complex(x, 8.0 - y) - shift


def _sheet_of(pages: tuple[Drawing, ...], place: complex) -> int:
    return next(n for n, page in enumerate(pages) if _on_page(page, place))


def _drawn(pages: tuple[Drawing, ...]) -> list[complex]:
    """Centres of bores and of the bare cross, as planned, in the drawing."""
    items = _window(pages[0]).items
    return [
        i.centre for i in items if isinstance(i, Circle) and i.role == "bore circle"
    ]


@pytest.mark.parametrize("paper", list(PAPERS))
def test_page_size_bars_and_hole_distance(paper: str) -> None:
    pages = _pages(paper)
    document = pdf_bytes(pages)
    width, height = PAPERS[paper]
    with pymupdf.open(stream=document, filetype="pdf") as file:
        assert len(file) == len(pages)
        sizes = sorted((file[0].rect.width, file[0].rect.height))
    assert np.array(sizes) / 72 * 25.4 == pytest.approx([width, height], abs=0.01)
    grey = render(document)
    bars = [i for i in pages[0].items if isinstance(i, Line) and i.role == "paper bar"]
    for bar in bars:
        along = (bar.b - bar.a) / 100
        low = bar.a - 5 * along - 0.05 * abs(along.imag) - 0.05j * abs(along.real)
        line = patch(
            grey, pages[0].height, low, bar.b + 5 * along + complex(0.05, 0.05)
        )
        span = dark_span(line[0] if along.real else line[:, 0])
        assert span == pytest.approx(100.0, abs=0.05 + 1e-9)
    pivot, bar_tube = (
        _centre(document, pages, _sheet_of(pages, place), place)
        for place in _drawn(pages)
    )
    assert abs(pivot - bar_tube) == pytest.approx(abs(PIVOT - BAR), abs=0.05)


def test_bores_have_their_diameter_on_paper() -> None:
    """Measured across, from stroke middle to stroke middle."""
    pages = _pages()
    window = _window(pages[0])
    circles = [
        i for i in window.items if isinstance(i, Circle) and i.role == "bore circle"
    ]
    at = circles[0].centre + window.shift
    # Off the cross, by a chord 5 mm above the middle.
    low = at + complex(-14.0, 4.95)
    row = patch(render(pdf_bytes(pages)), pages[0].height, low, low + complex(28, 0.1))
    chord = 2 * np.sqrt(12.3**2 - 5.0**2)
    assert dark_span(row[0]) == pytest.approx(chord + 0.35, abs=0.15)


def test_the_arm_is_turned_and_never_mirrored() -> None:
    pages = _pages()
    (contour,) = [i for i in _window(pages[0]).items if isinstance(i, Contour)]
    here = contour.rows[:, 0] + 1j * contour.rows[:, 1]
    there = ARM[:, 0] + 1j * ARM[:, 1]
    turn = (here[1] - here[0]) / (there[1] - there[0])
    assert abs(turn) == pytest.approx(1.0)
    assert here == pytest.approx(there * turn)
    assert contour.rows[:, 2] == pytest.approx(ARM[:, 2])
    pivot, pad = PIVOT * turn, PAD * turn
    assert pad.real == pytest.approx(pivot.real)
    assert pad.imag < pivot.imag


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_arm_takes_two_sheets_that_agree(paper: str) -> None:
    pages = _pages(paper)
    assert len(pages) == 2
    document = pdf_bytes(pages)
    crosses = {
        i.centre
        for i in _window(pages[0]).items
        if isinstance(i, Circle) and i.role == "paper cross"
    }
    seen = [place for place in crosses if all(_on_page(p, place) for p in pages)]
    assert len(seen) == 3
    for place in seen:
        both = [_centre(document, pages, n, place) for n in (0, 1)]
        assert abs(both[0] - both[1]) < 0.05
        assert abs(both[0] - place) < 0.1


def test_what_every_sheet_says() -> None:
    with pymupdf.open(stream=pdf_bytes(_pages()), filetype="pdf") as file:
        for page in file:
            text = " ".join(page.get_text().split())
            assert "Brake arm" in text
            assert STAMP.line in text
            assert "a shape, not a proof" in text
            assert "licensed person" in text
            assert len(re.findall("print at 100 %", text)) == 2
            assert "pivot to bar tube 56.7" in text
        whole = " ".join(" ".join(p.get_text().split()) for p in file)
    for words in ("pivot bore 24.60", "bar tube bore 25.00", "spring centre only"):
        assert words in whole
    assert "sheet A1" in whole
    assert "sheet B1" in whole


def test_no_name_stands_on_the_outline() -> None:
    window = _window(_pages()[0])
    (contour,) = [i for i in window.items if isinstance(i, Contour)]
    right = contour.rows[:, 0].max()
    names = [i for i in window.items if isinstance(i, Text)]
    assert len(names) == 8  # of four marks, and where the front of the car is
    assert all(name.at.real > right for name in names)


def test_a_pattern_without_holes_is_refused() -> None:
    with pytest.raises(ValueError, match="needs a hole"):
        pattern_pages(ARM, {}, paper="a4", title="t", stamp=STAMP)


def test_one_hole_alone_is_enough() -> None:
    pages = pattern_pages(
        ARM, {"pivot": (PIVOT, None)}, paper="a3", title="t", stamp=STAMP
    )
    assert len(pages) == 1

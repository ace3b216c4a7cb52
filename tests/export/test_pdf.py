"""PDF: exact size on paper, measured on a page that another library rendered."""

import numpy as np
import pymupdf
import pytest
from msgspec.structs import replace

from export.figure import _steps
from export.pdf import pdf_bytes
from export.shapes import Arc, Circle, Line
from tests.export.raster import dark_span, patch, render
from tests.export.sample import HOSTILE, PAGE, titled


@pytest.mark.parametrize(
    ("width", "height"), [(210.0, 297.0), (215.9, 279.4), (297.0, 420.0)]
)
def test_the_page_has_its_size(width: float, height: float) -> None:
    out = pdf_bytes([replace(PAGE, width=width, height=height, items=())])
    with pymupdf.open(stream=out, filetype="pdf") as file:
        box = file[0].rect
    assert box.width / 72 * 25.4 == pytest.approx(width, abs=0.001)
    assert box.height / 72 * 25.4 == pytest.approx(height, abs=0.001)


def test_lengths_on_paper_are_true() -> None:
    lines = (Line(20 + 20j, 120 + 20j, "outline"), Line(30 + 50j, 30 + 250j, "outline"))
    grey = render(pdf_bytes([replace(PAGE, items=lines)]))
    row = patch(grey, 297.0, 10 + 19.95j, 190 + 20.05j)[0]
    column = patch(grey, 297.0, 29.95 + 30j, 30.05 + 280j)[:, 0]
    assert dark_span(row) == pytest.approx(100.0, abs=0.051)
    assert dark_span(column) == pytest.approx(200.0, abs=0.051)


def test_a_circle_is_round() -> None:
    grey = render(
        pdf_bytes(
            [
                replace(
                    PAGE, items=(Circle(centre=100 + 150j, radius=50, role="outline"),)
                )
            ]
        )
    )
    across = dark_span(patch(grey, 297.0, 10 + 149.95j, 190 + 150.05j)[0])
    upright = dark_span(patch(grey, 297.0, 99.95 + 50j, 100.05 + 250j)[:, 0])
    assert across == pytest.approx(100.5, abs=0.11)
    assert upright == pytest.approx(100.5, abs=0.11)


def test_bezier_pieces_stay_on_their_circle() -> None:
    """A piece of 45 degrees at most leaves its circle by 4e-6 of the radius."""
    arc = Arc(centre=3 + 4j, radius=50.0, start=0.4, sweep=-5.0, role="o")
    points = np.array([point for point, _ in _steps(arc)])
    part = np.linspace(0.0, 1.0, 21)[:, None]
    a, b, c, d = points[0:-3:3], points[1:-2:3], points[2:-1:3], points[3::3]
    rest = 1.0 - part
    on = rest**3 * a + 3 * rest**2 * part * b + 3 * rest * part**2 * c + part**3 * d
    assert len(a) == 7
    assert np.max(np.abs(np.abs(on - (3 + 4j)) - 50.0)) < 4.5e-6 * 50.0
    assert points[-1] == pytest.approx(3 + 4j + 50 * np.exp(-4.6j))


def test_a_window_hides_what_lies_outside() -> None:
    grey = render(pdf_bytes([PAGE]))
    row = patch(grey, 297.0, 20 + 259.95j, 190 + 260.05j)[0]
    assert dark_span(row) == pytest.approx(30.0, abs=0.051)


def test_same_pages_same_bytes_and_no_date() -> None:
    first, second = pdf_bytes([PAGE, PAGE]), pdf_bytes([PAGE, PAGE])
    assert first == second
    assert b"CreationDate" not in first
    with pymupdf.open(stream=first, filetype="pdf") as file:
        assert len(file) == 2
        assert file.metadata["title"] == "Sample"
        assert file.metadata["keywords"] == "m 1"
        assert "118 back" in file[0].get_text()


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_is_only_drawn(text: str) -> None:
    out = pdf_bytes([titled(text)])
    assert out == pdf_bytes([titled(text)])
    with pymupdf.open(stream=out, filetype="pdf") as file:
        assert len(file) == 1
        assert not file[0].get_links()
        assert file.embfile_count() == 0


def test_no_page_is_refused() -> None:
    with pytest.raises(ValueError, match="needs a page"):
        pdf_bytes([])

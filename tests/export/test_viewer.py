"""PDF as a viewer shows it that shares no code with the libraries used elsewhere."""

import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace
from numpy.typing import NDArray

from export.pdf import pdf_bytes
from export.shapes import Line
from tests.export.raster import DPI, dark_span, patch
from tests.export.sample import PAGE

pytestmark = [
    pytest.mark.viewer,
    pytest.mark.skipif(
        shutil.which("pdfinfo") is None or shutil.which("pdftoppm") is None,
        reason="pdfinfo and pdftoppm (Debian: poppler-utils) are not here",
    ),
]


def ask(*words: str) -> bytes:
    return subprocess.run(words, check=True, capture_output=True).stdout


def grey_map(portable: bytes) -> NDArray[np.uint8]:
    """Read a binary PGM: P5, width, height, 255, then the bytes."""
    kind, width, height, top, rest = portable.split(maxsplit=4)
    assert (kind, top) == (b"P5", b"255")
    return np.frombuffer(rest, np.uint8).reshape(int(height), int(width))


@pytest.fixture
def page(tmp_path: Path) -> Path:
    lines = (Line(20 + 20j, 120 + 20j, "outline"), Line(30 + 50j, 30 + 250j, "outline"))
    file = tmp_path / "page.pdf"
    file.write_bytes(pdf_bytes([replace(PAGE, items=lines)]))
    return file


def test_the_viewer_names_the_size(page: Path) -> None:
    said = ask("pdfinfo", str(page)).decode()
    assert "595.276 x 841.89 pts (A4)" in said
    assert said.count("Pages:") == 1


def test_the_viewer_draws_true_lengths(page: Path) -> None:
    grey = grey_map(ask("pdftoppm", "-gray", "-r", str(int(DPI)), str(page)))
    row = patch(grey, 297.0, 10 + 19.95j, 190 + 20.05j)[0]
    column = patch(grey, 297.0, 29.95 + 30j, 30.05 + 280j)[:, 0]
    assert dark_span(row) == pytest.approx(100.0, abs=0.051)
    assert dark_span(column) == pytest.approx(200.0, abs=0.051)

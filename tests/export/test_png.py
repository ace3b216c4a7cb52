"""PNG: size, content and sameness, read by another library."""

import io
from typing import Any

import pytest
from matplotlib.image import imread

from export.png import png_bytes
from tests.export.sample import HOSTILE, PAGE, titled


def _read(picture: bytes) -> Any:
    return (imread(io.BytesIO(picture)) * 255).round().astype(int)[..., :3]


def test_the_picture_has_its_size_and_mark() -> None:
    out = png_bytes(PAGE, dpi=127.0)
    assert _read(out).shape == (1485, 1050, 3)
    assert b"Description\x00m 1" in out


def test_shapes_stand_where_they_should() -> None:
    """Five pixels a millimetre; the green triangle, the paper, the line."""
    seen = _read(png_bytes(PAGE, dpi=127.0))
    assert tuple(seen[(297 - 35) * 5, 40 * 5]) == (0x00, 0x9E, 0x73)
    assert tuple(seen[2, 2]) == (255, 255, 255)
    assert seen[(297 - 20) * 5, 70 * 5].max() < 60


def test_same_page_same_bytes() -> None:
    assert png_bytes(PAGE, dpi=60.0) == png_bytes(PAGE, dpi=60.0)


@pytest.mark.parametrize("text", HOSTILE[:4], ids=range(4))
def test_hostile_text_is_only_drawn(text: str) -> None:
    assert png_bytes(titled(text), dpi=40.0).startswith(b"\x89PNG")

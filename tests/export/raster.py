"""Pages rendered by another library, and dark places measured on them in mm."""

import numpy as np
import pymupdf
from numpy.typing import NDArray

DPI = 508.0  # a twentieth of a millimetre a pixel
PIXEL = 25.4 / DPI


def render(document: bytes, page: int = 0, dpi: float = DPI) -> NDArray[np.uint8]:
    """Return a page as grey values, row 0 at the top."""
    with pymupdf.open(stream=document, filetype="pdf") as file:
        pixels = file[page].get_pixmap(dpi=int(dpi), colorspace=pymupdf.csGRAY)
        grey = np.frombuffer(pixels.samples, dtype=np.uint8)
        return grey.reshape(pixels.height, pixels.stride)[:, : pixels.width].copy()


def patch(
    grey: NDArray[np.uint8], height: float, lower: complex, upper: complex
) -> NDArray[np.uint8]:
    """Return the part of a page between two corners, mm from its lower left."""
    top, bottom = (round((height - y) / PIXEL) for y in (upper.imag, lower.imag))
    left, right = (round(x / PIXEL) for x in (lower.real, upper.real))
    return grey[top:bottom, left:right]


def dark_span(values: NDArray[np.uint8]) -> float:
    """Return the length in mm from the first to the last dark pixel of a line."""
    dark = np.flatnonzero(values < 128)
    return float(dark[-1] - dark[0] + 1) * PIXEL


def dark_centre(grey: NDArray[np.uint8]) -> tuple[float, float]:
    """Return the centre of ink, mm from the patch's upper left corner."""
    ink = 255.0 - grey.astype(np.float64)
    rows, columns = np.indices(ink.shape)
    total = ink.sum()
    return (
        float(((columns + 0.5) * ink).sum() / total) * PIXEL,
        float(((rows + 0.5) * ink).sum() / total) * PIXEL,
    )

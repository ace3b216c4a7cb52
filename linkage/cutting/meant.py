"""What a cut file was meant to hold, and what counts as held."""

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from export.dxf import Form, Unit
from solvers.plane.measure import extents
from solvers.plane.pieces import Contour

#: What counts as the size or place meant, mm: under every process's deviation.
EXACT = 1e-3


class Meant(Struct, frozen=True, kw_only=True, eq=False):
    """What the file was meant to hold; lengths in mm.

    Attributes
    ----------
    form, unit : str
        As asked for.
    process : str
    plate : float
        Thickness.
    size : complex
        Width and height of the part.
    circles : ndarray, shape (m, 3)
        x, z, radius of every hole that is cut.
    bores : ndarray, shape (k, 3)
        x, z, radius of every hole once finished.
    crosses : ndarray, shape (j, 2)
        x, z of every centre that is marked.
    speaks : {"mm", "in"}
        The unit in which people hear what is wrong.
    """

    form: Form
    unit: Unit
    process: str
    plate: float
    size: complex
    circles: NDArray[np.float64]
    bores: NDArray[np.float64]
    crosses: NDArray[np.float64]
    speaks: Unit = "mm"

    def said(self, mm: float, digits: int = 1) -> str:
        """Return a length for people with its unit: "12.5 mm", "0.492 in"."""
        if self.speaks == "mm":
            return f"{mm:.{digits}f} mm"
        return f"{mm / 25.4:.{digits + 2}f} in"

    def spot(self, at: complex) -> str:
        """Return a place in the file for people, in the unit that is spoken."""
        size, digits = (1.0, 2) if self.speaks == "mm" else (25.4, 3)
        return f"{at.real / size:.{digits}f}, {at.imag / size:.{digits}f}"

    def place(self, contour: Contour) -> str:
        """Return where a contour is, in words: the middle of its box."""
        low, high = extents(contour)
        return self.spot(0.5 * (low + high))

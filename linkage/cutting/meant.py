"""What a cut file was meant to hold, and what counts as held."""

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from export.dxf import Form, Unit

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
    """

    form: Form
    unit: Unit
    process: str
    plate: float
    size: complex
    circles: NDArray[np.float64]
    bores: NDArray[np.float64]
    crosses: NDArray[np.float64]

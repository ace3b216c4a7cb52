"""The shapes a page can hold, and the page.

Lengths are drawing mm on paper, y up, origin in the lower left corner of the page; a
point is complex, x + iy; angles are in radians, anticlockwise. A shape names its role;
the page's table of styles says how that role looks, so that a plan never picks a colour
and a writer never picks a meaning. Nothing here knows a file format.
"""

import math
from collections.abc import Mapping
from typing import Literal, TypeAlias

import numpy as np
from msgspec import Struct, field
from numpy.typing import NDArray

Anchor: TypeAlias = Literal["start", "middle", "end"]


class Style(Struct, frozen=True, kw_only=True):
    """How a role looks.

    Attributes
    ----------
    width : float
        Stroke, mm; 0 draws no stroke.
    colour : str
        Of strokes and letters, ``"#rrggbb"``.
    dash : tuple of float
        Drawn and open lengths in turn, mm; empty for an unbroken line.
    fill : str or None
        Of closed shapes, ``"#rrggbb"``; None leaves them open.
    round : bool
        Round ends and corners; false cuts ends square at their very length.
    """

    width: float = 0.25
    colour: str = "#000000"
    dash: tuple[float, ...] = ()
    fill: str | None = None
    round: bool = False


class Line(Struct, frozen=True):
    """One straight piece from ``a`` to ``b``."""

    a: complex
    b: complex
    role: str


class Path(Struct, frozen=True, kw_only=True):
    """Straight runs drawn as one: a chain, a polygon, a field of hatching."""

    runs: tuple[tuple[complex, ...], ...]
    role: str
    closed: bool = False


class Arc(Struct, frozen=True, kw_only=True):
    """Part of a circle from angle ``start`` over ``sweep``, both in radians."""

    centre: complex
    radius: float
    start: float
    sweep: float
    role: str


class Circle(Struct, frozen=True, kw_only=True):
    """A whole circle."""

    centre: complex
    radius: float
    role: str


class Contour(Struct, frozen=True, kw_only=True, eq=False):
    """A closed outline of lines and true arcs.

    Attributes
    ----------
    rows : ndarray, shape (n, 3)
        x, y in mm and the bulge (tangent of a quarter of the sweep, anticlockwise
        positive) of the piece to the next row; the last goes on to the first.
    """

    rows: NDArray[np.float64]
    role: str


class Text(Struct, frozen=True, kw_only=True):
    """One line of letters.

    Attributes
    ----------
    at : complex
        On the base line, at the side that ``anchor`` names.
    size : float
        Height of a capital, mm, as ISO 3098 counts it.
    turn : float
        Angle of the base line, radians.
    """

    at: complex
    text: str
    role: str
    size: float = 2.5
    anchor: Anchor = "start"
    turn: float = 0.0
    bold: bool = False


class Window(Struct, frozen=True, kw_only=True):
    """A rectangle of the page through which a larger drawing is seen.

    Attributes
    ----------
    items : tuple of shapes
        In coordinates of their own.
    shift : complex
        Added to every point of ``items``.
    lower, upper : complex
        Corners of the rectangle, on the page; what lies outside is not drawn.
    """

    items: tuple["Shape", ...]
    shift: complex
    lower: complex
    upper: complex


Shape: TypeAlias = Line | Path | Arc | Circle | Contour | Text | Window


class Drawing(Struct, frozen=True, kw_only=True):
    """One page: its size, what stands on it, and how roles look.

    Attributes
    ----------
    title : str
        For the list of windows and documents; not drawn.
    width, height : float
        mm.
    mark : str
        Carried inside the file, unseen: which design, of what date and fingerprint.
    """

    title: str
    width: float
    height: float
    items: tuple[Shape, ...]
    styles: Mapping[str, Style] = field(default_factory=dict)
    mark: str = ""


def rectangle(lower: complex, upper: complex, role: str) -> Path:
    """Return the upright rectangle between two corners."""
    a, b = complex(lower), complex(upper)
    corners = (a, complex(b.real, a.imag), b, complex(a.real, b.imag))
    return Path(runs=(corners,), role=role, closed=True)


def polygon(points: tuple[complex, ...], role: str) -> Path:
    """Return one closed run."""
    return Path(runs=(points,), role=role, closed=True)


def chain(points: tuple[complex, ...], role: str) -> Path:
    """Return one open run."""
    return Path(runs=(points,), role=role)


def arc_of_bulge(a: complex, b: complex, bulge: float) -> tuple[complex, float, float]:
    """Return centre, start angle and sweep of the arc from ``a`` to ``b``.

    Parameters
    ----------
    a, b : complex
        Ends, mm.
    bulge : float
        Tangent of a quarter of the sweep; not zero.
    """
    sweep = 4.0 * math.atan(bulge)
    # The centre stands off the chord by chord / 2 / tan(sweep / 2), to its left for
    # a sweep under half a turn; in the bulge that is (1 - b^2) / 4b, safe at b = 1.
    centre = (a + b) / 2 + 1j * (b - a) * (1.0 - bulge * bulge) / (4.0 * bulge)
    return centre, math.atan2((a - centre).imag, (a - centre).real), sweep

"""One small page that holds every shape, for the tests of the writers."""

import math

import numpy as np

from export.shapes import (
    Arc,
    Circle,
    Contour,
    Drawing,
    Line,
    Path,
    Shape,
    Style,
    Text,
    Window,
)

STYLES = {
    "outline": Style(width=0.5),
    "area": Style(width=0.0, fill="#009e73"),
    "chain": Style(width=0.25, dash=(3.0, 1.0, 0.5, 1.0)),
    "letters": Style(colour="#202020"),
}
ITEMS: tuple[Shape, ...] = (
    Line(20 + 20j, 120 + 20j, "outline"),
    Path(runs=((20 + 30j, 60 + 30j, 40 + 50j),), role="area", closed=True),
    Arc(centre=60 + 90j, radius=20.0, start=0.0, sweep=1.5 * math.pi, role="chain"),
    Circle(centre=150 + 90j, radius=25.0, role="outline"),
    Contour(
        rows=np.array([[60, 200, 0], [120, 200, 1], [120, 230, 0], [60, 230, 1.0]]),
        role="outline",
    ),
    Text(at=20 + 150j, text="118 back", role="letters", size=3.5),
    Window(
        items=(Line(-50 + 0j, 50 + 0j, "outline"),),
        shift=100 + 260j,
        lower=80 + 250j,
        upper=110 + 270j,
    ),
)
PAGE = Drawing(
    title="Sample", width=210.0, height=297.0, items=ITEMS, styles=STYLES, mark="m 1"
)
HOSTILE = (
    "</text><script>alert(1)</script>",
    "]]>--><!DOCTYPE x [<!ENTITY a 'b'>]>&a;",
    "\"' onload='x' \"",
    "brake\u202egvs.\u2066 \x00\x07\x1b[31m \ud800 \ufffe",
    "$\\frac{1}{2}$ \\input{x} %d {0}",
    "W" * 10_000,
    "\u6f22\u5b57 \U0001f600 \u05d0\u05d1",
)


def titled(text: str) -> Drawing:
    """Return a page with ``text`` in every place that takes text."""
    letters = Text(at=20 + 150j, text=text, role="letters")
    return Drawing(
        title=text,
        width=210.0,
        height=297.0,
        items=(letters,),
        styles=STYLES,
        mark=text,
    )

"""A page as SVG text, sized in mm.

One number has three decimals (a micrometre), never a minus zero; the same drawing is
always the same text. No script, no style sheet, no link, no outside font: every letter
that a caller hands in is cleaned and escaped.
"""

import math
from typing import assert_never

from export.lettering import CAPITAL, clean
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
    arc_of_bulge,
)

#: Faces as wide as, or narrower than, the one that widths are counted with.
FACES = "DejaVu Sans, Verdana, Helvetica, Arial, sans-serif"
_ESCAPES = str.maketrans(
    {"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#x27;"}
)


def svg_text(drawing: Drawing) -> str:
    """Return ``drawing`` as an SVG document.

    Raises
    ------
    KeyError
        Where a shape has a role that the drawing's styles do not name.
    """
    return _Writer(drawing).document()


def number(value: float) -> str:
    """Return a length in mm to the micrometre, without a minus zero."""
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a place on paper")
    text = f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")
    return text or "0"


class _Writer:
    def __init__(self, drawing: Drawing) -> None:
        self._drawing = drawing
        self._clips = 0

    def document(self) -> str:
        page = self._drawing
        width, height = number(page.width), number(page.height)
        lines = [
            '<?xml version="1.0" encoding="UTF-8"?>',
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" '
            f'height="{height}mm" viewBox="0 0 {width} {height}">',
            f"<title>{_inert(page.title)}</title>",
            f"<metadata>{_inert(page.mark)}</metadata>",
            f'<rect width="{width}" height="{height}" fill="#ffffff"/>',
            *(line for item in page.items for line in self._shape(item)),
            "</svg>",
        ]
        return "\n".join(lines) + "\n"

    def _at(self, point: complex) -> str:
        return f"{number(point.real)} {number(self._drawing.height - point.imag)}"

    def _shape(self, item: Shape) -> list[str]:
        match item:
            case Line(a=a, b=b):
                return [self._path(f"M{self._at(a)}L{self._at(b)}", item.role)]
            case Path():
                return [self._path(self._runs(item), item.role)]
            case Arc():
                return [self._path(self._arc(item), item.role)]
            case Circle(centre=centre, radius=radius):
                x, y = self._at(centre).split()
                look = self._look(item.role)
                return [f'<circle cx="{x}" cy="{y}" r="{number(radius)}"{look}/>']
            case Contour():
                return [self._path(self._contour(item), item.role)]
            case Text():
                return [self._text(item)]
            case Window():
                return self._window(item)
            case _:
                assert_never(item)

    def _path(self, steps: str, role: str) -> str:
        return f'<path d="{steps}"{self._look(role)}/>'

    def _runs(self, item: Path) -> str:
        end = "Z" if item.closed else ""
        return "".join(
            "M" + "L".join(self._at(p) for p in run) + end for run in item.runs
        )

    def _arc(self, item: Arc) -> str:
        start = item.centre + item.radius * _heading(item.start)
        return f"M{self._at(start)}" + self._curve(
            item.centre, item.radius, item.start, item.sweep
        )

    def _curve(self, centre: complex, radius: float, start: float, sweep: float) -> str:
        # In quarters at most: near a half turn the command's rounded radius would
        # decide how far the arc bellies out, by a tenth of a millimetre.
        count = max(1, math.ceil(abs(sweep) / (math.pi / 2) - 1e-9))
        size, turn = number(radius), int(sweep < 0.0)
        ends = (
            centre + radius * _heading(start + sweep * n / count)
            for n in range(1, count + 1)
        )
        return "".join(f"A{size} {size} 0 0 {turn} {self._at(end)}" for end in ends)

    def _contour(self, item: Contour) -> str:
        points = [complex(x, y) for x, y in item.rows[:, :2]]
        steps = f"M{self._at(points[0])}"
        following = points[1:] + points[:1]
        for a, b, bulge in zip(points, following, item.rows[:, 2], strict=True):
            if bulge == 0.0:
                steps += f"L{self._at(b)}"
            else:
                centre, start, sweep = arc_of_bulge(a, b, float(bulge))
                steps += self._curve(centre, abs(a - centre), start, sweep)
        return steps + "Z"

    def _text(self, item: Text) -> str:
        x, y = self._at(item.at).split()
        turn = number(-math.degrees(item.turn))
        turned = "" if turn == "0" else f' transform="rotate({turn} {x} {y})"'
        anchor = "" if item.anchor == "start" else f' text-anchor="{item.anchor}"'
        bold = ' font-weight="bold"' if item.bold else ""
        return (
            f'<text x="{x}" y="{y}" font-family="{FACES}" '
            f'font-size="{number(item.size / CAPITAL)}"{bold}{anchor}{turned} '
            f'fill="{self._drawing.styles[item.role].colour}">'
            f"{_inert(item.text)}</text>"
        )

    def _window(self, item: Window) -> list[str]:
        self._clips += 1
        name = f"window{self._clips}"
        size = item.upper - item.lower
        x, y = self._at(complex(item.lower.real, item.upper.imag)).split()
        shift = f"{number(item.shift.real)} {number(-item.shift.imag)}"
        return [
            f'<clipPath id="{name}"><rect x="{x}" y="{y}" width="{number(size.real)}" '
            f'height="{number(size.imag)}"/></clipPath>',
            f'<g clip-path="url(#{name})"><g transform="translate({shift})">',
            *(line for inner in item.items for line in self._shape(inner)),
            "</g></g>",
        ]

    def _look(self, role: str) -> str:
        return _attributes(self._drawing.styles[role])


def _attributes(style: Style) -> str:
    look = f' fill="{style.fill or "none"}"'
    if style.width > 0.0:
        look += f' stroke="{style.colour}" stroke-width="{number(style.width)}"'
        if style.dash:
            look += f' stroke-dasharray="{" ".join(map(number, style.dash))}"'
        if style.round:
            look += ' stroke-linecap="round" stroke-linejoin="round"'
    return look


def _heading(angle: float) -> complex:
    return complex(math.cos(angle), math.sin(angle))


def _inert(text: str) -> str:
    return clean(text).translate(_ESCAPES)

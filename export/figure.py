"""A page drawn by matplotlib at its exact size, for the writers of PDF and PNG.

The figure is as large as the paper, its one pair of axes fills it, and a unit of the
axes is a millimetre: nothing is fitted, trimmed or padded, so a length on paper is the
length that was asked for. Stroke ends are cut square. Only faces that come with
matplotlib are used; a character that they lack is drawn as a replacement sign.
"""

import functools
import math
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any, assert_never

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

#: Points of the printer's trade in a millimetre.
POINT = 72.0 / 25.4
FACE = "DejaVu Sans"
#: The widest arc that one Bezier piece may stand for: 4e-6 of the radius off.
PIECE = math.pi / 4

_SETTINGS = {
    "pdf.fonttype": 42,
    "pdf.compression": 6,
    "path.simplify": False,
    "text.parse_math": False,
    "text.usetex": False,
    "text.antialiased": True,
    "font.family": [FACE],
}


@contextmanager
def settings() -> Iterator[None]:
    """Put matplotlib's own defaults and the few of ours in place for a while."""
    import matplotlib as mpl

    with mpl.rc_context():
        mpl.rcdefaults()
        mpl.rcParams.update(_SETTINGS)
        yield


def drawn(drawing: Drawing) -> Any:
    """Return ``drawing`` as a matplotlib figure; call it inside `settings`.

    Raises
    ------
    KeyError
        Where a shape has a role that the drawing's styles do not name.
    """
    from matplotlib.figure import Figure

    sheet = Figure(figsize=(drawing.width / 25.4, drawing.height / 25.4))
    axes = sheet.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_axis_off()
    axes.set_xlim(0.0, drawing.width)
    axes.set_ylim(0.0, drawing.height)
    pen = _Pen(axes, drawing.styles)
    for item in drawing.items:
        pen.draw(item, 0j, None)
    return sheet


class _Pen:
    """Adds artists in the order of the shapes, each above the one before."""

    def __init__(self, axes: Any, styles: Mapping[str, Style]) -> None:
        self._axes = axes
        self._styles = styles
        self._order = 0

    def draw(self, item: Shape, shift: complex, window: Any) -> None:
        match item:
            case Window():
                frame = self._frame(item)
                for inner in item.items:
                    self.draw(inner, shift + item.shift, frame)
            case Text():
                self._add(self._text(item, shift), window)
            case _:
                self._add(self._patch(item, shift), window)

    def _add(self, artist: Any, window: Any) -> None:
        self._order += 1
        artist.set_zorder(self._order)
        self._axes.add_artist(artist)
        artist.set_clip_on(window is not None)
        if window is not None:
            artist.set_clip_path(window)

    def _frame(self, item: Window) -> Any:
        from matplotlib.patches import Rectangle

        size = item.upper - item.lower
        corner = (item.lower.real, item.lower.imag)
        return Rectangle(corner, size.real, size.imag, transform=self._axes.transData)

    def _patch(self, item: Line | Path | Arc | Circle | Contour, shift: complex) -> Any:
        from matplotlib.patches import PathPatch
        from matplotlib.path import Path as Outline

        steps = _steps(item)
        places = [(p.real, p.imag) for p in (point + shift for point, _ in steps)]
        style = self._styles[item.role]
        cap = "round" if style.round else "butt"
        return PathPatch(
            Outline(places, [code for _, code in steps]),
            facecolor=style.fill or "none",
            edgecolor=style.colour if style.width > 0.0 else "none",
            linewidth=style.width * POINT,
            linestyle=_dash(style),
            capstyle=cap,
            joinstyle="round" if style.round else "miter",
        )

    def _text(self, item: Text, shift: complex) -> Any:
        from matplotlib.text import Text as Letters

        at = item.at + shift
        return Letters(
            at.real,
            at.imag,
            _drawable(clean(item.text)),
            color=self._styles[item.role].colour,
            fontsize=item.size / CAPITAL * POINT,
            fontweight="bold" if item.bold else "normal",
            rotation=math.degrees(item.turn),
            rotation_mode="anchor",
            ha={"start": "left", "middle": "center", "end": "right"}[item.anchor],
            va="baseline",
            parse_math=False,
        )


def _dash(style: Style) -> Any:
    if not style.dash or style.width == 0.0:
        return "solid"
    # matplotlib counts dashes in stroke widths.
    return (0.0, tuple(length / style.width for length in style.dash))


_MOVE, _LINE, _CURVE, _CLOSE = 1, 2, 4, 79
_Step = tuple[complex, int]


def _steps(item: Line | Path | Arc | Circle | Contour) -> list[_Step]:
    match item:
        case Line(a=a, b=b):
            return [(a, _MOVE), (b, _LINE)]
        case Path(runs=runs, closed=closed):
            return [step for run in runs for step in _run(run, closed)]
        case Arc(centre=c, radius=r, start=start, sweep=sweep):
            return _curve(c, r, start, sweep, _MOVE)
        case Circle(centre=c, radius=r):
            return [*_curve(c, r, 0.0, 2.0 * math.pi, _MOVE), (c + r, _CLOSE)]
        case Contour():
            return _contour(item)
        case _:
            assert_never(item)


def _run(points: tuple[complex, ...], closed: bool) -> list[_Step]:
    steps = [(p, _LINE if n else _MOVE) for n, p in enumerate(points)]
    return [*steps, (points[0], _CLOSE)] if closed else steps


def _contour(item: Contour) -> list[_Step]:
    points = [complex(x, y) for x, y in item.rows[:, :2]]
    steps: list[_Step] = [(points[0], _MOVE)]
    following = points[1:] + points[:1]
    for a, b, bulge in zip(points, following, item.rows[:, 2], strict=True):
        if bulge == 0.0:
            steps.append((b, _LINE))
        else:
            centre, start, sweep = arc_of_bulge(a, b, float(bulge))
            steps += _curve(centre, abs(a - centre), start, sweep, _LINE)[1:]
    return [*steps, (points[0], _CLOSE)]


def _curve(
    centre: complex, radius: float, start: float, sweep: float, first: int
) -> list[_Step]:
    """Return an arc as cubic Bezier pieces of `PIECE` at most."""
    count = max(1, math.ceil(abs(sweep) / PIECE - 1e-9))
    turn = sweep / count
    pull = 4.0 / 3.0 * math.tan(turn / 4.0)
    steps: list[_Step] = [(centre + radius * _heading(start), first)]
    for n in range(count):
        a, b = _heading(start + n * turn), _heading(start + (n + 1) * turn)
        leave, arrive = a * (1 + 1j * pull), b * (1 - 1j * pull)
        steps += [(centre + radius * p, _CURVE) for p in (leave, arrive, b)]
    return steps


def _heading(angle: float) -> complex:
    return complex(math.cos(angle), math.sin(angle))


@functools.cache
def _known() -> frozenset[int]:
    from matplotlib.font_manager import FontProperties, findfont, get_font

    faces = [
        get_font(findfont(FontProperties(family=FACE, weight=weight)))
        for weight in ("normal", "bold")
    ]
    return frozenset.intersection(*(frozenset(f.get_charmap()) for f in faces))


def _drawable(text: str) -> str:
    known = _known()
    return "".join(c if ord(c) in known else "\N{REPLACEMENT CHARACTER}" for c in text)

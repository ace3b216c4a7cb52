"""The sweep on one sheet: the mechanism to scale, and below it what it does.

Several pedals stand side by side, each with its own numbers, at one scale.

The side view has forward to the right (to the left with the door left), the builder's
own string and level with the very numbers that were typed, the arm at rest, half way
and at full, and the pad's arc with a tick each 10 mm or
1/2 in. The curves share one axis of
travel. The scale is one of ISO 5455 and is printed with a bar.
"""

from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from export.lettering import clean, shorten, text_width, wrap
from export.shapes import Drawing, Line, Shape, Text
from export.tiling import PAPERS
from linkage.last_word import SHEET
from linkage.sheets.box import Box
from linkage.sheets.ink import STYLES
from linkage.sheets.labels import Label
from linkage.sheets.panels import panel_rows, panel_shapes
from linkage.sheets.ruler import RULERS, Ruler
from linkage.sheets.scene import Scene
from linkage.sheets.side_view import SideView, fit, side_view

MARGIN = 10.0
_HEAD = 10.0
_FOOT = 16.0
#: Heights of a panel, parts of the page's, the best first.
_PANELS = (0.13, 0.122, 0.115, 0.108, 0.102, 0.096, 0.09, 0.085, 0.08, 0.075)
_SIZE = 2.5
_PITCH = 4.2
_BOLD = 1.27  # bold letters are wider
_MOST_NOTES = 8
_ABREAST = 3  # side views in a row
_BETWEEN = 4.0  # open paper between them
_WITH_FAR = 1.3  # width of one with a far end to that of one without
_UNITS = {"in": "inches"}
#: The papers of one pedal and of several.
_ONE = {"mm": ("a4",), "in": ("letter", "legal")}
_SEVERAL = {"mm": ("a3",), "in": ("tabloid",)}
_KEY = (("arm rest", "at rest"), ("arm mid", "half way"), ("arm full", "at full"))


class Picture(Struct, frozen=True, kw_only=True, eq=False):
    """A page, and the labels for which it had no room."""

    drawing: Drawing
    homeless: tuple[Label, ...]


def sweep_picture(scene: Scene, *, paper: str | None = None) -> Drawing:
    """Return the sheet of a sweep.

    Parameters
    ----------
    paper : str, optional
        A name of `export.tiling.PAPERS`. The sheet of one pedal stands upright, that of
        several lies on its side. Left out: A4 and A3; in inches letter, where the scale
        needs it legal, and tabloid.

    Raises
    ------
    ValueError
        For an unknown paper, or points too far apart for one sheet.
    """
    return compose(scene, paper=paper or _usual(scene)).drawing


def _usual(scene: Scene) -> str:
    """Return the first of the usual papers on which the side view is greatest."""

    def reduction(paper: str) -> float:
        _, rooms = _split(scene, *PAPERS[paper])
        return _reduction(scene, rooms)

    papers = _SEVERAL[scene.units] if scene.apart else _ONE[scene.units]
    return papers[0] if len(papers) == 1 else min(papers, key=reduction)


def compose(scene: Scene, *, paper: str) -> Picture:
    """Return the sheet, and what had no room on it."""
    if paper not in PAPERS:
        raise ValueError(f'no paper "{paper}"; there are {", ".join(PAPERS)}')
    width, height = PAPERS[paper][::-1] if scene.apart else PAPERS[paper]
    curves, rooms = _split(scene, width, height)
    sides = _side_views(scene, rooms)
    plots = panel_shapes(scene.panels, curves, wide=bool(scene.apart))
    frame = (
        *_head(scene, width, height),
        *_note_shapes(scene, width, height),
        *_foot(scene, width, paper, sides[0].view.reduction),
    )
    drawing = Drawing(
        title=f"{scene.title}: sweep",
        width=width,
        height=height,
        items=(*(s for side in sides for s in side.shapes), *plots, *frame),
        styles=STYLES,
        mark=scene.stamp.mark,
    )
    homeless = tuple(label for side in sides for label in side.homeless)
    return Picture(drawing=drawing, homeless=homeless)


def _alone(scene: Scene) -> tuple[Scene, ...]:
    """Return a scene for each pedal."""
    return scene.apart or (scene,)


def _side_views(scene: Scene, rooms: list[Box]) -> list[SideView]:
    """Return a side view for each pedal, all at one scale."""
    scenes = _alone(scene)
    least = _reduction(scene, rooms)
    return [
        side_view(
            each,
            room,
            least=least,
            name=each.groups[0].name if scene.apart else "",
        )
        for each, room in zip(scenes, rooms, strict=True)
    ]


def _reduction(scene: Scene, rooms: list[Box]) -> float:
    pairs = zip(_alone(scene), rooms, strict=True)
    return max(fit(each, room).reduction for each, room in pairs)


def _split(scene: Scene, width: float, height: float) -> tuple[Box, list[Box]]:
    """Return the rooms of the curves and of the side views above them.

    The curves give way, within reason, where that brings the side views to a greater
    scale.
    """
    low = MARGIN + _FOOT
    top = height - MARGIN - _HEAD - _PITCH * len(_notes(scene, width))
    count = panel_rows(len(scene.panels), wide=bool(scene.apart))
    page = Box(left=MARGIN, bottom=low, right=width - MARGIN, top=top)
    found = []
    for share in _PANELS:
        split = low + count * share * height
        rooms = _cells(replace(page, bottom=split + 2.0), _alone(scene))
        found.append((_reduction(scene, rooms), replace(page, top=split), rooms))
    _, curves, rooms = min(found, key=lambda option: option[0])
    return curves, rooms


def _cells(room: Box, scenes: Sequence[Scene]) -> list[Box]:
    """Return a room for each scene, three at most in a row; a cable's end takes more."""
    rows = [scenes[n : n + _ABREAST] for n in range(0, len(scenes), _ABREAST)]
    tall = (room.top - room.bottom) / len(rows)
    found = []
    for n, row in enumerate(rows):
        shares = [_WITH_FAR if scene.far else 1.0 for scene in row]
        whole = room.right - room.left - _BETWEEN * (len(row) - 1)
        left, top = room.left, room.top - n * tall
        for share in shares:
            wide = whole * share / sum(shares)
            found.append(Box(left=left, bottom=top - tall, right=left + wide, top=top))
            left += wide + _BETWEEN
    return found


def _head(scene: Scene, width: float, height: float) -> Iterator[Shape]:
    top, right = height - MARGIN, width - MARGIN
    words = {
        f"guesses: {scene.guesses}": True,
        f"lengths in {_UNITS.get(scene.units, scene.units)}": False,
    }
    end = right
    for text, bold in words.items():
        at = complex(end, top - 5.5)
        yield Text(at=at, text=text, role="letters", anchor="end", bold=bold)
        end -= text_width(text, _SIZE, bold=bold) + 4.0
    yield from _title(scene.title, complex(MARGIN, top), end - MARGIN)
    rule = top - _HEAD + 1.0
    yield Line(complex(MARGIN, rule), complex(right, rule), "thin")


def _title(title: str, at: complex, room: float) -> Iterator[Text]:
    """The title as large as it fits; a long one in two lines."""
    words = clean(title[:400])
    for size in (4.0, 3.5):
        if text_width(words, size, bold=True) <= room:
            yield Text(at=at - 5.5j, text=words, role="letters", size=size, bold=True)
            return
    # Wrapped for bold letters, which take more room than plain ones.
    lines = wrap(title[:400], 3.0, room / _BOLD)
    second = shorten(" ".join(lines[1:]), 3.0, room, bold=True)
    for n, line in enumerate((lines[0], second) if second else lines[:1]):
        place = at - 1j * (3.4 + 4.5 * n)
        yield Text(at=place, text=line, role="letters", size=3.0, bold=True)


def _notes(scene: Scene, width: float) -> list[str]:
    """Return the lines that must not be missed, such as a limit on the way."""
    room = width - 2 * MARGIN
    lines = [line for note in scene.notes for line in wrap(note, _SIZE * _BOLD, room)]
    if len(lines) > _MOST_NOTES:
        more = len(lines) - _MOST_NOTES + 1
        lines = [*lines[: _MOST_NOTES - 1], f"and {more} lines more: see the table"]
    return lines


def _note_shapes(scene: Scene, width: float, height: float) -> tuple[Shape, ...]:
    top = height - MARGIN - _HEAD - 2.6
    return tuple(
        Text(
            at=complex(MARGIN, top - n * _PITCH),
            text=line,
            role="wall letters",
            bold=True,
        )
        for n, line in enumerate(_notes(scene, width))
    )


def _foot(
    scene: Scene, width: float, paper: str, reduction: float
) -> tuple[Shape, ...]:
    top = MARGIN + _FOOT - 5.0
    ruler = RULERS[scene.units]
    return (
        *_key(complex(MARGIN, top), ruler),
        *_scale(complex(width - MARGIN, top), paper, reduction, ruler),
        *_caution(scene, width, top - 5.5),
    )


def _caution(scene: Scene, width: float, top: float) -> Iterator[Text]:
    """The last word, and in the corner beside its end whose sheet this is."""
    whole = width - 2 * MARGIN
    lines = wrap(SHEET, _SIZE, whole)
    for n, line in enumerate(lines):
        at = complex(MARGIN, top - n * _PITCH)
        yield Text(at=at, text=line, role="quiet", size=_SIZE)
    used = text_width(lines[1], _SIZE) if len(lines) > 1 else 0.0
    yield Text(
        at=complex(width - MARGIN, top - _PITCH),
        text=shorten(scene.stamp.line, _SIZE, whole - used - 5.0),
        role="letters",
        anchor="end",
    )


def _key(at: complex, ruler: Ruler) -> tuple[Shape, ...]:
    """Lines as they stand for the three positions, and the step of the ticks."""
    shapes: list[Shape] = []
    for role, words in _KEY:
        shapes.append(Line(at + 0.9j, at + complex(9.0, 0.9), role))
        shapes.append(Text(at=at + 10.5, text=words, role="letters"))
        at += 14.5 + text_width(words, _SIZE)
    shapes.append(
        Text(at=at, text=f"ticks {ruler.tick_text} of pad", role="arc letters")
    )
    return tuple(shapes)


def _scale(
    at: complex, paper: str, reduction: float, ruler: Ruler
) -> tuple[Shape, ...]:
    """The scale in figures, and a bar that tells after any copying."""
    length = ruler.bar / reduction
    words = f"{ruler.bar_text}, scale 1:{reduction:g} on {paper.capitalize()}"
    start = at - text_width(words, _SIZE) - length - 2.0
    ends = (start, start + length)
    return (
        Line(*ends, "ground"),
        *(Line(end - 0.0j, end + 2.0j, "thin") for end in ends),
        Text(at=at, text=words, role="letters", anchor="end"),
    )

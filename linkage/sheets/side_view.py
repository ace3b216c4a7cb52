"""The mechanism in its place: string, level, floor, bulkhead, dimensions and names."""

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from export.lettering import shorten
from export.shapes import Line, Path, Shape, Text
from linkage.sheets.box import Box, text_box
from linkage.sheets.draughting import (
    arrow,
    dimension_line,
    extension_line,
    hatch,
    unit,
)
from linkage.sheets.extents import (
    bulkhead_line,
    floor_line,
    group_points,
    scene_points,
    shown_fixtures,
)
from linkage.sheets.labels import Label, place_labels
from linkage.sheets.mechanism import (
    mechanism,
)
from linkage.sheets.names import group_labels
from linkage.sheets.readings import reading_shapes, sides
from linkage.sheets.ruler import RULERS
from linkage.sheets.scene import Length, Scene
from linkage.sheets.traces import ink_points
from linkage.sheets.view import View, bounds, fitted

_SIZE = 2.5
_AROUND = 9.0  # paper beside the mechanism for names, at least
_OVER, _UNDER = 7.0, 2.0  # paper above and below it for the same
_FAR = 0.36  # part of the room for what lies beyond a cable
_GROUND = 3.0  # depth of the hatching under a floor, mm of paper


class SideView(Struct, frozen=True, kw_only=True, eq=False):
    """Shapes, labels without room, and the scale."""

    shapes: tuple[Shape, ...]
    homeless: tuple[Label, ...]
    view: View


def fit(scene: Scene, room: Box, *, standard: bool = True, least: float = 1.0) -> View:
    """Return the greatest scale at which ``scene`` fits into ``room``.

    Parameters
    ----------
    least : float
        No less reduction than this.
    """
    main, _ = _split(room, scene)
    points = scene_points(scene)
    left, below, right, above = sides(scene, points).room()
    inner = Box(
        left=main.left + left + _AROUND,
        bottom=main.bottom + below + _UNDER,
        right=main.right - right - _AROUND,
        top=main.top - above - _OVER,
    )
    return fitted(
        points, inner, mirrored=scene.door_left, standard=standard, least=least
    )


def side_view(
    scene: Scene,
    room: Box,
    *,
    standard: bool = True,
    least: float = 1.0,
    name: str = "",
) -> SideView:
    """Return ``scene`` drawn into ``room`` at the greatest scale that fits.

    Parameters
    ----------
    standard : bool
        The scale is one of ISO 5455; else, for a sketch, whatever fills the room.
    least : float
        No less reduction than this.
    name : str
        Stands in the upper corner away from the front of the car.
    """
    main, aside = _split(room, scene)
    points = scene_points(scene)
    placed = sides(scene, points)
    above = placed.room()[3]
    heading, words = _front(scene, main)
    heads = [words, *_name(name, main, scene)]
    view = fit(scene, room, standard=standard, least=least)
    core = bounds(map(view.at, points))
    surroundings = _surroundings(scene, view, core, above)
    bodies = tuple(
        s for group in scene.groups for s in mechanism(group, view, RULERS[scene.units])
    )
    readings, numbers = reading_shapes(scene, placed, view, core)
    lengths = tuple(s for item in scene.lengths for s in _length(item, view))
    far, far_labels, far_boxes = _far(scene, aside)
    drawn = (*surroundings, *bodies, *lengths, *far)
    labels = [*_labels(scene, view, core, above), *far_labels]
    placed_labels, homeless = place_labels(
        labels,
        frame=room,
        taken=[*numbers, *map(text_box, heads), *far_boxes],
        ink=ink_points((*drawn, *readings)),
    )
    return SideView(
        shapes=(
            *drawn,
            *readings,
            *(s for label in placed_labels for s in label.shapes()),
            *heading,
            *heads,
        ),
        homeless=homeless,
        view=view,
    )


def _split(room: Box, scene: Scene) -> tuple[Box, Box]:
    """Return the room of the car, and beside it that of the far ends, if any."""
    x = room.right - (_FAR * (room.right - room.left) if scene.far else 0.0)
    return replace(room, right=x), replace(room, left=min(x + 2.0, room.right))


def _surroundings(
    scene: Scene, view: View, core: Box, above: float
) -> tuple[Shape, ...]:
    shapes: list[Shape] = []
    bulkhead, floor = bulkhead_line(scene), floor_line(scene)
    if bulkhead is not None:
        low, high = sorted(map(view.at, bulkhead), key=lambda p: p.imag)
        shapes += _solid(low, high, -_GROUND if scene.door_left else _GROUND)
    if floor is not None:
        left, right = sorted(map(view.at, floor), key=lambda p: p.real)
        shapes += _solid(left, right, -_GROUND * 1j)
    for item in shown_fixtures(scene):
        shapes += [hatch(tuple(map(view.at, area))) for area in item.areas]
        edges = ((view.at(a), view.at(b)) for a, b in item.edges)
        shapes.append(Path(runs=tuple(edges), role="fixed"))
    if scene.up is not None and not _same_level(scene):
        y = view.at(complex(0.0, scene.up.place)).imag
        shapes.append(Line(complex(core.left, y), complex(core.right, y), "datum"))
    if scene.back is not None:
        x = view.at(complex(scene.back.place, 0.0)).real
        top = core.top + above + 2.0
        shapes.append(Line(complex(x, core.bottom - 3.0), complex(x, top), "datum"))
    return tuple(shapes)


def _same_level(scene: Scene) -> bool:
    if scene.floor is None or scene.up is None:
        return False
    return all(abs(p.imag - scene.up.place) < 0.5 for p in scene.floor)


def _solid(a: complex, b: complex, depth: complex) -> list[Shape]:
    """A fixed edge with hatching behind it."""
    return [hatch((a, b, b + depth, a + depth)), Line(a, b, "ground")]


def _front(scene: Scene, room: Box) -> tuple[tuple[Shape, ...], Text]:
    """The arrow towards the front of the car, in the upper corner on that side."""
    y = room.top - 3.5
    out = -1.0 if scene.door_left else 1.0
    tip = complex(room.left if scene.door_left else room.right, y)
    words = Text(
        at=tip - complex(16.0 * out, _SIZE / 2),
        text="front of car",
        role="letters",
        anchor="start" if scene.door_left else "end",
        bold=True,
    )
    return arrow(tip - 14.0 * out, tip), words


def _name(name: str, room: Box, scene: Scene) -> Iterator[Text]:
    if name:
        yield Text(
            at=complex(room.right if scene.door_left else room.left, room.top - 4.6),
            text=name,
            role="letters",
            size=3.5,
            anchor="end" if scene.door_left else "start",
            bold=True,
        )


def _length(item: Length, view: View) -> tuple[Shape, ...]:
    a, b = view.at(item.a), view.at(item.b)
    off = _off(item, view)
    if off == 0.0:
        return dimension_line(a, b)
    return (
        *extension_line(a, a + off),
        *extension_line(b, b + off),
        *dimension_line(a + off, b + off),
    )


def _off(item: Length, view: View) -> complex:
    """Return how far a dimension stands off what it measures."""
    side = -item.beside if view.mirrored else item.beside
    return 1j * side * unit(view.at(item.b) - view.at(item.a))


def _labels(scene: Scene, view: View, core: Box, above: float) -> Iterator[Label]:
    if scene.back is not None:
        x = view.at(complex(scene.back.place, 0.0)).real
        at = complex(x, core.top + above + 2.0)
        yield Label(lines=(scene.back.text,), at=at, towards=1j, weight=9.0)
    if scene.up is not None:
        y = view.at(complex(0.0, scene.up.place)).imag
        rear = core.right if scene.door_left else core.left
        yield Label(
            lines=(scene.up.text,), at=complex(rear, y), towards=-1j, weight=1.0
        )
    for fixture in shown_fixtures(scene):
        middle = sum(fixture.areas[0]) / len(fixture.areas[0])
        yield Label(lines=(fixture.name,), at=view.at(middle), weight=3.0)
    for item in scene.lengths:
        a, b = view.at(item.a), view.at(item.b)
        off = _off(item, view)
        at = (a + b) / 2 + off
        yield Label(lines=(item.text,), at=at, towards=off, weight=5.0, bold=item.bold)
    for group in scene.groups:
        ruler = RULERS[scene.units]
        yield from group_labels(group, view, ruler)


def _far(scene: Scene, room: Box) -> tuple[tuple[Shape, ...], list[Label], list[Box]]:
    """What lies beyond a cable: each in a frame of its own, one under another."""
    shapes: list[Shape] = []
    labels: list[Label] = []
    boxes: list[Box] = []
    count, ruler = max(1, len(scene.far)), RULERS[scene.units]
    tall = (room.top - room.bottom) / count
    for n, group in enumerate(scene.far):
        top = room.top - n * tall
        inner = Box(
            left=room.left + 5.0,
            bottom=top - tall + 8.0,
            right=room.right - 5.0,
            top=top - 20.0,
        )
        points = list(group_points(group))
        view = fitted(points, inner, mirrored=scene.door_left)
        lift = inner.top - bounds(map(view.at, points)).top
        view = replace(view, shift=view.shift + 1j * lift)
        words = (group.name, f"1:{view.reduction}, measured on itself")
        shapes += mechanism(group, view, ruler)
        labels += group_labels(group, view, ruler)
        lines = [
            Text(
                at=complex(room.left + 4.0, top - 9.0 - k * 4.4),
                text=shorten(line, _SIZE, room.right - room.left - 4.5, bold=k == 0),
                role="letters",
                bold=k == 0,
            )
            for k, line in enumerate(words)
        ]
        shapes += lines
        boxes += [text_box(line) for line in lines]
    return tuple(shapes), labels, boxes

"""Typed numbers as dimension lines from the builder's string and level (ISO 129).

Short dimensions stand nearer to what they measure, long ones farther out, so that no
extension line runs through another dimension.
"""

import math
from collections.abc import Callable, Sequence

from msgspec import Struct

from export.lettering import text_width
from export.shapes import Shape, Text, rectangle
from linkage.sheets.box import Box, text_box
from linkage.sheets.draughting import HEAD, dimension_line, extension_line
from linkage.sheets.scene import Reading, Scene
from linkage.sheets.view import View

STEP = 6.0  # from one dimension line to the next
FIRST = 6.0  # from the drawing to the first
_SIZE = 2.5


class Sides(Struct, frozen=True, kw_only=True, eq=False):
    """Readings by the side of the drawing on which they stand."""

    above: tuple[Reading, ...]
    below: tuple[Reading, ...]
    left: tuple[Reading, ...]
    right: tuple[Reading, ...]

    def room(self) -> tuple[float, float, float, float]:
        """Return what they need left, below, right and above, mm."""
        return (
            _depth(self.left),
            _depth(self.below),
            _depth(self.right),
            _depth(self.above),
        )


def _depth(readings: Sequence[Reading]) -> float:
    return FIRST + STEP * len(readings) if readings else 3.0


def sides(scene: Scene, points: Sequence[complex]) -> Sides:
    """Return on which side each reading stands: the nearest, short before long."""
    xs, zs = [p.real for p in points], [p.imag for p in points]
    middle = complex((min(xs) + max(xs)) / 2, (min(zs) + max(zs)) / 2)
    back = [r for r in scene.readings if r.axis == "back" and scene.back is not None]
    up = [r for r in scene.readings if r.axis == "up" and scene.up is not None]
    string = scene.back.place if scene.back is not None else 0.0
    back, up = _once(back, lambda r: r.at.real), _once(up, lambda r: r.at.imag)
    left = [r for r in up if (r.at.real <= middle.real) != scene.door_left]
    right = [r for r in up if r not in left]
    back.sort(key=lambda r: abs(r.at.real - string))
    return Sides(
        above=tuple(r for r in back if r.at.imag > middle.imag),
        below=tuple(r for r in back if r.at.imag <= middle.imag),
        left=tuple(sorted(left, key=lambda r: r.at.imag)),
        right=tuple(sorted(right, key=lambda r: r.at.imag)),
    )


def _once(
    readings: Sequence[Reading], place: Callable[[Reading], float]
) -> list[Reading]:
    """Return readings without those that say the same of the same place again."""
    kept: list[Reading] = []
    for reading in readings:
        said = [r for r in kept if r.text == reading.text]
        if all(abs(place(r) - place(reading)) > 0.5 for r in said):
            kept.append(reading)
    return kept


def reading_shapes(
    scene: Scene, placed: Sides, view: View, core: Box
) -> tuple[tuple[Shape, ...], tuple[Box, ...]]:
    """Return the dimensions round ``core``, and the boxes of their numbers."""
    drawn: list[tuple[Shape, ...]] = []
    numbers: list[Text] = []
    for row, sign, start in (
        (placed.above, 1.0, core.top + FIRST),
        (placed.below, -1.0, core.bottom - FIRST - 2.5),
    ):
        for n, reading in enumerate(row):
            y = start + sign * STEP * n
            string = view.at(complex(scene.back.place if scene.back else 0.0, 0.0)).real
            lines, number = _level(view.at(reading.at), string, y, reading)
            drawn.append(lines)
            numbers.append(number)
    for row, sign, start in (
        (placed.left, -1.0, core.left - FIRST),
        (placed.right, 1.0, core.right + FIRST),
    ):
        for n, reading in enumerate(row):
            x = start + sign * STEP * n
            floor = view.at(complex(0.0, scene.up.place if scene.up else 0.0)).imag
            lines, number = _upright(view.at(reading.at), floor, x, reading)
            drawn.append(lines)
            numbers.append(number)
    boxes = tuple(text_box(number) for number in numbers)
    backing = tuple(
        rectangle(complex(b.left, b.bottom), complex(b.right, b.top), "paper")
        for b in boxes
    )
    lines_all = tuple(shape for lines in drawn for shape in lines)
    return (*lines_all, *backing, *numbers), boxes


def _level(
    at: complex, string: float, y: float, reading: Reading
) -> tuple[tuple[Shape, ...], Text]:
    """A dimension along the paper from the string to a point, at height ``y``."""
    width = text_width(reading.text, _SIZE, bold=reading.bold)
    span = abs(at.real - string)
    lines = (
        *extension_line(at, complex(at.real, y)),
        *dimension_line(complex(string, y), complex(at.real, y)),
    )
    if span > width + 1.0:
        place = Text(
            at=complex((at.real + string) / 2, y + 0.9),
            text=reading.text,
            bold=reading.bold,
            role="letters",
            anchor="middle",
        )
    else:
        tail = 2.2 * HEAD if span <= 2.6 * HEAD else 0.0
        side = 1.0 if at.real >= string else -1.0
        place = Text(
            at=complex(at.real + side * (tail + 1.2), y - 0.9),
            text=reading.text,
            bold=reading.bold,
            role="letters",
            anchor="start" if side > 0.0 else "end",
        )
    return lines, place


def _upright(
    at: complex, floor: float, x: float, reading: Reading
) -> tuple[tuple[Shape, ...], Text]:
    """A dimension up the paper from the level to a point, at distance ``x``."""
    lines = (
        *extension_line(at, complex(x, at.imag)),
        *dimension_line(complex(x, floor), complex(x, at.imag)),
    )
    fits = (
        abs(at.imag - floor) > text_width(reading.text, _SIZE, bold=reading.bold) + 1.0
    )
    middle = (at.imag + floor) / 2
    high = max(at.imag, floor) + 1.2
    place = Text(
        at=complex(x - 0.9, middle if fits else high),
        text=reading.text,
        bold=reading.bold,
        role="letters",
        anchor="middle" if fits else "start",
        turn=math.pi / 2,
    )
    return lines, place

"""Axes of a panel: where travel and value lie on paper, and their round numbers."""

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from msgspec import Struct

from export.shapes import Line, Shape, Text
from linkage.sheets.box import Box
from linkage.sheets.scene import Panel

_SIZE = 2.5


class Axes(Struct, frozen=True, kw_only=True, eq=False):
    """Where travel and value lie on paper."""

    box: Box
    travel: tuple[float, float]
    value: tuple[float, float]

    def at(self, travel: float, value: float) -> complex:
        """Return the place on paper."""
        return complex(self.x(travel), self.y(value))

    def x(self, travel: float) -> float:
        """Return the place along."""
        low, high = self.travel
        part = (travel - low) / (high - low)
        return self.box.left + part * (self.box.right - self.box.left)

    def y(self, value: float) -> float:
        """Return the height."""
        low, high = self.value
        part = (value - low) / (high - low)
        return self.box.bottom + part * (self.box.top - self.box.bottom)


def value_range(panel: Panel) -> tuple[float, float]:
    """Return least and greatest value that a panel shows, with room at both ends."""
    every = [s.values[np.isfinite(s.values)] for s in panel.series]
    found = (
        np.concatenate([*every, _limits(panel)]) if every else np.array(_limits(panel))
    )
    if not len(found):
        return 0.0, 1.0
    low, high = float(found.min()), float(found.max())
    least = 0.02 * max(abs(low), abs(high), 1.0)  # a flat line is not blown up
    room = max(0.1 * (high - low), least)
    return low - room, high + room


def _limits(panel: Panel) -> list[float]:
    edges = [v for b in panel.bands for v in (b.low, b.high) if v is not None]
    return edges + [wall.value for wall in panel.walls]


def round_steps(low: float, high: float, most: int) -> list[float]:
    """Return at most ``most`` round numbers (1, 2 or 5 apart) from low to high."""
    raw = (high - low) / most
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(m * power for m in (1.0, 2.0, 5.0, 10.0, 20.0) if m * power >= raw)
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [n * step + 0.0 for n in range(first, last + 1)]


def grid(axes: Axes) -> list[Shape]:
    """Return fine lines at the round numbers."""
    box = axes.box
    levels = [axes.y(v) for v in _value_steps(axes)]
    columns = [axes.x(t) for t in _travel_steps(axes)]
    return [
        *(Line(complex(box.left, y), complex(box.right, y), "grid") for y in levels),
        *(Line(complex(x, box.bottom), complex(x, box.top), "grid") for x in columns),
    ]


def _value_steps(axes: Axes) -> list[float]:
    """Return the finest round numbers whose letters do not touch."""
    for most in (8, 6, 5, 4, 3):
        steps = round_steps(*axes.value, most)
        if all(axes.y(b) - axes.y(a) > 4.6 for a, b in pairwise(steps)):
            return steps
    return round_steps(*axes.value, 2)


def _travel_steps(axes: Axes) -> list[float]:
    width = axes.box.right - axes.box.left
    return round_steps(*axes.travel, max(2, int(width / 11.0)))


def value_numbers(axes: Axes) -> list[Shape]:
    """Return ticks and numbers of the upright axis."""
    steps = _value_steps(axes)
    digits = _digits(steps)
    x = axes.box.left
    found: list[Shape] = []
    for value in steps:
        y = axes.y(value)
        found.append(Line(complex(x - 1.2, y), complex(x, y), "axis"))
        found.append(
            Text(
                at=complex(x - 2.0, y - _SIZE / 2),
                text=f"{value:.{digits}f}",
                role="letters",
                anchor="end",
            )
        )
    return found


def travel_numbers(axes: Axes, along: str) -> list[Shape]:
    """Return ticks and numbers of the axis of travel, called ``along`` unless that is empty."""
    steps = _travel_steps(axes)
    digits = _digits(steps)
    y = axes.box.bottom
    found: list[Shape] = []
    if along:
        at = complex(axes.box.right + 5.0, y - 5.0)
        found.append(Text(at=at, text=along, role="letters"))
    for travel in steps:
        x = axes.x(travel)
        found.append(Line(complex(x, y - 1.2), complex(x, y), "axis"))
        found.append(
            Text(
                at=complex(x, y - 5.0),
                text=f"{travel:.{digits}f}",
                role="letters",
                anchor="middle",
            )
        )
    return found


def _digits(steps: Sequence[float]) -> int:
    gap = steps[1] - steps[0] if len(steps) > 1 else 1.0
    return max(0, -math.floor(math.log10(gap) + 1e-9))

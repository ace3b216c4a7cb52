"""Upright rectangles of paper, and the one round a line of letters; mm on paper."""

import cmath

from msgspec import Struct

from export.lettering import ASCENT, CAPITAL, DESCENT, text_width
from export.shapes import Text


class Box(Struct, frozen=True, kw_only=True, eq=False):
    """An upright rectangle of paper."""

    left: float
    bottom: float
    right: float
    top: float

    def meets(self, other: "Box") -> bool:
        """Tell whether the two share more than an edge."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.bottom < other.top
            and other.bottom < self.top
        )

    def holds(self, other: "Box") -> bool:
        """Tell whether ``other`` lies wholly inside."""
        return (
            self.left <= other.left
            and other.right <= self.right
            and self.bottom <= other.bottom
            and other.top <= self.top
        )


def text_box(item: Text) -> Box:
    """Return the upright box round one line of letters, turned or not."""
    width = text_width(item.text, item.size, bold=item.bold)
    back = {"start": 0.0, "middle": 0.5, "end": 1.0}[item.anchor] * width
    rise, fall = item.size * ASCENT / CAPITAL, item.size * DESCENT / CAPITAL
    corners = [
        item.at + complex(x - back, y) * cmath.rect(1.0, item.turn)
        for x in (0.0, width)
        for y in (-fall, rise)
    ]
    return Box(
        left=min(c.real for c in corners),
        bottom=min(c.imag for c in corners),
        right=max(c.real for c in corners),
        top=max(c.imag for c in corners),
    )

"""From places in the car to places on paper, at one true scale."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from linkage.sheets.labels import Box

#: Reductions of ISO 5455, as car millimetres on one of paper.
REDUCTIONS = (1, 2, 5, 10, 20, 50, 100)


@dataclass(frozen=True, kw_only=True, slots=True)
class View:
    """A scale, a hand and a shift.

    Attributes
    ----------
    reduction : int
        Car mm on one mm of paper.
    mirrored : bool
        Forward is to the left.
    shift : complex
        Where the car's origin lies on paper, mm.
    """

    reduction: int
    mirrored: bool = False
    shift: complex = 0j

    def at(self, place: complex) -> complex:
        """Return where a place of the car lies on paper."""
        return self.way(place) / self.reduction + self.shift

    def way(self, vector: complex) -> complex:
        """Return a direction of the car on paper, its length kept."""
        return complex(-vector.real, vector.imag) if self.mirrored else vector

    def size(self, length: float) -> float:
        """Return a length of the car on paper."""
        return length / self.reduction


def bounds(points: Iterable[complex]) -> Box:
    """Return the box round points."""
    every = np.array(list(points))
    return Box(
        left=float(every.real.min()),
        bottom=float(every.imag.min()),
        right=float(every.real.max()),
        top=float(every.imag.max()),
    )


def fitted(points: Iterable[complex], room: Box, *, mirrored: bool = False) -> View:
    """Return the view with the least reduction that shows ``points`` inside ``room``.

    Raises
    ------
    ValueError
        Where even the greatest reduction does not fit.
    """
    plain = View(reduction=1, mirrored=mirrored)
    box = bounds(plain.at(p) for p in points)
    width, height = room.right - room.left, room.top - room.bottom
    for reduction in REDUCTIONS:
        wide = (box.right - box.left) / reduction
        tall = (box.top - box.bottom) / reduction
        if wide <= width and tall <= height:
            spare = complex(width - wide, height - tall)
            corner = complex(room.left, room.bottom) + spare / 2
            shift = corner - complex(box.left, box.bottom) / reduction
            return View(reduction=reduction, mirrored=mirrored, shift=shift)
    raise ValueError("the points lie too far apart for a sheet, even at 1:100")

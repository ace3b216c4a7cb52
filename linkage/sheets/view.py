"""From places in the car to places on paper, at one true scale."""

from collections.abc import Iterable

import numpy as np
from msgspec import Struct

from linkage.sheets.box import Box

#: Reductions of ISO 5455, as car millimetres on one of paper.
REDUCTIONS = (1, 2, 5, 10, 20, 50, 100)


class View(Struct, frozen=True, kw_only=True, eq=False):
    """A scale, a hand and a shift.

    Attributes
    ----------
    reduction : float
        Car mm on one mm of paper; a whole number where the scale is a standard one.
    mirrored : bool
        Forward is to the left.
    shift : complex
        Where the car's origin lies on paper, mm.
    """

    reduction: float
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


def fitted(
    points: Iterable[complex],
    room: Box,
    *,
    mirrored: bool = False,
    standard: bool = True,
    least: float = 1.0,
) -> View:
    """Return the view with the least reduction that shows ``points`` inside ``room``.

    Parameters
    ----------
    standard : bool
        Only `REDUCTIONS` are tried; else the room is filled, as a sketch may.
    least : float
        No less reduction than this.

    Raises
    ------
    ValueError
        Where even the greatest reduction does not fit.
    """
    plain = View(reduction=1, mirrored=mirrored)
    box = bounds(plain.at(p) for p in points)
    size = complex(box.right - box.left, box.top - box.bottom)
    width, height = room.right - room.left, room.top - room.bottom
    if width <= 0.0 or height <= 0.0:
        raise ValueError("the sheet has no room for the drawing")
    least = max(size.real / width, size.imag / height, least)
    fits = [r for r in REDUCTIONS if r >= least] if standard else [least]
    if not fits:
        raise ValueError("the points lie too far apart for a sheet, even at 1:100")
    spare = complex(width, height) - size / fits[0]
    corner = complex(room.left, room.bottom) + spare / 2
    shift = corner - complex(box.left, box.bottom) / fits[0]
    return View(reduction=fits[0], mirrored=mirrored, shift=shift)

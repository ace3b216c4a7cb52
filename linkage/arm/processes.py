"""What laser and plasma can cut and hold, as data with sources.

READ = read on service and guide pages, in a student-racing or trade guide, or in the
copy named; the pages differ, and the careful value is taken. Lengths in mm, t = plate.
"""

from typing import Literal, get_args

from msgspec import Struct

#: How a hole is cut: used as cut; cut small and finished to size; cut well small for
#: the drill to follow; not cut, its centre marked.
Way = Literal["finished", "undersize", "pilot", "mark"]
WAYS: tuple[Way, ...] = get_args(Way)


class Process(Struct, frozen=True, kw_only=True):
    """What one way of cutting can do.

    Attributes
    ----------
    name : str
    iso_class : int
        Tolerance class of ISO 9013 that is usual for it.
    plates : tuple of float
        Thinnest and thickest plate, mm.
    hole, web : float
        Least diameter of a hole, and least metal beside one, in plate thicknesses.
    inner : tuple of float
        Least inside radius: mm, and plate thicknesses; the greater counts.
    kerf : tuple of float
        Width of the cut, mm; for information, the shop makes allowance for it.
    edge : str
        What the cut edge is like for the tool that follows.
    """

    name: str
    iso_class: int
    plates: tuple[float, float]
    hole: float
    web: float
    inner: tuple[float, float]
    kerf: tuple[float, float]
    edge: str


#: Class: ISO 9013:2017, typical use (READ on a fabricator's page). Laser: plates from
#: memory (0.5 to 20); hole >= t READ on three pages (0.5 to 1.5 t on others), web t,
#: kerf 0.1 to 0.5 READ; inside radius 0.5 mm or 0.5 t from memory. Plasma: plates 3 to
#: 40, hole and spacing 1.5 t, inside radius 1 to 2 mm, kerf 1.5 to 3.5: all READ.
PROCESSES = {
    "laser": Process(
        name="laser",
        iso_class=1,
        plates=(0.5, 20.0),
        hole=1.0,
        web=1.0,
        inner=(0.5, 0.5),
        kerf=(0.1, 0.5),
        edge="clean",
    ),
    "plasma": Process(
        name="plasma",
        iso_class=2,
        plates=(3.0, 40.0),
        hole=1.5,
        web=1.5,
        inner=(2.0, 0.0),
        kerf=(1.5, 3.5),
        edge="hard and tapered, which spoils drills and reamers",
    ),
}
#: Smallest part that shops take without a tab, mm a side (READ: 15 to 25 with t).
LEAST_SIDE = 25.0

#: ISO 9013:2017, limit deviations (plus and minus, mm) by plate and nominal size: READ
#: in a fabricator's copy of the tables. Rows: thickest plate; columns as `_SIZES`. None:
#: no value. The copy shows one value fewer above 6.3 mm plate; the gap is given to the
#: smallest size.
ISO_9013: dict[int, dict[float, tuple[float | None, ...]]] = {
    1: {
        3.15: (0.10, 0.15, 0.20, 0.25, 0.25, 0.35),
        6.3: (0.20, 0.20, 0.25, 0.25, 0.30, 0.40),
        10.0: (None, 0.25, 0.30, 0.30, 0.35, 0.45),
        15.0: (None, 0.30, 0.35, 0.40, 0.45, 0.55),
    },
    2: {
        3.15: (0.6, 0.6, 0.7, 0.7, 0.8, 0.9),
        6.3: (0.7, 0.8, 0.9, 0.9, 1.1, 1.2),
        10.0: (None, 1.0, 1.1, 1.3, 1.4, 1.5),
        15.0: (None, 1.8, 1.8, 1.8, 1.9, 2.3),
    },
}
#: Each column holds nominal sizes under this, and from the one before.
_SIZES = (3.0, 10.0, 35.0, 125.0, 315.0, 1000.0)
_THINNEST = 1.0


def deviation(plate: float, size: float, iso_class: int) -> float | None:
    """Limit deviation (plus and minus) of ISO 9013, mm; None outside the copy's table.

    Parameters
    ----------
    plate, size : float
        Thickness and nominal size, mm.
    iso_class : int
        Tolerance class, 1 or 2.
    """
    if plate <= _THINNEST or size <= 0.0:
        return None
    row = next((r for top, r in ISO_9013[iso_class].items() if plate <= top), None)
    column = next((k for k, top in enumerate(_SIZES) if size < top), None)
    return None if row is None or column is None else row[column]

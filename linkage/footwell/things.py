"""What stands in the way: floor, bulkhead, fixed things, cylinders, other pedals at rest.

Floor and bulkhead are solid behind their line. A cylinder is a box of usual proportions
round its bore. Another pedal is looked at where it rests.
"""

from collections.abc import Callable, Iterator
from functools import partial
from typing import Any, Literal

import numpy as np
from msgspec import Struct

from linkage.design.records import Design, Footwell
from linkage.design.room_records import Fixed
from linkage.footwell.moving import (
    Across,
    Moving,
    hulls,
    moving_of,
    outline,
    place_across,
)
from linkage.footwell.shapes import hulls_of
from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import Run, move
from linkage.parts.cylinder import CylinderRest
from linkage.places import Places
from solvers.jet import Jet, value
from solvers.plane.hulls import HalfPlane, Hull
from solvers.plane.pieces import Contour, contour_of

#: mm; how far a level floor runs, and how deep what is solid goes on behind a line.
ENDLESS, DEEP = 1e4, 1e3
#: Round a bore, and behind the piston's way to the end of a body, mm; how far before
#: the seat a body begins where no face is given; what stands for a bore and a stroke
#: (common practice, no source).
WALL, TAIL, NOSE = 7.0, 24.0, 12.0
BORE, STROKE = 19.0, 30.0

Kind = Literal["floor", "bulkhead", "fixed", "cylinder", "pedal"]
Hulls = list[tuple[Hull | HalfPlane, Any]]


class Thing(Struct, frozen=True, kw_only=True, eq=False):
    """One thing in the way.

    Attributes
    ----------
    name, kind : str
    across : Across or None
        None where it reaches all across the car, or the file does not say.
    pedal : str
        Whose it is; "" for the car's.
    outlines : callable
        Gives its contours, of one layout in plain numbers.
    hulls : callable
        Gives its convex hulls, each with the layouts in which it is there.
    """

    name: str
    kind: Kind
    outlines: Callable[[], list[Contour]]
    hulls: Callable[[], Hulls]
    across: Across | None = None
    pedal: str = ""


def things_of(rest: PedalRest) -> tuple[Thing, ...]:
    """Return all that may stand in the way of a pedal, in file order."""
    places = rest.places
    design = places.design
    found = [*_grounds(design.footwell, places)]
    found += [_fixed(each) for each in design.footwell.fixed]
    found += _cylinders(rest)
    for name, pedal in design.pedals.items():
        if name != rest.pedal.name and pedal.across:
            found += _pedal(design, name, places)
    return tuple(found)


def _grounds(footwell: Footwell, places: Places) -> Iterator[Thing]:
    kinds: tuple[tuple[Kind, complex], ...] = (("floor", -1j), ("bulkhead", 1 + 0j))
    for kind, behind in kinds:
        given = getattr(footwell, kind)
        if given is None:
            continue
        if isinstance(given, tuple):
            yield _slab(kind, behind, [places.form(end) for end in given])
        else:
            yield _level(kind, behind, places.number(given))


def _level(kind: Kind, behind: complex, at: Any) -> Thing:
    """Return a level floor or an upright bulkhead."""
    start = at * abs(behind.real) + 1j * at * abs(behind.imag)
    along = 1j * behind

    def outlines() -> list[Contour]:
        point = complex(np.ravel(np.asarray(value(start)))[0])
        ends = [point - ENDLESS * along, point + ENDLESS * along]
        return [contour_of(np.array([*ends, *(e + DEEP * behind for e in ends[::-1])]))]

    return Thing(
        name=kind,
        kind=kind,
        outlines=outlines,
        hulls=lambda: [(HalfPlane(start, -behind), True)],
    )


def _slab(kind: Kind, behind: complex, ends: list[Any]) -> Thing:
    """Return a floor or bulkhead between two points, no longer than it is given."""
    low, top = ends
    rising = value(top) - value(low)
    if np.all(np.real(1j * rising * np.conj(behind)) > 0.0):
        low, top = top, low

    def outlines() -> list[Contour]:
        a, b = (complex(np.ravel(np.asarray(value(p)))[0]) for p in (low, top))
        return [contour_of(np.array([a, b, b + DEEP * behind, a + DEEP * behind]))]

    corners = (low, low + DEEP * behind, top + DEEP * behind, top)
    return Thing(
        name=kind,
        kind=kind,
        outlines=outlines,
        hulls=lambda: [(Hull(corners, (0.0,) * 4), True)],
    )


def _fixed(fixed: Fixed) -> Thing:
    contours = [np.array(each) for each in fixed.outlines]
    return Thing(
        name=fixed.name,
        kind="fixed",
        across=fixed.across,
        outlines=lambda: contours,
        hulls=lambda: [(hull, True) for each in contours for hull in hulls_of(each)],
    )


def _cylinders(rest: PedalRest) -> Iterator[Thing]:
    """Return the cylinders of a train that lie in the car's own frame."""
    for part in rest.parts:
        record: Any = part.part if isinstance(part, CylinderRest) else None
        if record is None:
            if getattr(part, "cable", None) is not None or not hasattr(part, "part"):
                return
            continue
        hull = _body(part, rest.places)
        at = place_across(rest.pedal, "seat")
        half = 0.5 * _size(record.bore, BORE) + WALL
        yield Thing(
            name=record.name or f"{record.branch} cylinder".strip(),
            kind="cylinder",
            pedal=rest.pedal.name,
            across=None if at is None else (at - half, at + half),
            outlines=partial(_plain, hull),
            hulls=partial(_alone, hull),
        )


def _size(given: Any, guess: float) -> float:
    return guess if given is None else float(given.nominal)


def _body(part: Any, places: Places) -> Hull:
    """Return the box of a cylinder: from its face as far as its piston goes, and more."""
    record, axis = part.part, part.axis * part.part.sign
    face = part.seat - axis * NOSE
    if record.face is not None:
        face = places.point(f"{record.path}.face")
    half = 0.5 * _size(record.bore, BORE) + WALL
    far = part.seat + axis * (_size(record.stroke, STROKE) + TAIL)
    side = axis * (1j * half)
    return Hull((face - side, far - side, far + side, face + side), (0.0,) * 4)


def _plain(hull: Hull) -> list[Contour]:
    corners = [complex(np.ravel(np.asarray(value(c)))[0]) for c in hull.centres]
    return [contour_of(np.array(corners))]


def _alone(hull: Hull) -> Hulls:
    return [(hull, True)]


def _outlines(moving: Moving, rest: PedalRest) -> list[Contour]:
    return [outline(moving, rest)]


def _moving_hulls(moving: Moving, run: Run) -> Hulls:
    return [*hulls(moving, run)]


def _pedal(design: Design, name: str, places: Places) -> Iterator[Thing]:
    """Return the parts of another pedal as it rests."""
    rest = at_rest(places, design.pedals[name])
    run = move(rest, Jet(np.zeros((1, 1))))  # no derivative by this pedal's travel
    for each in moving_of(design, rest.pedal):
        if each.kind == "shoe" or each.across is None:
            continue
        yield Thing(
            name=f"{name} {each.name}",
            kind="pedal",
            pedal=name,
            across=each.across,
            outlines=partial(_outlines, each, rest),
            hulls=partial(_moving_hulls, each, run),
        )
    for thing in _cylinders(rest):
        if thing.across is not None:
            yield Thing(
                name=f"{name} {thing.name}",
                kind="pedal",
                pedal=name,
                across=thing.across,
                outlines=thing.outlines,
                hulls=thing.hulls,
            )


def meets(moving: Moving, thing: Thing, rest: PedalRest) -> bool:
    """Return whether a moving part is to be kept clear of a thing.

    A rod goes through floor and bulkhead to its cylinder, an arm through the one behind
    which its pivot is; a shoe stands on the floor; a rod goes into its own cylinder.
    """
    if thing.kind in ("floor", "bulkhead"):
        if moving.kind == "rod" or (moving.kind == "shoe" and thing.kind == "floor"):
            return False
        return moving.kind != "arm" or not _behind(thing, rest)
    if thing.kind == "cylinder":
        return moving.kind != "rod"
    if thing.kind == "pedal":
        return share(moving.across, thing.across, known=True)
    return share(moving.across, thing.across, known=False)


def share(a: Across | None, b: Across | None, *, known: bool) -> bool:
    """Return whether two things share a place across the car.

    ``known`` says what holds where one of them has none: False takes it that they may.
    """
    if a is None or b is None:
        return not known
    return a[0] < b[1] and b[0] < a[1]


def _behind(thing: Thing, rest: PedalRest) -> bool:
    """Return whether the pedal's pivot lies within floor or bulkhead."""
    from solvers.plane.relate import inside

    pivot = np.asarray(value(rest.pivot)).ravel()[:1]
    return bool(inside(thing.outlines()[0], pivot)[0])

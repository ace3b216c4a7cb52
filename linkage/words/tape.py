"""Lengths for a tape that nobody typed: where they agree, the readings are right."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Any

import numpy as np
from msgspec import Struct

from linkage.design.records import Design, Part, Point, Polar, SideReach
from linkage.design.values import Value
from linkage.motion.rest import PedalRest
from linkage.motion.run import move
from linkage.parts.cable import Cable
from linkage.parts.cylinder import Cylinder
from linkage.parts.lever import Lever
from linkage.places import Places, driving_hole
from linkage.words.names import part_name
from linkage.words.speech import tidy
from linkage.words.sways import likely, on_metal
from solvers.jet import Num, lift, seed, value
from solvers.planar import conj, imag, length

#: From what to what, and the vector between them (or its length alone).
Span = tuple[str, Num]
#: How far the pad at a place is from something that stands still, mm.
Gap = Callable[[complex], float]
#: Tape readings are not asked to agree better than this; and the steps in which it is
#: said how well they should, mm.
LEAST: Mapping[str, float] = MappingProxyType({"mm": 2.0, "in": 25.4 / 16})
STEP: Mapping[str, float] = MappingProxyType({"mm": 1.0, "in": 25.4 / 16})


class Tape(Struct, frozen=True, kw_only=True, eq=False):
    """One length to lay a tape on.

    Attributes
    ----------
    what : str
        "hole to pad".
    rest : float or None
        mm, with the pedal on its rest stop; None for what lies between rest and full.
    full : float or None
        mm, with the pedal at full, where that differs and is wanted.
    out : float
        mm: how far it may be out with readings as good as they are said to be.
    on_guess : bool
        A guess goes into it: no tape can prove a reading wrong by it.
    """

    what: str
    rest: float | None
    full: float | None = None
    out: float = 0.0
    on_guess: bool = False

    @property
    def finest(self) -> int:
        """Parts of an inch: a rod is measured on the bench, with a steel rule."""
        return 64 if "rod, " in self.what else 32


def tapes(design: Design, rest: PedalRest) -> tuple[Tape, ...]:
    """Return the lengths of one pedal that nobody typed; none to what a rod misses.

    Parameters
    ----------
    design : Design
    rest : PedalRest
        Plain numbers.
    """
    values = [each for each in design.values.values() if each.unit in _UNITS]
    count = len(values)
    seeds = {each.path: seed(each.nominal, i, count) for i, each in enumerate(values)}
    with np.errstate(divide="ignore", invalid="ignore"):
        metal = on_metal(design)
        outs = np.array([likely(each, metal, design.units) for each in values])
        guess = np.array([each.guess for each in values], bool)
        spans = _spans(Places(design, seeds), rest)
        found = [
            _tape(what, span, outs, guess)
            for what, span in spans
            if np.isfinite(value(span)).all()
        ]
        return (*found, *_of_pad(design, rest))


_UNITS = ("mm", "cm", "m", "in", "ft", "deg")


def agreement(found: Sequence[Tape], units: str = "mm") -> float:
    """Return by how much a tape may differ before a reading is wrong, mm.

    Whole millimetres, or sixteenths of an inch where the file is in inches. The greatest root of the sum of squares over the readings that go into one length.
    """
    outs = [tape.out for tape in found if not tape.on_guess]
    step = STEP[units]
    return step * float(np.ceil(max([LEAST[units], *outs]) / step - 1e-9))


def _tape(what: str, span: Num, outs: Any, guess: Any) -> Tape:
    size = lift(length(span))
    by = np.zeros(len(outs)) if size.g is None else np.ravel(size.g)
    by = np.nan_to_num(np.broadcast_to(by, len(outs)) * outs)
    return Tape(
        what=what,
        rest=float(np.ravel(value(size))[0]),
        out=float(np.sqrt(np.sum(by**2))),
        on_guess=bool(np.any(np.abs(by[guess]) >= 0.5)),
    )


# --------------------------------------------------------------------- at rest


def _spans(places: Places, rest: PedalRest) -> Iterator[Span]:
    """Return every length between points of one frame that was not typed."""
    pedal = rest.pedal
    own = f"{pedal.name}.pivot"
    pivot, pad = places.point(own), places.point(f"{pedal.name}.pad")
    if not _typed(pedal.points["pad"], own):
        yield "pivot to pad", pad - pivot
    if "clevis" in pedal.points:
        hole = places.point(f"{pedal.name}.clevis")
        if not _typed(pedal.points["clevis"], own):
            yield "pivot to hole", hole - pivot
        yield "hole to pad", pad - hole
    for part in pedal.train:
        name = part_name(pedal, part)
        before = pedal.train[part.behind - 1] if part.behind else None
        drives = f"{part_name(pedal, before)} output" if before else "hole"
        turns = f"{part_name(pedal, before)} pivot" if before else "pivot"
        pivot = places.point(f"{before.path if before else pedal.name}.pivot")
        if isinstance(part, Cylinder):
            yield from _to_cylinder(places, part, name, drives, turns, pivot)
        elif isinstance(part, Lever) and part.cable is None:
            yield from _to_lever(places, part, name, drives, turns, pivot)
        else:
            yield from _along_cable(places, part, drives)
        if isinstance(part, Lever):
            yield from _in_lever(places, part, name)


def _typed(point: Point, base: str) -> bool:
    """Return True where the distance from ``base`` was typed."""
    return isinstance(point, SideReach) or (
        isinstance(point, Polar) and point.base == base
    )


def _to_cylinder(
    places: Places, part: Cylinder, name: str, drives: str, turns: str, pivot: Num
) -> Iterator[Span]:
    hole, seat = places.point(driving_hole(part)), places.point(f"{part.path}.seat")
    if part.face is not None:
        face = places.point(f"{part.path}.face")
        yield f"{drives} to {name} face", face - hole
        yield f"{turns} to {name} face", face - pivot
    rod = seat - hole
    own = f"{part.branch} rod".strip()
    if part.rod is None:
        yield f"{own}, {drives} to its end", rod
    yield f"{turns} square to the {own}", imag(conj(rod / length(rod)) * (hole - pivot))


def _to_lever(
    places: Places, part: Lever, name: str, drives: str, turns: str, pivot: Num
) -> Iterator[Span]:
    yield f"{turns} to {name} pivot", places.point(f"{part.path}.pivot") - pivot
    if part.rod is None:
        end = places.point(f"{part.path}.input")
        yield f"rod, {drives} to {name} input", end - places.point(driving_hole(part))


def _in_lever(places: Places, part: Lever, name: str) -> Iterator[Span]:
    own = places.point(f"{part.path}.pivot")
    end = places.point(f"{part.path}.input")
    if not _typed(part.input, f"{part.path}.pivot"):
        yield f"{name} pivot to input", end - own
    if part.cable is not None:
        far = places.point(f"{part.path}.cable.end_ferrule")
        yield f"{name} input to its ferrule", far - end
    if part.output is not None:
        out = places.point(f"{part.path}.output")
        if not _typed(part.output, f"{part.path}.pivot"):
            yield f"{name} pivot to output", out - own
        yield f"{name} input to output", out - end


def _along_cable(places: Places, part: Part, drives: str) -> Iterator[Span]:
    """Return the straight run of a cable, where it has one."""
    cable = part if isinstance(part, Cable) else getattr(part, "cable", None)
    if cable is None or cable.drum is not None or cable.ferrule is None:
        return
    key = "ferrule" if cable is part else "cable.ferrule"
    ferrule = places.point(f"{part.path}.{key}")
    yield f"{drives} to ferrule", ferrule - places.point(driving_hole(part))


# --------------------------------------------------------------- rest and full


def _of_pad(design: Design, rest: PedalRest) -> Iterator[Tape]:
    """Return where the pad is at rest and at full, against what stands still."""
    pad = f"{rest.pedal.name}.pad"
    run = move(rest, np.array([0.0, np.ravel(value(rest.travel))[0]]))
    start, full = (complex(z) for z in np.ravel(value(run.at(pad))))
    yield Tape(what="pad, rest to full, straight", rest=None, full=abs(full - start))
    for what, gap in _levels(design, rest.places):
        yield Tape(what=f"pad above {what}", rest=gap(start), full=gap(full))
    thick = rest.pedal.pad_thick
    for what, gap in _uprights(design, rest.places):
        yield Tape(what=f"pad to {what}", rest=gap(start), full=gap(full))
        if thick is not None:
            deep = thick.nominal
            left = "  left behind its thickness"
            yield Tape(what=left, rest=gap(start) - deep, full=gap(full) - deep)


def _levels(design: Design, places: Places) -> Iterator[tuple[str, Gap]]:
    floor, mark = design.footwell.floor, tidy(design.footwell.marks.up, 32)
    at = _line(floor, places, upright=False)
    zero = isinstance(floor, Value) and floor.nominal == 0.0
    if at is not None:
        yield mark if zero and mark else "the floor", lambda p: p.imag - at(p)
    if mark and not zero:
        yield mark, lambda p: p.imag


def _uprights(design: Design, places: Places) -> Iterator[tuple[str, Gap]]:
    wall, mark = design.footwell.bulkhead, tidy(design.footwell.marks.back, 32)
    at = _line(wall, places, upright=True)
    zero = isinstance(wall, Value) and wall.nominal == 0.0
    if at is not None:
        yield mark if zero and mark else "the bulkhead", lambda p: at(p) - p.real
    if mark and not zero:
        yield mark, lambda p: -p.real


def _line(
    given: Value | tuple[Point, Point] | None, places: Places, *, upright: bool
) -> Gap | None:
    """Return where floor or bulkhead are, level with or plumb under a point."""
    if given is None:
        return None
    if isinstance(given, Value):
        return lambda _: given.nominal
    turn = 1j if upright else 1.0
    a, b = (complex(value(places.form(end))) * turn.conjugate() for end in given)
    slope = (b.imag - a.imag) / (b.real - a.real) if b.real != a.real else None
    if slope is None:
        return None

    def at(p: complex) -> float:
        along = (p * turn.conjugate()).real
        across = a.imag + slope * (along - a.real)
        return -across if upright else across

    return at

"""A digit that slipped: numbers that can be read, and that no pedal has.

The bounds are common practice, no source; what is asked is asked, never put right.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from linkage.design.records import Part, Point
from linkage.design.values import Value
from linkage.faults import Fault
from linkage.motion.ends import find_limit
from linkage.motion.run import Run, move
from linkage.parts.cylinder import Cylinder, CylinderRest
from linkage.places import driving_hole
from linkage.quantities import laws
from linkage.units import trim
from linkage.words.account import Joint, account_of
from linkage.words.links import ends_of
from linkage.words.speech import INCH
from linkage.words.watch import Watch, number
from solvers.jet import value

#: How far a rod leans, deg: good up to the one, a fail over the other.
GOOD_LEAN, MOST_LEAN = 5.0, 8.0
#: Pad over piston of a brake or a clutch that drives a cylinder.
LEAST_RATIO = 2.0
#: How far a pad goes, mm, and how long a rod is.
TRAVELS, RODS = (20.0, 200.0), (40.0, 400.0)
#: Face to the rod's tip, mm.
MOST_DEPTH = 60.0
#: Rod's end to piston at rest, mm: what is usual, and what is asked about.
USUAL_GAP, MOST_GAP = (0.3, 1.0), 4.0
#: Places of the travel that are looked at.
LOOKS = 41
PRACTICE = "(common practice, no source)"
Reals = NDArray[np.float64]
Points = NDArray[np.complex128]
#: A floor or a bulkhead as the file has it.
Line = Value | tuple[Point, Point] | None


def slip_cautions(watch: Watch) -> Iterator[Fault]:
    """Return what no pedal has, for one that stands and has nothing free."""
    yield from _travel(watch)
    run = move(watch.rest, np.linspace(0.0, _reach(watch), LOOKS))
    yield from _hole(watch)
    yield from _through(watch, run)
    if not watch.pedal.train:
        return
    for joint in account_of(watch.rest).joints:
        yield from _rod(watch, joint)
    if isinstance(watch.pedal.train[-1], Cylinder):
        yield from _ratio(watch, run)
    for _, index in ends_of(watch.rest):
        part, rest = watch.pedal.train[index], watch.rest.parts[index]
        if isinstance(part, Cylinder) and isinstance(rest, CylinderRest):
            yield from _lean(watch, run, part, complex(value(rest.axis)))
            yield from _depth(watch, part)
            yield from _gap(watch, part)


def _reach(watch: Watch) -> float:
    """Return how far the pad gets: its travel, or all but all of the way to a limit."""
    limit = find_limit(watch.rest, watch.travel)
    return watch.travel if limit is None else 0.99 * limit.travel


def _travel(watch: Watch) -> Iterator[Fault]:
    """Say a travel that no foot has."""
    low, high = TRAVELS
    if low <= watch.travel <= high:
        return
    yield watch.fault(
        "travel" if "travel" in watch.pedal.lines else "full",
        f"the pad goes {watch.mm(watch.travel)}. Pads go {watch.about(low)} to "
        f"{watch.about(high)} {PRACTICE}.",
        _dot(watch, watch.travel, TRAVELS) or "Is it the pad's way along its arc?",
    )


def _hole(watch: Watch) -> Iterator[Fault]:
    """Say a hole that lies beyond the pad."""
    if "clevis" not in watch.pedal.points:
        return
    arm, hole = number(watch.rest.radius), abs(watch.hole - watch.pivot)
    if hole <= arm:
        return
    usual = (0.1 * arm, 0.5 * arm)
    yield watch.fault(
        "clevis",
        f"the hole is {watch.mm(hole)} from the pivot, farther than the pad "
        f"({watch.mm(arm)}).",
        _dot(watch, hole, usual) or "Is it from the pivot?",
    )


def _rod(watch: Watch, joint: Joint) -> Iterator[Fault]:
    """Say a rod of no usual length; a throttle's may run to the engine."""
    low, high = RODS
    if joint.kind != "rod" or joint.length is None:
        return
    long = joint.length > high and watch.pedal.duty != "throttle"
    if joint.length >= low and not long:
        return
    part = watch.pedal.train[joint.part - 1]
    yield watch.fault(
        _far_key(part),
        f"the rod to it is {watch.mm(joint.length)}. Rods are {watch.about(low)} to "
        f"{watch.about(high)} {PRACTICE}.",
        "Is one of its two ends a slip, or from another mark?",
        part,
    )


def _lean(watch: Watch, run: Run, part: Cylinder, axis: complex) -> Iterator[Fault]:
    """Say a rod that leans too far off its cylinder's axis."""
    leans = np.abs(np.degrees(np.asarray(value(laws.rod_angle(run, part.number)))))
    if not np.any(leans > MOST_LEAN):
        return
    hole = np.asarray(value(run.at(driving_hole(part))), complex)
    seat = np.asarray(value(run.steps[part.number - 1].link.far()), complex)
    off = ((seat - hole) * axis.conjugate()).imag
    out = 0.5 * float(np.nanmin(off) + np.nanmax(off))
    yield watch.fault(
        _far_key(part),
        f"the rod leans up to {np.nanmax(leans):.1f} deg off the cylinder's axis. Up to "
        f"{GOOD_LEAN:g} is good, over {MOST_LEAN:g} fails {PRACTICE}.",
        f"Hole and axis are {watch.mm(abs(out))} out of line: is a reading of pivot, "
        "hole or face a slip?",
        part,
    )


def _ratio(watch: Watch, run: Run) -> Iterator[Fault]:
    """Say a brake or a clutch that hardly multiplies."""
    if watch.pedal.duty not in ("brake", "clutch"):
        return
    ratios = np.asarray(value(laws.ratio(run)), float)
    known = ratios[np.isfinite(ratios)]
    if not len(known) or known.min() >= LEAST_RATIO:
        return
    yield watch.fault(
        "clevis",
        f"the ratio goes down to {known.min():.2f}: the foot gets hardly any help.",
        f"Pedals that drive a cylinder have 4 to 7 {PRACTICE}: is the hole nearer to "
        "the pivot?",
    )


def _depth(watch: Watch, part: Cylinder) -> Iterator[Fault]:
    """Say a rod's tip that lies too deep."""
    if part.depth is None or part.depth.nominal <= MOST_DEPTH:
        return
    yield watch.fault(
        "depth",
        f"the rod's tip is {watch.mm(part.depth.nominal)} behind the face. It is seldom "
        f"over {watch.about(MOST_DEPTH)} {PRACTICE}.",
        _dot(watch, part.depth.nominal, (0.0, MOST_DEPTH))
        or "Measure from the face to the cup's bottom.",
        part,
    )


def _gap(watch: Watch, part: Cylinder) -> Iterator[Fault]:
    """Say a gap between rod and piston that eats much of the travel."""
    play = part.free_play
    if play is None or play.nominal <= MOST_GAP:
        return
    right = _dot(watch, play.nominal, USUAL_GAP)
    if watch.speech.units == "in" and USUAL_GAP[0] <= play.nominal / INCH <= MOST_GAP:
        right = f'In mm? Write free_play = "{trim(play.nominal / INCH, 3)} mm".'
    yield watch.fault(
        "free_play",
        f"the gap is {watch.mm(play.nominal)}, and the pad moves for nothing until it "
        f"is closed. Gaps are {watch.speech.short(USUAL_GAP[0])} to "
        f"{watch.mm(USUAL_GAP[1])} {PRACTICE}.",
        right or "Is it the gap between the rod's end and the piston?",
        part,
    )


# ----------------------------------------------------------------- floor, bulkhead


def _through(watch: Watch, run: Run) -> Iterator[Fault]:
    """Say a pad or a hole below the floor, and a pad ahead of the bulkhead.

    A pedal whose pivot is below the floor is there on purpose.
    """
    pad = np.asarray(value(run.arm.carry(run.rest.pad)), complex)
    points = [("pad", "pad", pad)]
    if "clevis" in watch.pedal.points:
        hole = run.at(f"{watch.pedal.name}.clevis")
        points.append(("clevis", "hole", np.asarray(value(hole), complex)))
    if not _below(watch, np.array([watch.pivot])) > 0.0:
        for key, name, where in points:
            deep = _below(watch, where)
            if deep > 0.0:
                yield watch.fault(
                    key,
                    f"the {name} gets {watch.mm(deep)} below the floor on its way.",
                    "Is a height a slip, or from another mark?",
                )
    ahead = _ahead(watch, pad)
    if ahead > 0.0:
        yield watch.fault(
            "pad",
            f"the pad gets {watch.mm(ahead)} through the bulkhead on its way.",
            "Is a distance a slip, or the travel too long?",
        )


def _below(watch: Watch, where: Points) -> float:
    """Return how far below the floor points get at most, mm; -inf without one."""
    floor = watch.design.footwell.floor
    return _most(_line_at(watch, floor, where.real, level=True) - where.imag)


def _ahead(watch: Watch, where: Points) -> float:
    """Return how far through the bulkhead points get at most, mm; -inf without one."""
    wall = watch.design.footwell.bulkhead
    return _most(where.real - _line_at(watch, wall, where.imag, level=False))


def _line_at(watch: Watch, line: Line, along: Reals, *, level: bool) -> Reals:
    """Return the height of a floor, or the place of a bulkhead; nan beside its ends."""
    places = watch.rest.places
    if line is None:
        return np.full(along.shape, np.nan)
    if isinstance(line, Value):
        return np.full(along.shape, number(places.number(line)))
    ends = [complex(value(places.form(end))) for end in line]
    pairs = sorted((z.real, z.imag) if level else (z.imag, z.real) for z in ends)
    at, size = zip(*pairs, strict=True)
    return np.asarray(np.interp(along, at, size, np.nan, np.nan), float)


def _most(sizes: Reals) -> float:
    known = sizes[np.isfinite(sizes)]
    return float(known.max()) if len(known) else -np.inf


# ------------------------------------------------------------------------- helpers


def _far_key(part: Part) -> str:
    """Return the key that says where a rod ends."""
    return next(
        (k for k in ("face", "seat", "rod", "input") if k in part.lines), "part"
    )


def _dot(watch: Watch, size: float, usual: tuple[float, float]) -> str:
    """Ask for a dot out of place where the tenth or tenfold would be usual."""
    for other in (size / 10.0, size * 10.0):
        if usual[0] <= other <= usual[1]:
            return f"A dot out of place? {watch.mm(other)} would be usual."
    return ""

"""How near a pedal comes to what stands in its way, through its swing.

One layout in plain numbers is measured on true outlines; many layouts, and derivatives,
on convex hulls. Below 0 they overlap.
"""

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.faults import DesignError
from linkage.footwell.moving import (
    Moving,
    hulls,
    motion_of,
    moving_of,
    outline,
)
from linkage.footwell.things import Thing, meets, things_of
from linkage.motion.rest import PedalRest
from linkage.motion.run import Run, move
from solvers.jet import Jet, lift, value, where
from solvers.lowest import lowest
from solvers.plane.apart import apart, overlapping
from solvers.plane.hulls import HalfPlane, Hull, bound, gap
from solvers.plane.measure import extents
from solvers.plane.pieces import Contour

#: mm; a gap that falls by less on the way is least at rest.
EVEN = 1e-6
#: Points of the first look for a touch and of each closer one, and how many of those.
LOOK, ZOOM, ROUNDS = 65, 17, 8

Floats = NDArray[np.float64]


class Clearance(Struct, frozen=True, kw_only=True, eq=False):
    """Where one part comes nearest to one thing.

    Attributes
    ----------
    part, thing, kind : str
        What moves, what stands in its way, and of which kind that is.
    gap : float
        mm, below 0 for an overlap.
    travel : float
        mm of pad at which it is least.
    on_part, on_thing : complex
        The two points, at that travel.
    touch : float or None
        The first travel at which they touch, or begin by touching.
    """

    part: str
    thing: str
    kind: str
    gap: float
    travel: float
    on_part: complex
    on_thing: complex
    touch: float | None = None


class Pair(Struct, frozen=True, kw_only=True, eq=False):
    """A moving part and a thing that it has to be kept clear of."""

    moving: Moving
    thing: Thing


def pairs_of(rest: PedalRest) -> tuple[Pair, ...]:
    """Return every pair of a pedal, the parts in turn."""
    things = things_of(rest)
    return tuple(
        Pair(moving=moving, thing=thing)
        for moving in moving_of(rest.places.design, rest.pedal)
        for thing in things
        if meets(moving, thing, rest)
    )


def clearances(rest: PedalRest, upto: float) -> tuple[Clearance, ...]:
    """Return the least gap of every pair on the way to ``upto``, mm, the least first.

    Raises
    ------
    DesignError
        No arm can be shaped round the pedal's holes.
    """
    shapes: dict[Moving, Contour] = {}
    found = []
    for pair in pairs_of(rest):
        if pair.moving not in shapes:
            shapes[pair.moving] = outline(pair.moving, rest)
        found.append(_least(rest, pair, shapes[pair.moving], upto))
    return tuple(sorted(found, key=lambda each: each.gap))


def closest(rest: PedalRest, upto: float) -> Clearance | None:
    """Return the first of `clearances`, without refining what cannot be it.

    Raises
    ------
    DesignError
        No arm can be shaped round the pedal's holes.
    """
    shapes: dict[Moving, Contour] = {}
    seen = []
    for pair in pairs_of(rest):
        if pair.moving not in shapes:
            shapes[pair.moving] = outline(pair.moving, rest)
        shape, at = shapes[pair.moving], np.linspace(0.0, upto, ZOOM)
        y = _gaps(rest, pair, shape, at)
        seen.append((float(y.min()) - _stride(rest, pair.moving, shape, at), pair))
    best: Clearance | None = None
    for least, pair in sorted(seen, key=lambda each: each[0]):
        if best is not None and least >= best.gap:
            break
        found = _least(rest, pair, shapes[pair.moving], upto)
        best = found if best is None or found.gap < best.gap else best
    return best


def _stride(rest: PedalRest, moving: Moving, shape: Contour, travel: Floats) -> float:
    """Return how far a part is at most from where it was at the nearest of some travels.

    No point of it goes farther than the farthest corner of a box round it, and from the
    middle between two travels the way is half as long; an arc is a little longer than
    its chord. A gap changes by no more than that.
    """
    a, b = extents(shape)
    corners = np.array(
        [complex(x, z) for x in (a.real, b.real) for z in (a.imag, b.imag)]
    )
    way = motion_of(moving, move(rest, travel)).carry(corners)
    return float(0.55 * np.max(np.abs(np.diff(way, axis=0))))


def _gaps(rest: PedalRest, pair: Pair, shape: Contour, travel: Floats) -> Floats:
    """Return the gap of one pair at some travels."""
    motion = motion_of(pair.moving, move(rest, travel))
    each = [apart(shape, still, motion).gap for still in pair.thing.outlines()]
    return np.asarray(np.min(each, axis=0))


def _least(rest: PedalRest, pair: Pair, shape: Contour, upto: float) -> Clearance:
    outlines = pair.thing.outlines()

    def gaps(travel: Floats) -> Floats:
        return _gaps(rest, pair, shape, travel)

    travel, size = lowest(gaps, 0.0, upto)
    at_rest = float(gaps(np.zeros(1))[0])
    if at_rest <= size + EVEN:
        travel, size = 0.0, at_rest
    motion = motion_of(pair.moving, move(rest, np.array([travel])))
    nearest = min((apart(shape, o, motion) for o in outlines), key=lambda n: n.gap[0])
    return Clearance(
        part=pair.moving.name,
        thing=pair.thing.name,
        kind=pair.thing.kind,
        gap=size,
        travel=travel,
        on_part=complex(nearest.a[0]),
        on_thing=complex(nearest.b[0]),
        touch=None if size > 0.0 else _touch(rest, pair, shape, travel),
    )


def reaches(
    rest: PedalRest, part: str, kinds: Sequence[str], upto: float
) -> float | None:
    """Return the travel at which a part first touches a thing of some kinds, mm.

    Parameters
    ----------
    part : str
        Of those that need no train: "pad", say.
    upto : float
        mm of pad; it may lie beyond the stop, and beyond what the train can follow.
    """
    found = []
    with np.errstate(divide="ignore", invalid="ignore"):
        for pair in pairs_of(rest):
            if pair.moving.kind != part or pair.thing.kind not in kinds:
                continue
            shape = outline(pair.moving, rest)
            motion = motion_of(pair.moving, move(rest, np.linspace(0.0, upto, LOOK)))
            outlines = pair.thing.outlines()
            if any(overlapping(shape, each, motion).any() for each in outlines):
                found.append(_touch(rest, pair, shape, upto))
    return min(found, default=None)


def _touch(rest: PedalRest, pair: Pair, shape: Contour, upto: float) -> float:
    """Return the first travel at which a pair touches, which it does at ``upto``."""
    outlines = pair.thing.outlines()
    low, high = 0.0, upto
    for look in (LOOK, *[ZOOM] * ROUNDS):
        at = np.linspace(low, high, look)
        motion = motion_of(pair.moving, move(rest, at))
        met = np.any([overlapping(shape, each, motion) for each in outlines], axis=0)
        k = int(np.argmax(met)) if met.any() else look - 1
        low, high = float(at[max(k - 1, 0)]), float(at[k])
    return high


# --------------------------------------------------------------------- as a quantity


def least_gap(run: Run) -> Jet:
    """Return the least gap of all pairs at each place of a run, mm; nan without one."""
    pairs = pairs_of(run.rest)
    if not pairs:
        return Jet(np.full(np.shape(run.travel.v), np.nan))
    if _is_plain(run):
        try:
            return Jet(_true_gaps(run, pairs))
        except DesignError:
            return Jet(np.full(np.shape(run.travel.v), np.nan))
    best = Jet(np.full(np.shape(run.travel.v), np.inf))
    for moving, still, there in sorted(_hull_pairs(run, pairs), key=_costs):
        if isinstance(still, Hull) and np.all(bound(moving, still) >= best.v):
            continue
        size = gap(moving, still)
        best = lift(where((size.v < best.v) & there, size, best))
    return best


def _hull_pairs(
    run: Run, pairs: tuple[Pair, ...]
) -> Iterator[tuple[Hull, Hull | HalfPlane, Any]]:
    """Return every two hulls that have to be kept apart, and where both are there."""
    moved: dict[Moving, list[tuple[Hull, Any]]] = {}
    stood: dict[int, list[tuple[Hull | HalfPlane, Any]]] = {}
    for pair in pairs:
        if pair.moving not in moved:
            moved[pair.moving] = hulls(pair.moving, run)
        if id(pair.thing) not in stood:
            stood[id(pair.thing)] = pair.thing.hulls()
        for hull, here in moved[pair.moving]:
            for still, there in stood[id(pair.thing)]:
                yield hull, still, np.logical_and(here, there)


def _costs(pair: tuple[Hull, Hull | HalfPlane, Any]) -> int:
    """Return how much there is to do: what is quick may spare the rest."""
    still = pair[1]
    return 0 if isinstance(still, HalfPlane) else len(still.centres)


def _is_plain(run: Run) -> bool:
    """Return whether a run is of one layout, without derivatives by its values."""
    seen = [run.rest.pivot, run.rest.pad, run.travel]
    seen += [step.link.far() for step in run.steps if step.link.kind == "rod"]
    if "clevis" in run.rest.pedal.points:
        seen.append(run.at(f"{run.rest.pedal.name}.clevis"))
    many = any(np.ndim(value(z)) > 1 for z in seen)
    return not many and not any(isinstance(z, Jet) and z.g is not None for z in seen)


def _true_gaps(run: Run, pairs: tuple[Pair, ...]) -> Floats:
    shapes: dict[Moving, Contour] = {}
    best: Any = np.inf
    for pair in pairs:
        if pair.moving not in shapes:
            shapes[pair.moving] = outline(pair.moving, run.rest)
        motion = motion_of(pair.moving, run)
        for each in pair.thing.outlines():
            best = np.minimum(best, apart(shapes[pair.moving], each, motion).gap)
    return np.reshape(best, np.shape(run.travel.v))

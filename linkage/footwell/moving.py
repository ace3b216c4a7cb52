"""What moves with a pedal: arm, pad, shoe and rods, as outlines and as hulls.

Arm and pad turn about the pedal's pivot, and so does a shoe that lies on the pad; with
a heel given it turns about the heel instead, its sole from there over the pad's point.
A rod goes from its hole to its far end. Places across the car are (from, to), mm,
positive to the driver's right; None where the file does not say.
"""

from collections.abc import Iterator
from typing import Any, Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from linkage.arm.fitted import plan_at
from linkage.arm.lobes import HOLDS, holds, root
from linkage.arm.outline import shape_arm, spine_of
from linkage.arm.plan import ArmPlan
from linkage.design.records import Chosen, Design, Pedal, Same
from linkage.design.room_records import Shoe
from linkage.design.stock import BALL_SHARE, PAD_HIGH, PAD_THICK, PAD_WIDE, ROD
from linkage.design.values import Value
from linkage.motion.rest import PedalRest
from linkage.motion.run import Run
from linkage.places import Places, driving_hole
from solvers.jet import Num, value
from solvers.planar import length
from solvers.plane.apart import Motion
from solvers.plane.belt import belt
from solvers.plane.hulls import Hull
from solvers.plane.pieces import Contour, contour_of

Across = tuple[float, float]
Kind = Literal["arm", "pad", "shoe", "rod"]


class Moving(Struct, frozen=True, kw_only=True):
    """One thing that moves with a pedal.

    Attributes
    ----------
    pedal, kind : str
    link : int
        Of a rod: which link of the train, from 0.
    across : Across or None
    """

    pedal: str
    kind: Kind
    link: int = 0
    across: Across | None = None

    @property
    def name(self) -> str:
        """What people call it."""
        return self.kind


def moving_of(design: Design, pedal: Pedal) -> tuple[Moving, ...]:
    """Return what moves with a pedal, in the car's own frame."""
    found = [
        Moving(pedal=pedal.name, kind="arm", across=_arm_across(pedal)),
        Moving(pedal=pedal.name, kind="pad", across=_about(pedal, "pad", wide(pedal))),
    ]
    shoe = design.driver.shoe
    if shoe is not None:
        side = _about(pedal, "pad", shoe.width.nominal)
        found.append(Moving(pedal=pedal.name, kind="shoe", across=side))
    for link, part in enumerate(pedal.train):
        if part.KIND == "cable" or getattr(part, "cable", None) is not None:
            break
        side = _rod_across(pedal) if len(pedal.train) == 1 else None
        found.append(Moving(pedal=pedal.name, kind="rod", link=link, across=side))
    return tuple(found)


def wide(pedal: Pedal) -> float:
    """Return the width of a pad, mm, given or guessed."""
    return PAD_WIDE if pedal.pad_wide is None else pedal.pad_wide.nominal


def high(pedal: Pedal) -> float:
    """Return the height of a pad along its face, mm, given or guessed."""
    return PAD_HIGH if pedal.pad_high is None else pedal.pad_high.nominal


def thick(pedal: Pedal) -> float:
    """Return the thickness of a pad, mm, given or guessed."""
    return PAD_THICK if pedal.pad_thick is None else pedal.pad_thick.nominal


def place_across(pedal: Pedal, word: str) -> float | None:
    """Return a place across the car, mm; None where the file does not say."""
    given: Value | None = pedal.across.get(word)
    return None if given is None else given.nominal


def _about(pedal: Pedal, word: str, size: float) -> Across | None:
    at = place_across(pedal, word)
    return None if at is None else (at - 0.5 * size, at + 0.5 * size)


def _arm_across(pedal: Pedal) -> Across | None:
    """From the hole's plane to the pad's, half a plate more on either side."""
    words = ("pivot", "clevis", "pad")
    at = [x for word in words if (x := place_across(pedal, word)) is not None]
    half = 0.5 * pedal.arm.plate.nominal
    return (min(at) - half, max(at) + half) if at else None


def _rod_across(pedal: Pedal) -> Across | None:
    ends = [place_across(pedal, word) for word in ("clevis", "seat")]
    at = [x for x in ends if x is not None]
    return (min(at) - 0.5 * ROD, max(at) + 0.5 * ROD) if at else None


# ----------------------------------------------------------------- at rest, exactly


def outline(moving: Moving, rest: PedalRest) -> Contour:
    """Return the outline of one layout at rest, in plain numbers.

    Raises
    ------
    DesignError
        No arm can be shaped round the pedal's holes.
    """
    if moving.kind == "arm":
        return shape_arm(plan_at(rest.places.design, moving.pedal, rest.places)).contour
    hull = resting_hull(moving, rest)
    points = np.array([_plain(centre) for centre in hull.centres])
    if moving.kind == "pad":
        return contour_of(points)
    return belt(points, [float(np.ravel(value(r))[0]) for r in hull.radii])


def _plain(z: Num) -> complex:
    return complex(np.ravel(np.asarray(value(z)))[0])


def resting_hull(moving: Moving, rest: PedalRest) -> Hull:
    """Return pad, shoe or rod at rest as the hull of its discs, anticlockwise."""
    if moving.kind == "pad":
        return _pad_hull(rest)
    if moving.kind == "shoe":
        return _shoe_hull(rest, rest.pad)
    at = (
        rest.places.point(hole_name(rest, moving.link)),
        _far_at_rest(rest, moving.link),
    )
    return Hull(at, (0.5 * ROD, 0.5 * ROD))


def hole_name(rest: PedalRest, link: int) -> str:
    """Return the canonical name of the hole that drives a link."""
    return driving_hole(rest.pedal.train[link])


def _far_at_rest(rest: PedalRest, link: int) -> Num:
    part = rest.pedal.train[link]
    return rest.places.point(f"{part.path}.{'seat' if _slides(part) else 'input'}")


def _slides(part: Any) -> bool:
    return bool(part.KIND == "cylinder")


def face_of(rest: PedalRest) -> Num:
    """Return the unit vector along a pad's face from which pressing lies to the left."""
    lean = rest.pedal.pad_lean
    if lean is None:
        line = rest.pad - rest.pivot
        return line / length(line) * rest.sense
    upright = 1j * np.exp(-1j * lean.nominal)
    press = 1j * (np.asarray(value(rest.pad)) - value(rest.pivot)) * rest.sense
    ahead = np.real(1j * upright * np.conj(press)) >= 0.0
    return np.where(ahead, upright, -upright)


def _pad_hull(rest: PedalRest) -> Hull:
    face = face_of(rest)
    half, deep = 0.5 * high(rest.pedal), thick(rest.pedal)
    low, top = rest.pad - face * half, rest.pad + face * half
    back = face * (1j * deep)
    return Hull((low, top, top + back, low + back), (0.0,) * 4)


def _shoe_hull(rest: PedalRest, pad: Num) -> Hull:
    """Return a shoe with its ball on ``pad``, or its heel where that is given."""
    shoe = rest.places.design.driver.shoe
    heel = rest.places.design.driver.heel
    if shoe is None:
        raise TypeError("the file has no shoe")
    if heel is None:
        face = face_of(rest)
        along = face * np.where(np.imag(value(face)) >= 0.0, 1.0, -1.0)
        start = pad - along * (BALL_SHARE * shoe.length.nominal)
    else:
        start = rest.places.form(heel)
        line = pad - start
        along = line / length(line)
    discs = shoe_discs(shoe)
    return Hull(
        tuple(start + along * at for at, _ in discs), tuple(r for _, r in discs)
    )


def shoe_discs(shoe: Shoe) -> tuple[tuple[complex, float], ...]:
    """Return the discs round which a shoe is, x along the sole from the heel, z up."""
    size, heel, toe = (
        shoe.length.nominal,
        0.5 * shoe.sole.nominal,
        0.5 * shoe.height.nominal,
    )
    ball = BALL_SHARE * size
    found = [(complex(heel, heel), heel), (complex(max(size - toe, ball), toe), toe)]
    if size - toe > ball + 1.0:
        found.append((complex(ball, toe), toe))
    return tuple(found)


# ------------------------------------------------------------------------ in motion


def motion_of(moving: Moving, run: Run) -> Motion:
    """Return how the outline of one layout moves, shape (p,)."""
    pivot = _plain(run.rest.pivot)
    count = np.size(run.travel.v)
    if moving.kind == "rod":
        start, end = _rod_ends(moving, run)
        hole, far = (np.broadcast_to(np.ravel(value(z)), count) for z in (start, end))
        rest = _plain(_far_at_rest(run.rest, moving.link)) - _plain(
            run.rest.places.point(hole_name(run.rest, moving.link))
        )
        about = _plain(run.rest.places.point(hole_name(run.rest, moving.link)))
        return Motion(turn=_unit((far - hole) / rest), about=about, to=hole)
    pad = np.broadcast_to(np.ravel(value(run.arm.carry(run.rest.pad))), count)
    heel = run.rest.places.design.driver.heel
    if moving.kind == "shoe" and heel is not None:
        about = _plain(run.rest.places.form(heel))
        return Motion(
            turn=_unit((pad - about) / (_plain(run.rest.pad) - about)), about=about
        )
    return Motion(
        turn=_unit((pad - pivot) / (_plain(run.rest.pad) - pivot)), about=pivot
    )


def _unit(z: Any) -> Any:
    return z / np.abs(z)


def _rod_ends(moving: Moving, run: Run) -> tuple[Num, Num]:
    return run.at(hole_name(run.rest, moving.link)), run.steps[moving.link].link.far()


def hulls(moving: Moving, run: Run) -> list[tuple[Hull, Any]]:
    """Return the hulls of all layouts in motion, each with where it is there at all."""
    if moving.kind == "arm":
        return [(_carried(hull, run), there) for hull, there in _arm_hulls(run.rest)]
    if moving.kind == "rod":
        return [(Hull(_rod_ends(moving, run), (0.5 * ROD, 0.5 * ROD)), True)]
    if moving.kind == "shoe" and run.rest.places.design.driver.heel is not None:
        return [(_shoe_hull(run.rest, run.arm.carry(run.rest.pad)), True)]
    return [(_carried(resting_hull(moving, run.rest), run), True)]


def _carried(hull: Hull, run: Run) -> Hull:
    return Hull(tuple(run.arm.carry(centre) for centre in hull.centres), hull.radii)


def _arm_hulls(rest: PedalRest) -> Iterator[tuple[Hull, Any]]:
    """Return spine and lobes at rest, each with the layouts that have it."""
    design = rest.places.design
    plan = plan_at(design, rest.pedal.name, Places(design))
    line = rest.pad - rest.pivot
    press = line / length(line) * (1j * rest.sense)
    ahead = 0.0 if plan.pad_stand is None else plan.boss("pad") + plan.pad_stand
    end = rest.pad + press * ahead
    ra, rb = plan.boss("pivot"), plan.boss("pad")
    yield Hull((rest.pivot, end), (ra, rb)), True
    for key, point in rest.pedal.points.items():
        if key in ("pivot", "pad") or isinstance(point, Same | Chosen):
            continue
        name = key.removeprefix("holes.")
        at = rest.places.point(f"{rest.pedal.name}.{key}")
        for hold, there in _held(plan, rest.pivot, end, at, plan.boss(name)):
            start, radius = root(hold, rest.pivot, end, at, ra, rb)
            yield Hull((start, at), (radius, plan.boss(name))), there


def _held(plan: ArmPlan, start: Num, end: Num, at: Num, boss: float) -> Iterator[Any]:
    """Return what a hole hangs on, with the layouts in which it does."""
    each = np.broadcast_arrays(*(np.asarray(value(z)) for z in (start, end, at)))
    shape = each[0].shape
    found = [
        holds(spine_of(replace(plan, pivot=complex(a)), complex(b)), complex(p), boss)
        for a, b, p in zip(*(z.ravel() for z in each), strict=True)
    ]
    for hold in HOLDS:
        mask = np.array([hold in one for one in found]).reshape(shape)
        if mask.any():
            yield hold, mask

"""What checks look at: one layout of one pedal, everything of it worked out once.

The pedal at rest and through its arc; a hard stop, the light push of an inspection, the
booster dead and each circuit lost; how near it comes to what stands in its way.
"""

import math
from collections.abc import Mapping
from typing import Any

import numpy as np
from msgspec import Struct

from linkage.arm.fitted import plan_of
from linkage.car.asking import Answer, ask, usual
from linkage.car.budget import Sway, sways
from linkage.car.drive import circuits_of, cylinders, missing_of
from linkage.car.pistons import Piston
from linkage.car.rig import UTMOST, Rig, rig_of
from linkage.car.stopping import GRAVITY, RULES
from linkage.car.twin import Alone, Twin
from linkage.cutting.job import CutJob, cut_arm
from linkage.design.records import Design, Pedal
from linkage.faults import DesignError
from linkage.footwell.clearance import Clearance, clearances, reaches
from linkage.footwell.pads import PadGap
from linkage.limits.sets import RuleSet
from linkage.motion.rest import PedalRest, at_rest
from linkage.parts.cylinder import Cylinder
from linkage.places import NOTHING, Places
from linkage.sweeping import Sweep, sweep
from solvers.jet import value

#: N on the pedal at an inspection: 50 lbf (49 CFR 570.55).
INSPECTION = 222.4110808
#: Working travel of a brake whose hard stop is not known, mm: the longest that is ok.
WORKING = 75.0
#: How far a pad is turned to see whether it meets the floor, rad.
QUARTER = 0.5 * math.pi
#: Just short of a limit of the motion.
SHORT = 1.0 - 1e-9


class Stop(Struct, frozen=True, kw_only=True, eq=False):
    """A brake at what is asked of it.

    Attributes
    ----------
    effort, travel : float
        N and mm; as near as it comes where ``missed`` says why it does not.
    used : float
        Of the cylinder's stroke, per cent; nan where that is not known.
    ratio : float
        Pad for rod there.
    missed : str
    level : float
        N; see `linkage.car.pistons`.
    sways : tuple of Sway
    """

    effort: float
    travel: float
    used: float
    ratio: float
    missed: str
    level: float
    sways: tuple[Sway, ...]


class Lost(Struct, frozen=True, kw_only=True, eq=False):
    """A brake with one circuit lost, at the least stop that is asked of it."""

    circuit: str
    rig: Rig
    stop: Stop


class Facts(Struct, frozen=True, kw_only=True, eq=False):
    """One layout of one pedal.

    Attributes
    ----------
    design, rest, rules
    values : mapping
        Numbers that stand in place of the file's.
    swept : Sweep
    travel : float
        What the pad has: its full travel, or what it makes of it, mm.
    rig : Rig or None
        None where the pedal fills no circuit that the file tells of.
    hard : Answer or None
        A hard stop: 0.8 g0, or without a car 7 MPa.
    light : float or None
        Travel at the push of an inspection, mm.
    floor : float or None
        The travel at which the pad would meet floor or bulkhead, were there no stop,
        mm; None where it meets neither, or no light push was looked at.
    dead : Stop or None
    lost : tuple of Lost
    near : tuple of Clearance
        Empty where it was not looked at.
    cut : CutJob or None
        The arm as it would be cut; None where that was not looked at or cannot be.
    no_arm : str
        Why no arm can be shaped, and so nothing be kept clear of.
    pads : tuple of PadGap
        All of the car's.
    others : mapping of str to float
        How far forward the faces of the other pedals rest, mm, by pedal.
    """

    design: Design
    rest: PedalRest
    rules: RuleSet
    values: Mapping[str, float]
    swept: Sweep
    travel: float
    rig: Rig | None
    hard: Answer | None
    light: float | None
    floor: float | None
    dead: Stop | None
    lost: tuple[Lost, ...]
    near: tuple[Clearance, ...]
    cut: CutJob | None
    no_arm: str
    pads: tuple[PadGap, ...]
    others: Mapping[str, float]

    @property
    def pedal(self) -> Pedal:
        """Return the pedal as read."""
        return self.rest.pedal

    @property
    def is_free(self) -> bool:
        """Return True while a number of the pedal's own is still free."""
        own = f"{self.pedal.name}."
        numbers = self.design.values.items()
        free = [path for path, each in numbers if each.kind != "fixed"]
        return any(path.startswith(own) for path in (*free, *self.design.choices))

    @property
    def cylinder(self) -> Cylinder | None:
        """Return the cylinder that ends its train; of a bar its rear one."""
        last = self.pedal.train[-1] if self.pedal.train else None
        return last if isinstance(last, Cylinder) else None

    @property
    def working(self) -> float:
        """Return the travel that is worked in, mm: a brake's to a hard stop."""
        if self.pedal.duty != "brake":
            return self.travel
        if self.hard is not None:
            return min(float(self.hard.state.foot.travel[0]), self.travel)
        return min(WORKING, self.travel)

    @property
    def touch(self) -> Clearance | None:
        """Return what arm, pad, rod or shoe touches first on its way."""
        met = [each for each in self.near if each.touch is not None]
        return min(met, key=lambda each: each.touch or 0.0, default=None)

    @property
    def reach(self) -> float:
        """Return how far the pad gets before it touches something, mm."""
        touch = self.touch
        return self.travel if touch is None else min(self.travel, touch.touch or 0.0)


def facts_of(
    design: Design,
    pedal: str,
    rules: RuleSet,
    *,
    values: Mapping[str, float] = NOTHING,
    pads: tuple[PadGap, ...] = (),
    others: Mapping[str, float] = NOTHING,
    look: bool = True,
    brief: bool = False,
) -> Facts:
    """Work out a layout of a pedal.

    Parameters
    ----------
    values : mapping
        Numbers to use in place of the file's, by path, in internal units.
    pads, others
        See `Facts`: of the whole car, and so worked out once for all its pedals.
    look : bool
        False to leave out what stands in its way.
    brief : bool
        True to leave out the arm as it would be cut, what guesses sway, the light
        push and all failures: for a layout that is only tried.

    Raises
    ------
    DesignError
        The pedal cannot stand at rest.
    """
    swept = sweep(design, pedal, values=values, positions=2)
    rest = swept.rest
    whole = float(np.ravel(value(rest.travel))[0])
    travel = whole if swept.limit is None else swept.limit.travel * SHORT
    rig = _rig(design, pedal, values)
    near: tuple[Clearance, ...] = ()
    cut, no_arm = None, ""
    try:
        near = clearances(rest, travel) if look else ()
        cut = None if brief else cut_arm(plan_of(design, pedal))
    except DesignError as error:
        no_arm = error.faults[0].wrong
    return Facts(
        design=design,
        rest=rest,
        rules=rules,
        values=values,
        swept=swept,
        travel=travel,
        rig=rig,
        hard=None if rig is None else ask(rig, *usual(rig), swayed=not brief),
        light=None if rig is None or brief else _light(rig),
        floor=None if rig is None or brief else _floor(rest),
        dead=None if rig is None or brief else _dead(rig, design, values),
        lost=() if rig is None or brief else tuple(_losses(rig, design, values)),
        near=near,
        cut=cut,
        no_arm=no_arm,
        pads=pads,
        others=others,
    )


def _rig(design: Design, pedal: str, values: Mapping[str, float]) -> Rig | None:
    if missing_of(design.pedals[pedal]) is not None:
        return None
    return rig_of(design, pedal, values=values)


def _light(rig: Rig) -> float:
    level = float(rig.level_of_foot(INSPECTION))
    return float(rig.state(np.array([level])).foot.travel[0])


def _floor(rest: PedalRest) -> float | None:
    reach = abs(complex(value(rest.pad)) - complex(value(rest.pivot)))
    return reaches(rest, "pad", ("floor", "bulkhead"), QUARTER * reach)


def _dead(rig: Rig, design: Design, values: Mapping[str, float]) -> Stop | None:
    """Return the least stop that is asked of a dead booster."""
    boosted = isinstance(rig.driven, Piston) and rig.driven.booster is not None
    if not boosted or rig.road is None:
        return None
    name = rig.rest.pedal.name
    dead = rig_of(design, name, values=values, dead=True)
    return stop_at(dead, RULES["booster dead"].deceleration / GRAVITY)


def stop_at(rig: Rig, z: float) -> Stop:
    """Return a brake of a car at a deceleration, in g0."""
    level, missed = _level(rig, z)
    state = rig.state(np.array([level]))
    travel = float(state.foot.travel[0])
    return Stop(
        effort=float(state.foot.effort[0]),
        travel=travel,
        used=stroke_used(rig, level),
        ratio=ratio_at(rig.rest, travel),
        missed=missed,
        level=level,
        sways=sways(rig, level),
    )


def _level(rig: Rig, z: float) -> tuple[float, str]:
    if rig.road is None:
        raise TypeError("a deceleration needs a car")
    level = float(rig.road.level_for(rig.driven, z))
    if level >= UTMOST:
        return rig.top, "the tyres, or the brakes that are left, do not hold as much"
    return min(level, rig.top), "" if level <= rig.top else f"{rig.ends} before that"


def stroke_used(rig: Rig, level: float) -> float:
    """Return how much of the cylinder's stroke is used at a level, per cent.

    Of a bar's two that has less left; nan where one of them is not known.
    """
    return max(
        (100.0 * made / whole for made, whole in strokes_of(rig, level)),
        default=math.nan,
    )


def strokes_of(rig: Rig, level: float) -> list[tuple[float, float]]:
    """Return (made, whole) of each piston at a level, mm; none where not known."""
    driven = rig.driven
    if isinstance(driven, Alone):
        return []
    pistons = (driven.front, driven.rear) if isinstance(driven, Twin) else (driven,)
    own = driven.levels(level) if isinstance(driven, Twin) else (level,)
    found = [
        (float(piston.stroke(x)), float(piston.master.stroke))
        for piston, x in zip(pistons, own, strict=True)
    ]
    return found if all(math.isfinite(whole) for _, whole in found) else []


def ratio_at(rest: PedalRest, travel: float) -> float:
    """Return pad for rod at a travel."""
    from linkage.motion.run import move
    from linkage.quantities import laws

    return float(np.ravel(laws.ratio(move(rest, np.array([travel]))).v)[0])


def _losses(rig: Rig, design: Design, values: Mapping[str, float]) -> Any:
    """Yield a brake with each of its circuits lost; nothing without stroke or car."""
    pedal = rig.rest.pedal
    names = circuits_of(pedal)
    known = pedal.bar is not None or cylinders(pedal)[0].stroke is not None
    if len(names) < 2 or not known or rig.road is None:
        return
    asked = RULES["circuit lost"].deceleration / GRAVITY
    for name in names:
        left = rig_of(design, pedal.name, values=values, lost=name)
        yield Lost(circuit=name, rig=left, stop=stop_at(left, asked))


def face_of(design: Design, pedal: str) -> float | None:
    """Return how far forward a pad's point rests, mm; None where it cannot stand."""
    rest = at_rest(Places(design), design.pedals[pedal])
    if not np.all(rest.sound()):
        return None
    return float(np.real(np.ravel(value(rest.pad))[0]))

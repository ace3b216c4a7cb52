"""Quantities of a pressed brake, and any other where a stated state has brought it.

One layout or many run the same lines. What the fluid needs is told by the file alone;
the linkage says where the pedal then is and what the foot feels. Nothing here has
derivatives.
"""

from collections.abc import Iterator
from typing import Any

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from linkage.car.drive import (
    circuits_of,
    cylinders,
    driven_of,
    lost_faults,
    missing_of,
    vehicle_of,
)
from linkage.car.guesses import Ledger
from linkage.car.lines import tyres_of
from linkage.car.rig import bare_burden, driven_end, level_of
from linkage.car.road import Road
from linkage.car.twin import Driven
from linkage.design.records import Design, Pedal, Target
from linkage.loads.burden import Burden
from linkage.loads.equilibrium import Load, forces
from linkage.loads.foot import hip_of
from linkage.loads.springs import springs_of
from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import Run, move
from linkage.places import Places
from linkage.quantities.register import QUANTITIES
from linkage.units import BY_NAME
from solvers.jet import value
from solvers.monotone import rises_to

DEAD, LOST = "booster dead", " lost"
#: Internal units of a deceleration, mm/s2, in one of standard gravity.
GRAVITY = float(BY_NAME["g0"].factor)
#: So little beyond its end is rounding.
_END = 1e-12
#: Keys of a cylinder or a bar that may be free, and that what it drives rests on.
_DRIVEN = ("free_play", "spacing", "shift")


class Pressed(Struct, frozen=True, kw_only=True, eq=False):
    """A pedal with its brakes: one layout, or many, shape (n, 1)."""

    rest: PedalRest
    driven: Driven
    road: Road | None
    burden: Burden
    hip: complex | None

    @property
    def whole(self) -> Any:
        """Return the travel of the pad, mm."""
        travel = np.atleast_1d(np.asarray(value(self.rest.travel), float))
        end = move(self.rest, travel).end().v
        return np.broadcast_to(travel, np.broadcast_shapes(travel.shape, np.shape(end)))

    def end(self, travel: Any) -> Any:
        """Return what the rod has moved by, mm."""
        return np.broadcast_to(move(self.rest, travel).end().v, np.shape(travel))

    def moved(self, level: Any) -> Any:
        """Return what the rod has to move by for a level, mm."""
        return sum(share.moved for share in self.driven.shares(level))

    def travel(self, level: Any) -> Any:
        """Return where the pad is at a level; nan where the pedal ends before, mm."""
        moved, whole = self.moved(level), self.whole
        reached = moved <= self.end(whole) * (1.0 + _END)
        found = rises_to(self.end, np.broadcast_to(moved, whole.shape), 0.0, whole)
        return np.where(reached, found, np.nan)

    def effort(self, travel: Any, level: Any) -> Any:
        """Return what the foot pushes with, N."""
        load = Load(of="end", size=self.driven.rod(level))
        run = move(self.rest, travel)
        return np.asarray(forces(run, self.burden, load, hip=self.hip).effort, float)

    def level_of_foot(self, size: float) -> Any:
        """Return the level of a push; nan where something is at its end before."""
        top = level_of(self.driven, self.end(self.whole))

        def felt(level: Any) -> Any:
            moved = np.minimum(self.moved(level), self.end(self.whole))
            return self.effort(rises_to(self.end, moved, 0.0, self.whole), level)

        level = rises_to(felt, np.full(top.shape, size), 0.0, top)
        return np.where(level < top, level, np.nan)


class Fluid(Struct, frozen=True, kw_only=True, eq=False):
    """What a pressed brake has that no place of its linkage moves.

    Attributes
    ----------
    driven : Driven
    road : Road or None
    burden : Burden
        Of the arm that the file stands for.
    alike : complex
        Where that arm's middle lies, as a share of the way from pivot to pad.
    most : float
        The level at which a cylinder or the bar is at its end, N.
    hip : complex or None
    """

    driven: Driven
    road: Road | None
    burden: Burden
    alike: complex
    most: float
    hip: complex | None


def fluid_of(places: Places, pedal: Pedal, case: str) -> Fluid:
    """Return what no layout changes; ``case`` as a target says it.

    Parameters
    ----------
    places : Places
        In plain numbers.
    pedal : Pedal
        One that `lacks_fluid` finds nothing wrong with.
    """
    design, ledger = places.design, Ledger(places)
    lost = case.removesuffix(LOST) if case.endswith(LOST) else ""
    road = None
    if design.vehicle is not None:
        vehicle = vehicle_of(ledger, design.vehicle)
        road = Road(vehicle=vehicle, tyres=tyres_of(ledger, design.vehicle))
    rest = at_rest(places, pedal)
    burden, line = bare_burden(rest), value(rest.pad) - value(rest.pivot)
    middle = 0j if burden.weight is None else burden.weight.centre
    driven = driven_of(ledger, pedal, dead=case == DEAD, lost=lost)
    return Fluid(
        driven=driven,
        road=road,
        burden=burden,
        alike=complex(np.ravel(middle / line)[0]),
        most=driven_end(driven),
        hip=hip_of(design, None),
    )


def _pressed(rest: PedalRest, fluid: Fluid) -> Pressed:
    """Return a pedal with its brakes.

    Of many layouts none has its arm shaped: each weighs what that of the file weighs,
    and its middle lies alike to pivot and pad.
    """
    burden = fluid.burden
    if rest.places.many:
        line = np.asarray(value(rest.pad) - value(rest.pivot))
        weight = burden.weight
        if weight is not None:
            weight = replace(weight, centre=fluid.alike * line)
        burden = replace(burden, springs=springs_of(rest), weight=weight)
    return Pressed(
        rest=rest,
        driven=fluid.driven,
        road=fluid.road,
        burden=burden,
        hip=fluid.hip,
    )


def told(rest: PedalRest, target: Target, fluid: Fluid) -> tuple[Any, Any]:
    """Return what a target is about, and the travel of the pad at which it is.

    Parameters
    ----------
    rest : PedalRest
        In plain numbers, one layout or many.
    target : Target
        One that `is_loaded`.
    fluid : Fluid
        Of this pedal, in the target's case.

    Returns
    -------
    value, travel : ndarray, shape (n, 1) or (1,)
        Internal units and mm; nan where the pedal, its cylinder or its bar is at its
        end before.
    """
    brake = _pressed(rest, fluid)
    level, travel = _stands(brake, target)
    with np.errstate(invalid="ignore"):
        there = np.isfinite(travel) & (level <= fluid.most * (1.0 + _END))
    level, travel = np.where(there, level, 0.0), np.where(there, travel, 0.0)
    found = _of(brake, target, level, travel)
    return np.where(there, found, np.nan), np.where(there, travel, np.nan)


def _stands(brake: Pressed, target: Target) -> tuple[Any, Any]:
    """Return the level and the travel at which a target looks."""
    state, at, whole = target.at.state, target.at, brake.whole
    if state is None:
        travel = at.low * (whole if at.share else 1.0) + 0.0 * whole
        travel = np.where(travel <= whole * (1.0 + 1e-9), travel, np.nan)
        held = np.where(np.isfinite(travel), travel, 0.0)
        return level_of(brake.driven, brake.end(held)), travel
    if state.of == "foot":
        level = brake.level_of_foot(state.size)
    elif state.of == "pressure":
        level = brake.driven.level_for(state.size)
    elif brake.road is None:
        level = np.nan
    else:
        level = brake.road.level_for(brake.driven, state.size)
    level = np.asarray(level, float) + 0.0 * whole
    some = np.where(np.isfinite(level), level, 0.0)
    return level, np.where(np.isfinite(level), brake.travel(some), np.nan)


def _of(brake: Pressed, target: Target, level: Any, travel: Any) -> Any:
    """Return the quantity itself."""
    if target.of == "pad travel":
        return travel
    if target.of == "foot force":
        return brake.effort(travel, level)
    if target.of == "pressure":
        return _pressure(brake, target, level)
    if target.of == "deceleration":
        z = np.nan if brake.road is None else brake.road.braked(brake.driven, level).z
        return GRAVITY * np.asarray(z)
    run: Run = move(brake.rest, travel)
    return np.broadcast_to(QUANTITIES[target.of].law(run, target).v, travel.shape)


def _pressure(brake: Pressed, target: Target, level: Any) -> Any:
    """Return the pressure of one circuit, or of the one that decides of several."""
    sizes = brake.driven.pressures(level)
    names = [line.name for line in brake.driven.lines]
    if target.which is not None:
        return sizes[names.index(str(target.which))]
    alive = [
        size
        for name, size in zip(names, sizes, strict=True)
        if f"{name}{LOST}" != target.case
    ]
    each = np.stack(np.broadcast_arrays(*alive))
    if target.exact is not None:
        far = np.argmax(np.abs(each - target.exact), axis=0)
        return np.take_along_axis(each, far[None], axis=0)[0]
    if target.most is not None or target.prefer == "small":
        return each.max(axis=0)
    return each.min(axis=0)


# ------------------------------------------------------------------ what it takes


def lacks_fluid(design: Design, pedal: Pedal, target: Target) -> str | None:
    """Return why a pedal has no such thing, as far as fluid and car go; or None."""
    return next(_lacks(design, pedal, target), None)


def _lacks(design: Design, pedal: Pedal, target: Target) -> Iterator[str]:
    missing = missing_of(pedal)
    if missing is not None:
        yield f"nothing says its {missing}"
        return
    state = target.at.state
    car = target.of == "deceleration" or (state and state.of == "deceleration")
    if car and design.vehicle is None:
        yield "the file has no [vehicle]"
    if not target.at.single:
        yield 'it is told at one place: give at = "500 N", "0.8 g0" or "60 mm"'
    if target.of == "pad travel" and state is None:
        yield 'it is that of a state: give at = "500 N", "7 MPa" or "0.8 g0"'
    if target.of == "pressure" and target.which not in (None, *circuits_of(pedal)):
        yield f'it has no circuit "{target.which}"'
    if target.case == DEAD and not any(
        getattr(end, "booster", None) for end in cylinders(pedal)
    ):
        yield "it has no booster that could be dead"
    if target.case.endswith(LOST):
        lost = target.case.removesuffix(LOST)
        yield from (
            fault.wrong.rstrip(".") for fault in lost_faults(design, pedal, lost)
        )
    for path, number in design.values.items():
        train, _, key = path.rpartition(".")
        mine = train.startswith(f"{pedal.name}.train.") and key in _DRIVEN
        if mine and number.kind == "free":
            yield f"it rests on {path}, which is free: write one number for it"

"""A brake as a whole: pedal, forces, fluid and car, ready to be asked.

Everything is told from one number, the *level* (see `linkage.car.pistons`). Each stage
of the answer is a record of its own: `Pressed` is what the fluid does, `Felt` what the
foot does, `linkage.car.road.Braked` what the car does.
"""

import math
from collections.abc import Mapping
from typing import Any, Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from linkage.car.axles import Lock
from linkage.car.drive import (
    drive_faults,
    driven_of,
    lost_faults,
    road_faults,
    vehicle_of,
)
from linkage.car.guesses import Doubt, Ledger
from linkage.car.lines import tyres_of
from linkage.car.pistons import Share
from linkage.car.road import UTMOST as UTMOST
from linkage.car.road import Braked, Road
from linkage.car.twin import Driven, Twin
from linkage.design.records import Design
from linkage.faults import DesignError
from linkage.loads.burden import Burden, burden_of, friction_faults
from linkage.loads.equilibrium import Load, forces
from linkage.loads.foot import Push, hip_faults, hip_of
from linkage.motion.ends import find_limit
from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import move
from linkage.places import NOTHING, Places
from solvers.jet import value
from solvers.monotone import rises_to
from solvers.root import first_zero

Ends = Literal["pedal at its end", "cylinder at its end", "bar at its stop"]


#: N; no bar is pushed harder than by so much.
_FARTHEST = 1e6


class Pressed(Struct, frozen=True, kw_only=True, eq=False):
    """What the fluid does at each level.

    Attributes
    ----------
    level : ndarray
        N.
    pressures : mapping of str to ndarray
        Of each circuit at its cylinder, MPa.
    shares : tuple of Share
        What the rod's movement went into, in order.
    moved : ndarray
        Their sum: the rod's movement along its axis, mm.
    rod : ndarray
        The force in it along that axis, N.
    left : ndarray
        Of the stroke, mm; infinite where the file does not say how long it is.
    """

    level: Any
    pressures: Mapping[str, Any]
    shares: tuple[Share, ...]
    moved: Any
    rod: Any
    left: Any


class Felt(Struct, frozen=True, kw_only=True, eq=False):
    """What the foot does: travel of the pad, mm, and effort while pressing, N."""

    travel: Any
    effort: Any


class State(Struct, frozen=True, kw_only=True, eq=False):
    """All of it at each level; no car where the file has none."""

    fluid: Pressed
    foot: Felt
    car: Braked | None


class Rig(Struct, frozen=True, kw_only=True, eq=False):
    """A pedal with its brakes, in numbers.

    Attributes
    ----------
    rest : PedalRest
    burden : Burden
        Without the seals of the cylinder, which `driven` has.
    hip : complex or None
    driven : Piston, Twin or Alone
    road : Road or None
        None where the file has no car.
    travel : float
        What the pad has, mm.
    top : float
        The level at which something comes to its end.
    ends : str
        What that is: one of `Ends`, or who meets what.
    doubts : mapping of str to Doubt
        What all this rests on that is a guess.
    """

    rest: PedalRest
    burden: Burden
    hip: complex | None
    driven: Driven
    road: Road | None
    travel: float
    top: float
    ends: str
    doubts: Mapping[str, Doubt]

    def state(self, level: Any) -> State:
        """Return everything at levels, shape (n,), N."""
        level = np.asarray(level, float)
        fluid = pressed(self.driven, level)
        return State(
            fluid=fluid,
            foot=self.felt(fluid.moved, fluid.rod),
            car=None if self.road is None else self.road.braked(self.driven, level),
        )

    def felt(self, moved: Any, rod: Any) -> Felt:
        """Return what the foot does for movements and forces of the rod, shape (n,).

        A pad that would have to go beyond its end stands there.
        """
        travel = self.pad(moved)
        return Felt(travel=travel, effort=self.effort(travel, rod))

    def effort(self, travel: Any, rod: Any) -> Any:
        """Return what the foot pushes with at travels, the rod being pushed back."""
        load = Load(of="end", size=rod)
        found = forces(move(self.rest, travel), self.burden, load, hip=self.hip)
        return np.asarray(found.effort, float)

    def pad(self, moved: Any) -> Any:
        """Return the travel of the pad for movements of the rod, mm."""
        return rises_to(self._moved, moved, 0.0, self.travel)

    def _moved(self, travel: Any) -> Any:
        return np.broadcast_to(move(self.rest, travel).end().v, np.shape(travel))

    # ------------------------------------------------------------- what is asked

    def level_of_foot(self, effort: Any) -> Any:
        """Return the level at which a foot pushes with ``effort``, N; at most `top`."""

        def felt(level: Any) -> Any:
            fluid = pressed(self.driven, level)
            return self.felt(fluid.moved, fluid.rod).effort

        return rises_to(felt, np.asarray(effort, float), 0.0, self.top)

    def level_of_travel(self, travel: Any) -> Any:
        """Return the level that holds the pad at places of its travel, mm."""
        return level_of(self.driven, self._moved(np.asarray(travel, float)))

    def locks(self) -> tuple[Lock, ...]:
        """Return which axles lock, in order; their level may lie beyond `top`."""
        return self.road.locks(self.driven) if self.road is not None else ()


def pressed(driven: Driven, level: Any) -> Pressed:
    """Return what the fluid does at levels."""
    level = np.asarray(level, float)
    shares = tuple(driven.shares(level))
    names = (line.name for line in driven.lines)
    return Pressed(
        level=level,
        pressures=dict(zip(names, driven.pressures(level), strict=True)),
        shares=shares,
        moved=sum(share.moved for share in shares),
        rod=driven.rod(level),
        left=driven.left(level),
    )


def level_of(driven: Driven, moved: Any) -> Any:
    """Return the level at which the rod has moved so far, mm."""

    def rod(level: Any) -> Any:
        return sum(share.moved for share in driven.shares(level))

    return rises_to(rod, moved, 0.0, UTMOST)


def rig_of(
    design: Design,
    pedal: str,
    *,
    values: Mapping[str, Any] = NOTHING,
    push: Push | None = None,
    dead: bool = False,
    lost: str = "",
) -> Rig:
    """Return a pedal with its brakes.

    Parameters
    ----------
    design : Design
    pedal : str
        Its name.
    values : mapping
        Numbers to use in place of the file's, by path, in internal units; of a default
        too.
    push : {"path", "leg"}, optional
        Which way the foot pushes; left out, along the leg where the file has a hip.
    dead : bool
        True for a booster without assist.
    lost : str
        The circuit of a tandem or on a bar that holds nothing; empty for none.

    Raises
    ------
    DesignError
        The pedal cannot stand at rest, or drives no cylinder that fills circuits.
    """
    owner = design.pedals[pedal]
    rest = at_rest(Places(design, values), owner)
    faults = [*rest.faults(), *drive_faults(design, owner)]
    hip = hip_of(design, push)
    faults += [*friction_faults(rest), *hip_faults(rest, hip)]
    if not faults and lost:
        faults += lost_faults(design, owner, lost)
    if faults:
        raise DesignError(faults)
    ledger = Ledger(rest.places)
    driven = driven_of(ledger, owner, dead=dead, lost=lost)
    return rigged(rest, driven, ledger, hip=hip)


def rigged(
    rest: PedalRest, driven: Driven, ledger: Ledger, *, hip: complex | None = None
) -> Rig:
    """Return a pedal at rest with what its rod drives."""
    vehicle = rest.places.design.vehicle
    road = None
    if vehicle is not None:
        road = Road(
            vehicle=vehicle_of(ledger, vehicle), tyres=tyres_of(ledger, vehicle)
        )
        if lifts := list(road_faults(rest.places.design, road.vehicle)):
            raise DesignError(lifts)
    whole = float(np.ravel(value(rest.travel))[0])
    limit = find_limit(rest, whole)
    travel = whole if limit is None else limit.travel * (1.0 - 1e-9)
    end = float(np.ravel(move(rest, np.array([travel])).end().v)[0])
    top, ends = _top(driven, end)
    return Rig(
        rest=rest,
        burden=bare_burden(rest),
        hip=hip,
        driven=driven,
        road=road,
        travel=travel,
        top=top,
        ends=ends,
        doubts=ledger.doubts,
    )


def _top(driven: Driven, end: float) -> tuple[float, Ends]:
    """Return the level at which something comes to its end, and what that is.

    Parameters
    ----------
    end : float
        What the pedal moves the rod or the bearing by, mm.
    """
    found: tuple[float, Ends] = float(level_of(driven, end)), "pedal at its end"
    by_stroke = float(rises_to(lambda x: -driven.left(x), 0.0, 0.0, UTMOST))
    if by_stroke < found[0]:
        found = by_stroke, "cylinder at its end"
    if isinstance(driven, Twin) and math.isfinite(driven.bar.tilt):
        by_bar = first_zero(driven.room, 0.0, found[0]) if found[0] > 0.0 else None
        if by_bar is not None:
            return by_bar, "bar at its stop"
    return found


def driven_end(driven: Driven) -> float:
    """Return the level at which a cylinder or the bar is at its end, N."""
    end = float(rises_to(lambda x: -driven.left(x), 0.0, 0.0, UTMOST))
    if isinstance(driven, Twin) and math.isfinite(driven.bar.tilt) and end > 0.0:
        by_bar = first_zero(driven.room, 0.0, min(end, _FARTHEST))
        return end if by_bar is None else by_bar
    return end


def bare_burden(rest: PedalRest) -> Burden:
    """Return what acts on a pedal besides its cylinder, whose seals the fluid has."""
    burden = burden_of(rest)
    rubbing = replace(burden.rubbing, seal=0.0, seal_share=0.0)
    return replace(burden, rubbing=rubbing)

"""What a regulation asks of a stop, and what a brake has for it."""

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.car.axles import order_room
from linkage.car.rig import Rig, State
from linkage.car.road import UTMOST
from linkage.car.stopping import GRAVITY, Rule, stop_distance
from linkage.faults import FootwellError


class Meeting(Struct, frozen=True, kw_only=True):
    """One rule against one brake.

    Attributes
    ----------
    rule : Rule
    missed : str
        Why it is not met, in words; empty where it is.
    effort, travel : float or None
        N and mm of the stop that it asks for; None where there is no such stop.
    best : float
        The most that the brake does within the rule's force and with both axles
        turning, m/s2.
    distance : float or None
        Of a stop from the rule's speed at that, m; None where the car is not braked
        at all.
    """

    rule: Rule
    missed: str
    effort: float | None
    travel: float | None
    best: float
    distance: float | None


def meet(rig: Rig, rule: Rule) -> Meeting:
    """Return what a brake has for a rule; a stop at which an axle locks is none.

    Parameters
    ----------
    rig : Rig
        In the state that the rule is about (its booster dead, a circuit lost).

    Raises
    ------
    FootwellError
        The file has no car.
    """
    if rig.road is None:
        raise FootwellError("a stopping distance needs the car")
    z = rule.deceleration / GRAVITY
    wanted = float(rig.road.level_for(rig.driven, z))
    most, why = _most(rig, rule)
    state = rig.state(np.array([min(wanted, rig.top), most]))
    reached = wanted <= rig.top and wanted < UTMOST
    best = _decelerations(state)[1] * GRAVITY
    return Meeting(
        rule=rule,
        missed="" if wanted <= most else why,
        effort=float(state.foot.effort[0]) if reached else None,
        travel=float(state.foot.travel[0]) if reached else None,
        best=best,
        distance=_distance(rule, best),
    )


def _distance(rule: Rule, best: float) -> float | None:
    if best <= 0.0:
        return None
    return float(stop_distance(rule.speed, best, rule.reaction * 3.6))


def _decelerations(state: State) -> list[float]:
    return [] if state.car is None else [float(z) for z in state.car.z]


def _most(rig: Rig, rule: Rule) -> tuple[float, str]:
    """Return the greatest level that a rule allows, and what it ends with."""
    hardest = rule.effort[1]
    foot = float(rig.level_of_foot(hardest))
    ends = [(rig.top, f"{rig.ends} before that")]
    if foot < rig.top:
        ends.append((foot, f"it takes more than {hardest:.0f} N"))
    ends += [
        (lock.level, f"the {lock.axle} wheels lock before that")
        for lock in rig.locks()[:1]
    ]
    return min(ends)


class RoadUse(Struct, frozen=True, kw_only=True, eq=False):
    """What each axle uses of the road while the car is braked harder and harder.

    Attributes
    ----------
    z : ndarray
        Deceleration on endless grip, in g0.
    front, rear : ndarray
        Drag / load.
    room : ndarray
        What is left until the rear uses more than it may: `axles.order_room`.
    """

    z: NDArray[np.float64]
    front: NDArray[np.float64]
    rear: NDArray[np.float64]
    room: NDArray[np.float64]


def road_use(rig: Rig, upto: float = 0.9, count: int = 91) -> RoadUse:
    """Return the use of the road, at even decelerations and at every knee of the brakes.

    Parameters
    ----------
    upto : float
        g0; no further than the rear wheels stay on the road.

    Raises
    ------
    FootwellError
        The file has no car.
    """
    if rig.road is None:
        raise FootwellError("the use of a road needs the car")
    road, driven = rig.road, rig.driven
    most = min(upto, float(road.vehicle.lifts) * 0.999)
    even = road.level_for(driven, np.linspace(most / count, most, count), endless=True)
    knees = np.array([x for x in driven.knees() if 0.0 < x < np.max(even)])
    levels = np.unique(np.concatenate([even, knees]))
    z, front, rear = road.vehicle.used(*road.brakes(driven, levels))
    return RoadUse(z=z, front=front, rear=rear, room=order_room(z, front, rear))

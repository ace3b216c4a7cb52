"""What a regulation asks of a stop, and what a brake has for it."""

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.car.axles import ORDER, order_room
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
    """What each axle uses of the road where the order of the axles is looked at.

    Attributes
    ----------
    z : ndarray
        Deceleration on endless grip, in g0, rising.
    front, rear : ndarray
        Drag / load.
    room : ndarray
        What is left until the rear uses more than it may: `axles.order_room`.
    whole : bool
        False where the brakes do not come to the end of the range on any road.
    """

    z: NDArray[np.float64]
    front: NDArray[np.float64]
    rear: NDArray[np.float64]
    room: NDArray[np.float64]
    whole: bool


def road_use(rig: Rig, count: int = 66) -> RoadUse:
    """Return the use of the road in the range of `axles.ORDER`.

    At even decelerations, both ends in, and at every knee of the brakes; no further
    than the rear wheels stay on the road, nor than the brakes go.

    Raises
    ------
    FootwellError
        The file has no car.
    """
    if rig.road is None:
        raise FootwellError("the use of a road needs the car")
    road, driven = rig.road, rig.driven
    low, most = ORDER[0], min(ORDER[1], float(road.vehicle.lifts) * 0.999)
    even = np.linspace(low, most, count) if low < most else np.empty(0)
    levels = np.asarray(road.level_for(driven, even, endless=True))
    whole = bool(np.all(levels < UTMOST))
    even, levels = even[levels < UTMOST], levels[levels < UTMOST]
    top = np.max(levels, initial=0.0)
    knees = [x for x in driven.knees() if np.min(levels, initial=top) < x < top]
    levels = np.concatenate([levels, knees])
    made, front, rear = road.vehicle.used(*road.brakes(driven, levels))
    z = np.concatenate([even, made[len(even) :]])
    order = np.argsort(z, kind="stable")
    z, front, rear = z[order], front[order], rear[order]
    room = order_room(z, front, rear)
    return RoadUse(z=z, front=front, rear=rear, room=room, whole=whole)

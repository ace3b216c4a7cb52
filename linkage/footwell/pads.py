"""Pads side by side: the gap between their edges, and the step between their faces.

Of two neighbours the left one is nearer to the driver's left. A step is fore and aft,
from point to point of the faces: above 0 where the left pad is nearer to the driver.
"""

import math
from itertools import pairwise

import numpy as np
from msgspec import Struct

from linkage.design.records import Design
from linkage.footwell.moving import place_across, wide
from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import move
from linkage.places import Places
from solvers.jet import value
from solvers.root import first_zero


class PadGap(Struct, frozen=True, kw_only=True, eq=False):
    """Two pads side by side.

    Attributes
    ----------
    left, right : str
        Their pedals.
    edge : float
        Between their edges across the car, mm; below 0 where they overlap.
    step : float
        With both at rest, mm.
    left_full, right_full : float
        The step with the one at full and the other at rest.
    level : float or None
        Travel of the nearer pad at which both faces are level, the other at rest.
    """

    left: str
    right: str
    edge: float
    step: float
    left_full: float
    right_full: float
    level: float | None


def pad_gaps(design: Design) -> tuple[PadGap, ...]:
    """Return every two neighbouring pads whose places across the car are known."""
    places = Places(design)
    placed = [
        (at, at_rest(places, pedal))
        for pedal in design.pedals.values()
        if (at := place_across(pedal, "pad")) is not None
    ]
    sound = [(at, rest) for at, rest in placed if np.all(rest.sound())]
    rows = sorted(sound, key=lambda row: row[0])
    return tuple(_between(*one, *other) for one, other in pairwise(rows))


def _between(at: float, left: PedalRest, there: float, right: PedalRest) -> PadGap:
    edge = there - at - 0.5 * (wide(left.pedal) + wide(right.pedal))
    near, far = _face(left, 0.0), _face(right, 0.0)
    return PadGap(
        left=left.pedal.name,
        right=right.pedal.name,
        edge=edge,
        step=far - near,
        left_full=far - _face(left, math.inf),
        right_full=_face(right, math.inf) - near,
        level=_level(left, far) if near < far else _level(right, near),
    )


def _whole(rest: PedalRest) -> float:
    return float(np.ravel(value(rest.travel))[0])


def _face(rest: PedalRest, travel: float) -> float:
    """Return how far forward the pad's point is, at a travel no greater than full."""
    run = move(rest, np.array([min(travel, _whole(rest))]))
    return float(value(run.arm.carry(rest.pad))[0].real)


def _level(rest: PedalRest, x: float) -> float | None:
    """Return the travel at which a pad's point has come forward to ``x``."""
    return first_zero(
        lambda s: x - np.real(value(move(rest, s).arm.carry(rest.pad))),
        0.0,
        _whole(rest),
    )

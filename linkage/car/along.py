"""What a brake does at each place of its pad's travel, pressed gently from rest.

The columns of a sweep that rest on fluid, friction and the car; the others describe the
bare mechanism. They have no value beyond the place where the pedal or its cylinder is
at its end.
"""

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from linkage.car.rig import Rig, pressed, rig_of
from linkage.design.records import Design
from linkage.faults import DesignError
from linkage.places import NOTHING


class Told(NamedTuple):
    """Values of one column, with their unit."""

    unit: str
    values: NDArray[np.float64]


def along(
    design: Design, pedal: str, travel: Any, *, values: Mapping[str, Any] = NOTHING
) -> dict[str, Told]:
    """Return what a brake does at places of the travel.

    Parameters
    ----------
    travel : array_like, shape (n,)
        mm.
    values : mapping
        Numbers to use in place of the file's, by path, in internal units.

    Returns
    -------
    dict of str to Told
        ``foot_force`` (N), ``front_pressure`` (MPa) and the like, a circuit each, and
        ``deceleration`` (g0) where the file has a car; nan where the brake is at its
        end. Empty for a pedal of which the fluid tells nothing.
    """
    try:
        rig = rig_of(design, pedal, values=values)
    except DesignError:
        return {}
    places = np.asarray(travel, float)
    there = (places >= 0.0) & (places <= rig.travel)
    places = np.where(there, places, 0.0)
    level = rig.level_of_travel(places)
    there &= level <= rig.top
    return {
        name: Told(unit, np.where(there, found, np.nan) + 0.0)
        for name, unit, found in _columns(rig, places, np.minimum(level, rig.top))
    }


def _columns(rig: Rig, travel: Any, level: Any) -> Iterator[tuple[str, str, Any]]:
    fluid = pressed(rig.driven, level)
    yield "foot_force", "N", rig.effort(travel, fluid.rod)
    for name, size in fluid.pressures.items():
        yield f"{name}_pressure", "MPa", size
    if rig.road is not None:
        yield "deceleration", "g0", rig.road.braked(rig.driven, level).z

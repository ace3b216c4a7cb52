"""The car behind the pistons: brake forces, deceleration and locks for a level."""

from typing import Any

import numpy as np
from msgspec import Struct

from linkage.car.axles import Lock, Vehicle, locks
from linkage.car.lines import Tyres
from linkage.car.twin import Driven
from solvers.monotone import rises_to

#: N; no foot and no booster pushes a piston as hard.
UTMOST = 1e6


class Braked(Struct, frozen=True, kw_only=True, eq=False):
    """What the car does on a level road.

    Attributes
    ----------
    z : ndarray
        Deceleration, in g0.
    front, rear : ndarray
        Drag of both wheels of an axle, N: what the road lets the brakes do.
    used_front, used_rear : ndarray
        Drag / load; the grip itself on an axle that has locked.
    """

    z: Any
    front: Any
    rear: Any
    used_front: Any
    used_rear: Any


class Road(Struct, frozen=True, kw_only=True, eq=False):
    """The car in numbers, with its tyres."""

    vehicle: Vehicle
    tyres: Tyres

    def brakes(self, driven: Driven, level: Any) -> tuple[Any, Any]:
        """Return the brake forces of front and rear on endless grip, N."""
        found = []
        pressures = driven.pressures(level)
        for axle, radius in (("front", self.tyres.front), ("rear", self.tyres.rear)):
            torque: Any = 0.0 * np.asarray(level, float)
            for line, pressure in zip(driven.lines, pressures, strict=True):
                torque = torque + line.torque(pressure, axle)  # type: ignore[arg-type]
            found.append(torque / radius)
        return found[0], found[1]

    def braked(self, driven: Driven, level: Any) -> Braked:
        """Return what the car does."""
        brakes = self.brakes(driven, level)
        z, front, rear = self.vehicle.held(*brakes)
        used_front, used_rear = (
            np.minimum(drag / load, self.vehicle.grip)
            for drag, load in zip((front, rear), self.vehicle.loads(z), strict=True)
        )
        return Braked(
            z=z, front=front, rear=rear, used_front=used_front, used_rear=used_rear
        )

    def locks(self, driven: Driven) -> tuple[Lock, ...]:
        """Return which axles lock, in order, and at what level."""
        knees = {knee for knee in driven.knees() if knee < UTMOST}
        levels = np.array(sorted({0.0, *knees, UTMOST}))
        return locks(self.vehicle, levels, *self.brakes(driven, levels))

    def level_for(self, driven: Driven, z: Any, *, endless: bool = False) -> Any:
        """Return the level of a deceleration; `UTMOST` where there is none.

        Parameters
        ----------
        endless : bool
            True for a road that holds whatever the brakes do.
        """

        def reached(level: Any) -> Any:
            if endless:
                return sum(self.brakes(driven, level)) / self.vehicle.weight
            return self.braked(driven, level).z

        return rises_to(reached, z, 0.0, UTMOST)

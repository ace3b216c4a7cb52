"""Two axles on a road: loads while braking, who locks first, what the grip is used for.

Forces N; deceleration z in units of g0. The car is stiff, its brakes and tyres alone
hold it; slope, air, engine and turning masses are left out.
"""

from typing import Any, Literal

import numpy as np
from msgspec import Struct

from solvers.monotone import first_reach

Axle = Literal["front", "rear"]


class Vehicle(Struct, frozen=True, kw_only=True, eq=False):
    """A car in numbers.

    Attributes
    ----------
    weight : float
        N.
    front : float
        Share of it on the front axle at rest.
    rise : float
        Height of the centre of gravity / wheelbase.
    grip : float
        The most that a tyre drags / presses with.
    """

    weight: Any
    front: Any
    rise: Any
    grip: Any = 1.0

    def loads(self, z: Any) -> tuple[Any, Any]:
        """Return what front and rear axle press with at a deceleration, N."""
        shifted = self.rise * np.asarray(z)
        return self.weight * (self.front + shifted), self.weight * (
            1.0 - self.front - shifted
        )

    @property
    def lifts(self) -> Any:
        """Return the deceleration at which the rear wheels leave the road."""
        return (1.0 - self.front) / self.rise

    def used(self, front: Any, rear: Any) -> tuple[Any, Any, Any]:
        """Return (z, front, rear): deceleration, and drag / load of each axle.

        Parameters
        ----------
        front, rear : float or ndarray
            Brake forces at the road, all wheels still turning, N.
        """
        z = np.add(front, rear) / self.weight
        loads = self.loads(z)
        return z, np.divide(front, loads[0]), np.divide(rear, loads[1])

    def held(self, front: Any, rear: Any) -> tuple[Any, Any, Any]:
        """Return (z, front, rear): what the road lets the brakes do.

        Parameters
        ----------
        front, rear : float or ndarray
            What the brakes would do on endless grip, N.

        Notes
        -----
        A locked axle drags with grip x load. Of the four states (nobody, one, the
        other, both locked) one is consistent: sum of drags less z x weight falls with
        z, so where several fit they are the same.
        """
        front, rear = np.broadcast_arrays(np.asarray(front, float), rear)
        grip, weight = self.grip, self.weight
        states = np.stack(
            [
                (front + rear) / weight,
                (grip * self.front + rear / weight) / (1.0 - grip * self.rise),
                (front / weight + grip * (1.0 - self.front)) / (1.0 + grip * self.rise),
                np.full(front.shape, grip),
            ]
        )
        drags = [
            np.minimum(force, grip * load)
            for force, load in zip((front, rear), self.loads(states), strict=True)
        ]
        off = np.abs((drags[0] + drags[1]) / weight - states)
        which = np.argmin(off, axis=0)[None]
        z, a, b = (np.take_along_axis(each, which, 0)[0] for each in (states, *drags))
        return z, a, b


class Lock(Struct, frozen=True, kw_only=True):
    """An axle that locks: at what level of pressing, and at what deceleration."""

    axle: Axle
    level: float
    z: float


def locks(vehicle: Vehicle, level: Any, front: Any, rear: Any) -> tuple[Lock, ...]:
    """Return the axles that lock while the level rises, in order; none, one or two.

    Parameters
    ----------
    vehicle : Vehicle
    level : array_like, shape (n,)
        Rising: of pressure, or of force; every knee of the forces is among its points.
    front, rear : array_like, shape (n,)
        Brake forces at these levels on endless grip, straight between them, N.

    Notes
    -----
    Exact for straight pieces: force less grip x load is straight too. Beyond the first
    lock that axle drags with grip x load, so the other locks where the deceleration
    comes to the grip itself.
    """
    forces = {"front": np.asarray(front, float), "rear": np.asarray(rear, float)}
    z = (forces["front"] + forces["rear"]) / vehicle.weight
    loads = dict(zip(forces, vehicle.loads(z), strict=True))
    found: list[tuple[float, Axle]] = []
    for axle in ("front", "rear"):
        over = forces[axle] - vehicle.grip * loads[axle]
        at = first_reach(level, over)
        if at is not None:
            found.append((at, axle))
    if not found:
        return ()
    at, axle = min(found)
    first = Lock(axle=axle, level=at, z=float(np.interp(at, level, z)))
    other: Axle = "rear" if axle == "front" else "front"
    last = vehicle.loads(vehicle.grip)[0 if other == "front" else 1]
    at_last = first_reach(level, forces[other], float(vehicle.grip * last))
    if at_last is None:
        return (first,)
    second = Lock(axle=other, level=max(at, at_last), z=float(vehicle.grip))
    return first, second


# ------------------------------------------------------- what the regulations ask


#: 71/320/EEC annex II appendix 3.1.1: the front uses more of the road than the rear for
#: 0.15 <= z <= 0.8; for 0.3 <= z <= 0.45 the rear may use up to z + 0.05.
ORDER, SPARED, SPARE = (0.15, 0.8), (0.3, 0.45), 0.05


def order_room(z: Any, front: Any, rear: Any) -> Any:
    """Return what is left until the rear uses more of the road than it may.

    Parameters
    ----------
    z, front, rear : float or ndarray
        As `Vehicle.used` gives them.

    Returns
    -------
    float or ndarray
        Below 0 where the order is wrong; infinite outside the range that counts.
    """
    z = np.asarray(z, float)
    room = np.subtract(front, rear)
    spared = (z >= SPARED[0]) & (z <= SPARED[1])
    room = np.where(spared, np.maximum(room, z + SPARE - rear), room)
    return np.where((z >= ORDER[0]) & (z <= ORDER[1]), room, np.inf)

"""One pedal with many holes, carried all together: rows are holes, columns are bores.

Arm, springs and rubbing stay those of the pedal as it is.
"""

from typing import Any

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from linkage.car.pistons import Piston
from linkage.car.rig import UTMOST, Rig
from linkage.design.records import Cartesian
from linkage.design.values import Value
from linkage.ladder.holes import Hole
from linkage.loads.equilibrium import Load, forces
from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import Run, move
from linkage.places import Places
from solvers.jet import value
from solvers.monotone import rises_to

Floats = NDArray[np.float64]
#: Places at which a hole's swing is looked at before anything is asked of it.
LOOKS = 65


class Swing:
    """One pedal with many holes, shape (holes, 1), carried all together."""

    def __init__(self, rig: Rig, holes: tuple[Hole, ...]) -> None:
        self.rig = rig
        self.whole = float(np.ravel(value(rig.rest.travel))[0])
        self.rest = _drilled(rig, np.array([[hole.at] for hole in holes]))
        looked = self._moved(
            np.broadcast_to(np.linspace(0.0, self.whole, LOOKS), (len(holes), LOOKS))
        )
        steps = np.diff(looked, axis=1)
        #: Which holes carry the pad to its stop without turning the rod back.
        self.swings = np.all(np.isfinite(looked), axis=1) & np.all(steps >= 0.0, axis=1)
        self.last = np.where(self.swings, looked[:, -1], 0.0)[:, None]

    def _moved(self, travel: Floats) -> Floats:
        with np.errstate(divide="ignore", invalid="ignore"):
            found = move(self.rest, travel).last.end().v
        return np.asarray(np.broadcast_to(found, travel.shape), float)

    def run(self, pad: Floats) -> Run:
        """Return all holes at places of the pad, shape (holes, n)."""
        with np.errstate(divide="ignore", invalid="ignore"):
            return move(self.rest, pad)

    def pad(self, moved: Any) -> Floats:
        """Return the travel of the pad for movements of the rod, mm."""
        moved = np.broadcast_to(
            moved, np.broadcast_shapes(self.last.shape, np.shape(moved))
        )
        return np.asarray(rises_to(self._moved, moved, 0.0, self.whole))

    def effort(self, run: Run, rod: Any) -> Any:
        """Return what the foot pushes with for forces in the rod, N."""
        load = Load(of="end", size=np.broadcast_to(rod, np.shape(run.travel.v)))
        return forces(run, self.rig.burden, load, hip=self.rig.hip).effort

    def pressed(self, piston: Piston, level: Any) -> tuple[Floats, NDArray[np.str_]]:
        """Return the travel of the pad at a level, and why it cannot be had."""
        level = np.asarray(level, float)
        moved = sum(share.moved for share in piston.shares(level))
        pad = self.pad(moved)
        ends = np.full(pad.shape, "", dtype="<U40")
        ends[np.broadcast_to(moved > self.last, pad.shape)] = "pedal at its end"
        full = piston.left(level) < 0.0
        ends[np.broadcast_to(full, pad.shape)] = "cylinder at its end"
        ends[np.broadcast_to(level >= UTMOST, pad.shape)] = "not on this road"
        ends[~self.swings] = "the pedal locks or turns back"
        return pad, ends

    def top(self, piston: Piston) -> Floats:
        """Return the level at which pedal or cylinder comes to its end."""
        shape = (len(self.last), np.size(piston.master.first))

        def moved(level: Any) -> Any:
            return sum(share.moved for share in piston.shares(level))

        wanted = np.broadcast_to(self.last, shape)
        by_pedal = rises_to(moved, wanted, 0.0, UTMOST)
        none = np.zeros(shape)
        by_stroke = rises_to(lambda x: -piston.left(x) + none, none, 0.0, UTMOST)
        return np.asarray(np.minimum(by_pedal, by_stroke), float)


def _drilled(rig: Rig, at: NDArray[np.complex128]) -> PedalRest:
    """Return the pedal at rest with holes in place of the present one."""
    places, pedal = rig.rest.places, rig.rest.pedal
    x, z = (Value(path=f"{pedal.name}.clevis.hole.{key}") for key in "xz")
    moved = replace(pedal, points={**pedal.points, "clevis": Cartesian(x=x, z=z)})
    design = replace(places.design, pedals={**places.design.pedals, pedal.name: moved})
    with np.errstate(divide="ignore", invalid="ignore"):
        return at_rest(Places(design, {x.path: at.real, z.path: at.imag}), moved)

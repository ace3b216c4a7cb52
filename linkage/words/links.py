"""The links of a pedal and the cylinder at its end, as sentences need them."""

import numpy as np

from linkage.motion.rest import PedalRest
from linkage.parts.cylinder import Cylinder, CylinderRest
from linkage.parts.lever import LeverRest
from linkage.sweeping import Sweep
from solvers.jet import value


def ends_of(rest: PedalRest) -> tuple[tuple[str, int], ...]:
    """Return (name, index in the train) of each cylinder that ends it; a bar has two."""
    train = rest.pedal.train
    last = range(len(train))[-1 if rest.bar is None else -2 :]
    return tuple((train[i].branch, i) for i in last if isinstance(train[i], Cylinder))


def column_of(branch: str, name: str) -> str:
    """Return what a column of one cylinder is called: "stroke", "front_stroke"."""
    return f"{branch}_{name}" if branch else name


def cylinder_of(swept: Sweep, index: int = -1) -> Cylinder:
    """Return a cylinder that ends the train (there is a stroke column)."""
    part = swept.rest.pedal.train[index]
    if not isinstance(part, Cylinder):
        raise TypeError("no cylinder ends this train")
    return part


def cylinder_rest(rest: PedalRest, index: int = -1) -> CylinderRest:
    """Return the same at rest, in numbers."""
    part = rest.parts[index]
    if not isinstance(part, CylinderRest):
        raise TypeError("no cylinder ends this train")
    return part


def rod_of(swept: Sweep, index: int = -1) -> float:
    """Return the length of its rod, mm."""
    return float(np.ravel(value(cylinder_rest(swept.rest, index).rod))[0])


def link_pushes(rest: PedalRest, index: int) -> bool:
    """Return True where the link into part ``index`` is pushed at rest."""
    part = rest.parts[index]
    if isinstance(part, CylinderRest):
        far, drive = value(part.seat), part.drive
    elif isinstance(part, LeverRest) and part.run is None:
        far, drive = value(part.pivot) + value(part.arm), part.drive
    else:
        return False
    towards = far - value(drive.hole)
    return bool(np.ravel((drive.velocity() * np.conj(towards)).real)[0] > 0.0)


def tip_way(rest: PedalRest, index: int = -1) -> complex:
    """Return the unit vector along a cylinder's axis from the hole to the rod's end."""
    part = cylinder_rest(rest, index)
    return complex(np.ravel(value(part.axis))[0]) * part.part.sign

"""The links of a pedal and the cylinder at its end, as sentences need them."""

import numpy as np

from linkage.motion.rest import PedalRest
from linkage.parts.cylinder import Cylinder, CylinderRest
from linkage.parts.lever import LeverRest
from linkage.sweeping import Sweep
from solvers.jet import value


def cylinder_of(swept: Sweep) -> Cylinder:
    """Return the cylinder that ends the train (there is a stroke column)."""
    part = swept.rest.pedal.train[-1]
    if not isinstance(part, Cylinder):
        raise TypeError("no cylinder ends this train")
    return part


def cylinder_rest(rest: PedalRest) -> CylinderRest:
    """Return the same at rest, in numbers."""
    part = rest.parts[-1]
    if not isinstance(part, CylinderRest):
        raise TypeError("no cylinder ends this train")
    return part


def rod_of(swept: Sweep) -> float:
    """Return the length of its rod, mm."""
    return float(np.ravel(value(cylinder_rest(swept.rest).rod))[0])


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


def tip_way(rest: PedalRest) -> complex:
    """Return the unit vector along a cylinder's axis from the hole to the rod's end."""
    part = cylinder_rest(rest)
    return complex(np.ravel(value(part.axis))[0]) * part.part.sign

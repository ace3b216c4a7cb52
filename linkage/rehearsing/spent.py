"""Where a pedal stands when something is at its end: cylinder, bar, stop, or a touch.

A cylinder may be used up before there is any pressure: then its piston stands at its
end, and the rod has not moved all that the fluid would have taken.
"""

import numpy as np
from msgspec.structs import replace

from linkage.car.rig import Rig
from linkage.car.twin import Alone, Driven, Twin

#: Just short of the pad's whole travel.
_SHORT = 1.0 - 1e-9


def pad_at_end(rig: Rig) -> float:
    """Return where the pad is as the first thing comes to its end, mm."""
    moved = rig.state(np.array([rig.top])).fluid.moved
    over = _beyond(rig.driven) if rig.top <= 0.0 else 0.0
    return float(rig.pad(moved - over)[0])


def _beyond(driven: Driven) -> float:
    """Return what a rod would move beyond its cylinder's end without pressure, mm."""
    if isinstance(driven, Twin):
        return float(sum(share * _beyond(each) for share, each in driven.sides))
    share = float(driven.share) if isinstance(driven, Alone) else 1.0
    return share * max(-float(driven.left(0.0)), 0.0)


def named_end(rig: Rig) -> Rig:
    """Return a rig that tells its cylinder's end from the pedal's, pressure or none."""
    by_pedal = rig.ends == "pedal at its end"
    if by_pedal and rig.top <= 0.0 and pad_at_end(rig) < rig.travel * _SHORT:
        return replace(rig, ends="cylinder at its end")
    return rig


def held_at(rig: Rig, level: float, what: str) -> Rig:
    """Return a rig that goes no farther than a level, N, and what holds it there."""
    return replace(rig, top=level, ends=what)

"""What no key of a file lets this program check, and what is missing for each.

Data alone: nothing here is looked at. What comes to be worked out goes from here to the
file of its subject.
"""

from collections.abc import Callable

from msgspec import Struct

from linkage.findings.facts import Facts
from linkage.findings.records import Lack
from linkage.findings.stopping import is_brake


class Beyond(Struct, frozen=True, kw_only=True, eq=False):
    """One thing that is not checked, whatever the file says.

    Attributes
    ----------
    name : str
        What people call it.
    lack : Lack
        What is missing; no key gives it.
    for_pedal : callable
        Facts -> whether it is about such a pedal at all.
    """

    name: str
    lack: Lack
    for_pedal: Callable[[Facts], bool] = lambda _: True


def _has_cylinder(facts: Facts) -> bool:
    return facts.cylinder is not None


def _is_clutch(facts: Facts) -> bool:
    return facts.pedal.duty == "clutch"


HEIGHTS = Lack(what="no key says how high the calipers stand")
STRENGTH = Lack(
    what="what an arm's metal bears, and how far arm and bracket give way, is not "
    "worked out"
)
BUSH = Lack(what="no key says how long its bush is, and how loose")
LEGS = Lack(what="no key says how long the driver's thigh and shin are")
ROD = Lack(
    what="no key says how much thread its rod has, or how wide the bore's mouth is"
)
RELEASE = Lack(what="no key says what load and lift the clutch's release takes")

BEYOND: tuple[Beyond, ...] = (
    Beyond(name="Cylinder below its calipers", lack=HEIGHTS, for_pedal=is_brake),
    Beyond(name="Arm stress at 2000 N, middle, edge, sideways", lack=STRENGTH),
    Beyond(name="Pad gives way at 500 N", lack=STRENGTH),
    Beyond(name="Side play at the pad", lack=BUSH),
    Beyond(name="Ankle and knee", lack=LEGS),
    Beyond(name="Thread in the rod's ends", lack=ROD, for_pedal=_has_cylinder),
    Beyond(name="Rod clear of the bore's mouth", lack=ROD, for_pedal=_has_cylinder),
    Beyond(name="Clutch lift, new and worn disc", lack=RELEASE, for_pedal=_is_clutch),
    Beyond(name="Clutch foot force", lack=RELEASE, for_pedal=_is_clutch),
)

"""A balance bar: one push shared by two rods, front and rear.

The bar lies across the car and turns about a bearing at its middle or ``shift`` off it.
Rods stay parallel to the axis: what the bearing moves is the straight mean of its ends,
and a tilt changes no share while bearing and rod ends stand in one line.
"""

import math
from typing import Any, Literal

import numpy as np
from msgspec import Struct

Side = Literal["front", "rear"]


class Bar(Struct, frozen=True, kw_only=True, eq=False):
    """A bar in numbers.

    Attributes
    ----------
    spacing : float
        Rod to rod, mm.
    shift : float
        Of the bearing from the middle, towards the front rod, mm.
    tilt : float
        What it can turn either way, rad.
    longer : float
        By how much the front rod is longer than one that holds the bar square at
        rest, mm.
    """

    spacing: Any
    shift: Any = 0.0
    tilt: Any = math.inf
    longer: Any = 0.0

    @property
    def share(self) -> Any:
        """Return the front rod's share of the push."""
        return 0.5 + np.divide(self.shift, self.spacing)

    def share_of(self, side: Side) -> Any:
        """Return the share of one side."""
        return self.share if side == "front" else 1.0 - self.share

    def shift_for(self, share: Any) -> Any:
        """Return the shift, mm, that gives the front so much of the push."""
        return self.spacing * np.subtract(share, 0.5)

    def middle(self, front: Any, rear: Any) -> Any:
        """Return how far the bearing has moved, mm, for the movement of both rods."""
        return self.share * front + (1.0 - self.share) * rear

    def tilted(self, front: Any, rear: Any) -> Any:
        """Return the tilt, rad, plus where the front rod is farther on than the rear.

        nan where one rod is farther ahead than the bar is long.
        """
        with np.errstate(invalid="ignore"):
            return np.arcsin((np.subtract(front, rear) - self.longer) / self.spacing)

    def square(self, front: Any, rear: Any) -> Any:
        """Return by how much longer the front rod has to be for a square bar, mm.

        Parameters
        ----------
        front, rear : float or ndarray
            What each piston has moved at the load that is to find the bar square.
        """
        return np.subtract(front, rear)


class Swing(Struct, frozen=True, kw_only=True, eq=False):
    """Where a bar goes when one of its circuits is lost.

    Attributes
    ----------
    middle : float
        What the bearing has moved, mm.
    dead : float
        What the dead piston has moved, mm.
    tilt : float
        rad, plus with the front rod ahead.
    share : float
        Of the push on the rod that still holds.
    stops : {"piston", "bar"}
        What the dead side came to rest on: its piston at its end, or the bar at its
        stop, which then takes no force along the axis.
    """

    middle: float
    dead: float
    tilt: float
    share: float
    stops: Literal["piston", "bar"]


def swing(bar: Bar, lost: Side, live: float, end: float) -> Swing:
    """Return where a bar goes when one circuit is lost.

    Parameters
    ----------
    lost : {"front", "rear"}
    live : float
        What the piston that still holds has moved, mm.
    end : float
        What the dead piston can move, mm; infinite where not known.

    Notes
    -----
    A dead piston holds nothing, so the bar turns until its piston meets its end or the
    bar its stop. From the piston's end the push is shared as ever; from the stop all
    of it goes to the live rod, and the stop bears the moment.
    """
    way = 1.0 if lost == "front" else -1.0
    most = bar.spacing * math.sin(min(bar.tilt, 0.5 * math.pi))
    at_stop = live + most + way * bar.longer
    stops: Literal["piston", "bar"] = "piston" if end <= at_stop else "bar"
    dead = min(end, at_stop)
    front, rear = (dead, live) if lost == "front" else (live, dead)
    left: Side = "rear" if lost == "front" else "front"
    return Swing(
        middle=float(bar.middle(front, rear)),
        dead=float(dead),
        tilt=float(bar.tilted(front, rear)),
        share=float(bar.share_of(left)) if stops == "piston" else 1.0,
        stops=stops,
    )

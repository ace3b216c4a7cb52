"""Stopping distances: laws of motion, and what the regulations ask.

In the units of the rules: speeds km/h, distances m, decelerations m/s2.
"""

from typing import Any

import numpy as np
from msgspec import Struct

from linkage import units

#: m/s2; the older European annexes count with 10.
GRAVITY = float(units.GRAVITY)
#: 2 x 3.6 x 3.6: from km/h squared over m to m/s2.
_TWICE = 25.92


class Rule(Struct, frozen=True, kw_only=True):
    """One clause: S <= reaction V + factor V^2.

    Attributes
    ----------
    name, source : str
        What it is about; where it stands, and how well that is known.
    factor : float
        m for each (km/h)^2.
    speed : float
        The test's, km/h.
    effort : tuple of float or None
        Least and most force on the pedal, N.
    reaction : float
        m for each km/h.
    """

    name: str
    source: str
    factor: float
    speed: float = 100.0
    effort: tuple[float, float] = (65.0, 500.0)
    reaction: float = 0.10

    @property
    def distance(self) -> float:
        """Return the longest stop from the test's speed, m."""
        return self.distance_from(self.speed)

    def distance_from(self, speed: float) -> float:
        """Return the longest stop from another speed, km/h; m."""
        return self.reaction * speed + self.factor * speed * speed

    @property
    def deceleration(self) -> float:
        """Return the mean deceleration that it amounts to, m/s2."""
        return 1.0 / (_TWICE * self.factor)


#: FMVSS 135 (49 CFR 571.135). S7.5 and S7.11 as read in letters of the US regulator;
#: the other rows, and 65 N, are from memory. S7.11 has no least force (second-hand).
RULES: dict[str, Rule] = {
    "cold": Rule(
        name="cold stop",
        source="FMVSS 135 S7.5 (70 m and 500 N read; 65 N from memory)",
        factor=0.0060,
    ),
    "fast": Rule(
        name="stop from high speed",
        source="FMVSS 135 S7.6 (from memory)",
        factor=0.0067,
    ),
    "hot": Rule(name="hot stop", source="FMVSS 135 S7.14 (from memory)", factor=0.0079),
    "valve failed": Rule(
        name="proportioning failed",
        source="FMVSS 135 S7.9 (from memory)",
        factor=0.0100,
    ),
    "circuit lost": Rule(
        name="one circuit lost",
        source="FMVSS 135 S7.10 (from memory)",
        factor=0.0158,
    ),
    "booster dead": Rule(
        name="power unit dead",
        source="FMVSS 135 S7.11 (168 m read; no least force, second-hand)",
        factor=0.0158,
        effort=(0.0, 500.0),
    ),
    "secondary, older": Rule(
        name="secondary braking, M1",
        source="UN R13 annex 4, 2.2 (read)",
        factor=2.0 / 150.0,
        speed=80.0,
        effort=(0.0, 500.0),
    ),
    "service, older": Rule(
        name="service braking, M1",
        source="UN R13 annex 4 (from memory)",
        factor=1.0 / 150.0,
        speed=80.0,
        effort=(0.0, 500.0),
    ),
}


def stop_distance(speed: Any, deceleration: Any, delay: Any = 0.36) -> Any:
    """Return the distance of a stop, m.

    Parameters
    ----------
    speed : float or ndarray
        km/h.
    deceleration : float or ndarray
        Steady, m/s2.
    delay : float or ndarray
        s before it is there; 0.36 s is the 0.10 V of the regulations.
    """
    return np.multiply(speed, delay) / 3.6 + np.square(speed) / (
        _TWICE * np.asarray(deceleration)
    )

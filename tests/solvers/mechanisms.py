"""Textbook mechanisms as systems, and their closed forms by complex numbers.

The closed forms here share no line with the solver: circles cut by hand.
"""

import cmath
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solvers.rows import Along, Carried, Length
from solvers.system import System, assemble

Vector = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class FourBar:
    """Crank a at 0, coupler b, rocker c at d on the x axis; all turned by ``tilt``.

    ``side`` is +1 where the coupler's hole lies left of the line crank hole -> rocker
    pivot.
    """

    a: float
    b: float
    c: float
    d: float
    side: float = 1.0
    tilt: float = 0.0
    at: complex = 0.0

    def crank(self, theta: float) -> complex:
        return self.at + self.a * cmath.exp(1j * (theta + self.tilt))

    @property
    def ground(self) -> complex:
        return self.at + self.d * cmath.exp(1j * self.tilt)

    def hole(self, theta: float) -> complex:
        """Where circle b round the crank hole cuts circle c round the pivot."""
        base = self.ground - self.crank(theta)
        size = abs(base)
        x = (size**2 + self.b**2 - self.c**2) / (2.0 * size)
        height = math.sqrt(self.b**2 - x**2)
        return self.crank(theta) + base / size * complex(x, self.side * height)

    def rocker(self, theta: float) -> float:
        """Angle of the rocker, rad, as the figures draw it."""
        return cmath.phase(
            (self.hole(theta) - self.ground) * cmath.exp(-1j * self.tilt)
        )

    def coupler(self, theta: float) -> float:
        span = self.hole(theta) - self.crank(theta)
        return cmath.phase(span * cmath.exp(-1j * self.tilt))

    def limits(self) -> list[float]:
        """Crank angles in (0, pi) where coupler and rocker are in one line."""
        top = self.a**2 + self.d**2
        cosines = [
            (top - reach**2) / (2.0 * self.a * self.d)
            for reach in (self.b + self.c, self.b - self.c)
        ]
        return [math.acos(k) for k in cosines if abs(k) < 1.0]

    def system(self) -> System:
        return assemble(
            points=("o", "g", "a", "b"),
            numbers=("turn",),
            held=("o", "g"),
            rows=(
                Carried(a="o", b="a", turn="turn", arm=self.crank(0.0) - self.at),
                Length(a="a", b="b", length=self.b),
                Length(a="b", b="g", length=self.c),
            ),
        )

    def start(self, theta: float, hole: complex) -> Vector:
        values = {"o": self.at, "g": self.ground, "a": self.crank(theta), "b": hole}
        return self.system().state({**values, "turn": theta})


@dataclass(frozen=True, kw_only=True)
class SliderCrank:
    """Crank a at 0, rod b, slider on the line at height ``offset``, turned by ``tilt``.

    ``side`` is +1 where the slider lies ahead of the crank's hole.
    """

    a: float
    b: float
    offset: float = 0.0
    side: float = 1.0
    tilt: float = 0.0

    def crank(self, theta: float) -> complex:
        return self.a * cmath.exp(1j * (theta + self.tilt))

    def along(self, theta: float) -> float:
        rise = self.a * math.sin(theta) - self.offset
        return self.a * math.cos(theta) + self.side * math.sqrt(self.b**2 - rise**2)

    def slider(self, theta: float) -> complex:
        return complex(self.along(theta), self.offset) * cmath.exp(1j * self.tilt)

    def limits(self) -> list[float]:
        """Sines of the crank angles where the rod stands square to the line."""
        sines = [(self.offset + self.b) / self.a, (self.offset - self.b) / self.a]
        return [math.asin(s) for s in sines if abs(s) < 1.0]

    def system(self) -> System:
        turned = cmath.exp(1j * self.tilt)
        return assemble(
            points=("o", "a", "b"),
            numbers=("turn", "way"),
            held=("o",),
            rows=(
                Carried(a="o", b="a", turn="turn", arm=self.a * turned),
                Length(a="a", b="b", length=self.b),
                Along(a="b", way="way", start=1j * self.offset * turned, along=turned),
            ),
        )

    def start(self, theta: float, way: float) -> Vector:
        b = complex(way, self.offset) * cmath.exp(1j * self.tilt)
        values = {"o": 0.0, "a": self.crank(theta), "b": b}
        return self.system().state({**values, "turn": theta, "way": way})

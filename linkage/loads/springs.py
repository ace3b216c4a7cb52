"""The springs of a pedal in numbers: their force at every place, and their states.

A spring between two points pulls them together with its tension (extension) or pushes
them apart with its thrust (compression); it is *slack* where it would have to do the
other. A torsion spring turns about the pedal's pivot, always towards rest. A
compression spring is *solid* where its coils touch: the pedal goes no further, and its
force there is nan.
"""

from collections.abc import Iterator
from typing import Any

import numpy as np
from msgspec import Struct

from linkage.design.records import Pedal, Spring
from linkage.faults import Fault
from linkage.motion.rest import PedalRest
from linkage.motion.run import Run
from linkage.parts.moving import SAME_PLACE, number
from linkage.places import Places
from linkage.units import say
from solvers.jet import value
from solvers.planar import cross


class Line(Struct, frozen=True, kw_only=True, eq=False):
    """A spring between a point of the arm and a fixed one.

    Attributes
    ----------
    arm : complex
        From the pedal's pivot to its end on the arm, at rest, mm.
    fixed : complex
        Its other end.
    sign : float
        +1 for extension, -1 for compression.
    rate, initial : float
        N/mm; N at which the coils begin to move.
    free, solid : float
        Length without load, and with all coils touching (0 where not given), mm.
    at_rest : float
        Length with the pedal at rest, mm.
    """

    spring: Spring
    arm: Any
    fixed: Any
    sign: float
    rate: Any
    initial: Any
    free: Any
    solid: Any
    at_rest: Any

    def length(self, run: Run) -> Any:
        """Return the length at every place, mm."""
        return np.abs(self._span(run))

    def _span(self, run: Run) -> Any:
        """Return the line from its end on the arm to the fixed one."""
        return self.fixed - value(run.arm.carry(value(run.arm.pivot) + self.arm))

    def tension(self, run: Run) -> Any:
        """Return what pulls its ends together, N; below 0 for a thrust."""
        length = self.length(run)
        worked = self.sign * (length - self.free)
        size = np.where(worked > 0.0, self.initial + self.rate * worked, 0.0)
        return np.where(length > self.solid, self.sign * size, np.nan)

    def on_arm(self, run: Run) -> tuple[Any, Any]:
        """Return its force on the arm, N, and that force's moment about the pivot."""
        span = self._span(run)
        force = self.tension(run) * span / np.abs(span)
        return force, cross(self.fixed - span - value(run.arm.pivot), force)

    def stored(self, run: Run) -> Any:
        """Return the energy in it, N mm."""
        worked = np.maximum(self.sign * (self.length(run) - self.free), 0.0)
        return (self.initial + 0.5 * self.rate * worked) * worked

    def shown(self, run: Run) -> tuple[str, str, Any]:
        """Return what people read of it: name, unit, size."""
        return "force", "N", np.abs(self.tension(run))

    def room(self, run: Run) -> Any:
        """Return what is left until it is solid, mm."""
        return self.length(run) - self.solid

    def take(self, run: Run) -> Any:
        """Return how far it is worked, mm; below 0 where it is slack."""
        return self.sign * (self.length(run) - self.free)


class Torsion(Struct, frozen=True, kw_only=True, eq=False):
    """A spring round the pivot: ``preload`` N mm at rest, ``rate`` N mm/rad."""

    spring: Spring
    rate: Any
    preload: Any

    def on_arm(self, run: Run) -> tuple[Any, Any]:
        """Return its force on the arm, none, and its torque, N mm."""
        turned = value(run.arm.turn())
        torque = self.rate * turned + np.asarray(run.rest.sense) * self.preload
        return 0j, -torque

    def stored(self, run: Run) -> Any:
        """Return the energy in it, N mm, counted from rest."""
        turned = np.abs(value(run.arm.turn()))
        return (self.preload + 0.5 * self.rate * turned) * turned

    def shown(self, run: Run) -> tuple[str, str, Any]:
        """Return what people read of it: name, unit, size."""
        return "torque", "N mm", np.abs(self.on_arm(run)[1])


SpringRest = Line | Torsion


def springs_of(rest: PedalRest) -> tuple[SpringRest, ...]:
    """Return the springs of a pedal in numbers."""
    pivot = value(rest.pivot)
    return tuple(
        _in_numbers(rest.places, spring, pivot) for spring in rest.pedal.springs
    )


def _in_numbers(places: Places, spring: Spring, pivot: Any) -> SpringRest:
    rate = value(places.number(spring.rate))
    preload = value(places.number(spring.preload))
    if spring.on_arm is None or spring.fixed is None:
        return Torsion(spring=spring, rate=rate, preload=preload)
    end, fixed = value(places.form(spring.on_arm)), value(places.form(spring.fixed))
    sign = 1.0 if spring.kind == "extension" else -1.0
    initial = value(places.number(spring.initial_tension))
    free = value(places.number(spring.free_length))
    at_rest = np.abs(fixed - end)
    if spring.free_length is None:
        free = at_rest - sign * (preload - initial) / rate
    return Line(
        spring=spring,
        arm=end - pivot,
        fixed=fixed,
        sign=sign,
        rate=rate,
        initial=initial,
        free=free,
        solid=value(places.number(spring.solid)),
        at_rest=at_rest,
    )


# ------------------------------------------------------------------------ faults


def spring_faults(places: Places, pedal: Pedal) -> Iterator[Fault]:
    """Say which springs of a pedal cannot be, as it rests."""
    pivot = value(places.point(f"{pedal.name}.pivot"))
    for spring in pedal.springs:
        held = _in_numbers(places, spring, pivot)
        found = _flaw(held) if isinstance(held, Line) else None
        if found is not None:
            key, wrong, right = found
            yield Fault(
                file=places.design.file,
                line=spring.lines.get(key, spring.line),
                key=f"spring {spring.number}: {key}",
                wrong=wrong,
                right=right,
            )


def _flaw(line: Line) -> tuple[str, str, str] | None:
    """Return (key, wrong, right) for a spring that cannot be, or None."""
    spring, apart = line.spring, number(line.at_rest)
    if number(np.abs(line.arm)) < SAME_PLACE:
        right = "Give the place where it holds on to the arm, away from the pivot."
        return "on_arm", "it holds on at the pivot, where it turns nothing.", right
    if apart < SAME_PLACE:
        right = "Give the place where it holds on to the car."
        return "fixed", "its two ends are one place.", right
    if apart <= number(line.solid):
        unit = spring.solid.unit if spring.solid is not None else "mm"
        wrong = f"at rest it is solid: its ends are {say(apart, unit, 2)} apart."
        return "solid", wrong, "Set its ends farther apart, or take a shorter spring."
    if spring.free_length is None and number(line.free) <= 0.0:
        wrong = "a spring that soft would have no length left without its preload."
        return "preload", wrong, "Give less preload, or a stiffer rate."
    if spring.preload is not None and line.sign > 0.0:
        return _closed(line, spring.preload.nominal)
    return None


def _closed(line: Line, preload: float) -> tuple[str, str, str] | None:
    """Say so where closed coils would hold the preload at any length."""
    if preload >= number(line.initial):
        return None
    right = "Give a preload above initial_tension, or free_length in its place."
    return "preload", "it is below initial_tension: the coils stay closed.", right

"""A pedal carried through its travel: every part, every position, one pass."""

from typing import Any

import numpy as np
from msgspec import Struct

from linkage.motion.rest import PedalRest
from linkage.parts.moving import Body, Step
from solvers.jet import Jet, Late, Num, lift, value
from solvers.planar import turns
from solvers.turning import fan


class Run(Struct, frozen=True, kw_only=True, eq=False):
    """A pedal at given places of its travel.

    Attributes
    ----------
    rest : PedalRest
    travel : Jet
        Arc length of the pad from rest, mm; broadcasts over layouts x positions.
    arm : Body
    steps : tuple of Step
        One for each part of the train.
    """

    rest: PedalRest
    travel: Jet
    arm: Body
    steps: tuple[Step, ...]

    @property
    def last(self) -> Step:
        """Return the step of the part that ends the train."""
        return self.steps[-1]

    def end(self) -> Jet:
        """Return what the end does: of a bar its bearing, by the mean of its rods."""
        if self.rest.bar is None:
            return self.last.end()
        front, rear = (step.end() for step in self.steps[-2:])
        return lift(self.rest.bar.mean(front, rear))

    def taut(self, step: Step) -> Any:
        """Return True where all slack up to and with ``step`` is taken up."""
        mask: Any = True
        for each in self.steps:
            if each.drawn is not None:
                mask = mask & each.drawn.taut()
            if each is step:
                break
        return mask

    def ready(self) -> Any:
        """Return True where all slack ahead of the last part is taken up."""
        ahead = self.steps[: -1 if self.rest.bar is None else -2]
        return True if not ahead else self.taut(ahead[-1])

    def at(self, name: str) -> Num:
        """Return where a point of a canonical name is now, complex, mm."""
        own = f"{self.rest.pedal.name}."
        rest = self.rest.places.point(name)
        if not name.startswith(own):
            return rest
        key = name.removeprefix(own)
        if not key.startswith("train."):
            return self.arm.carry(rest)
        part = self.rest.pedal.part_of(key)
        step = self.steps[part.number - 1]
        key = key.removeprefix(f"{part.label}.")
        if key == "seat":
            return step.link.far()
        if key in ("input", "output") and step.body is not None:
            return step.body.carry(rest)
        return rest


def move(rest: PedalRest, travel: Num) -> Run:
    """Carry a pedal to given places of its travel.

    Parameters
    ----------
    rest : PedalRest
    travel : Jet or ndarray
        mm from rest, shape broadcasting to (layouts, positions). A plain array is
        taken as the driving value itself.

    Notes
    -----
    Places that the mechanism cannot reach are nan, each in its own place.
    """
    along = travel if isinstance(travel, Jet) else Jet(np.asarray(travel, float), 1.0)
    turn = lift(along * (rest.sense / rest.radius))
    return _follow(rest, along, turn, turns(turn.v))


def move_evenly(rest: PedalRest, count: int) -> Run:
    """Carry a pedal to ``count`` equal steps of its whole travel, both ends in.

    The same as `move` over ``linspace(0, travel, count)``, but the cosines and sines
    of the even steps are products of two short tables: the cheapest road for a
    hundred thousand layouts.
    """
    per_mm = rest.sense / value(rest.radius)
    pace = np.atleast_2d(value(rest.travel)) / max(count - 1, 1)
    steps = np.arange(count)
    along = Late(
        lambda out: np.multiply(pace, steps, out=out), lambda: (1.0, None, None)
    )
    turn = Late(
        lambda out: np.multiply(pace * per_mm, steps, out=out),
        lambda: (per_mm, None, None),
    )
    return _follow(rest, along, turn, fan(pace * per_mm, count))


def _follow(rest: PedalRest, along: Jet, turn: Jet, spin: Any) -> Run:
    arm = Body(rest.pivot, lambda: spin, turn)
    driver, steps = arm, []
    with np.errstate(divide="ignore", invalid="ignore"):
        for part in rest.parts:
            step = part.follow(driver)
            steps.append(step)
            if step.body is not None:
                driver = step.body
    return Run(rest=rest, travel=along, arm=arm, steps=tuple(steps))

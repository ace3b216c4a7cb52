"""Equilibrium of every part, from the foot to the end of the train or back.

Each body turns about one pivot, so one equation of moments gives the one force that is
not known; friction in the pivot is in it, with the pivot's own reaction. Until slack
and free play are taken up nothing goes through: every force of the train is 0.
"""

from typing import Any, Literal

import numpy as np
from msgspec import Struct

from linkage.loads.bars import barred, leans_of
from linkage.loads.bearing import hold
from linkage.loads.burden import Burden, Rubbing
from linkage.loads.foot import leg_way, path_way
from linkage.loads.ties import Tie, speed, ties_of
from linkage.motion.run import Run
from linkage.parts.cylinder import CylinderRest
from linkage.parts.moving import sense_of_rate
from solvers.jet import value
from solvers.planar import cross, dot


class Load(Struct, frozen=True, kw_only=True):
    """What is stated, and of what.

    Attributes
    ----------
    of : {"foot", "end", "torque"}
        The foot's push; the force at the end (on the fluid by the piston, else in the
        last cable or rod), N, of a bar both pistons together; "front", that of a
        bar's front piston alone; or the torque on the lever or quadrant that ends the
        train, N mm.
    size : float or ndarray
    """

    of: Literal["foot", "end", "front", "torque"]
    size: Any


class Forces(Struct, frozen=True, kw_only=True, eq=False):
    """Every force at every place; arrays broadcast over layouts x positions.

    Attributes
    ----------
    run : Run
    way : float
        +1 while the pedal is pressed, -1 on its way home: the sense of friction.
    effort : ndarray
        What the foot has to push with, N; below 0 the pedal has to be held back.
    foot : ndarray, complex
        The same as a force on the pad.
    ties : tuple of ndarray
        In each rod and cable, N, never below 0; whether it pushes says `Tie.pushed`.
        Those of a bar's rods are the last two.
    links : tuple of Tie
    end : ndarray
        On the fluid, else in the last cable or rod, N; of a bar by both pistons.
    ends : tuple of ndarray
        On the fluid by each of a bar's pistons, front first, N; empty without one.
    torque : ndarray or None
        On what the lever or quadrant at the end turns, N mm.
    sides : tuple of ndarray
        Of each rod on its piston, square to the axis: anticlockwise from it, N.
    pivots : tuple of ndarray, complex
        Of each pivot on its body, the arm first; nan where a cable's way is not known.
    """

    run: Run
    way: float
    effort: Any
    foot: Any
    ties: tuple[Any, ...]
    links: tuple[Tie, ...]
    end: Any
    ends: tuple[Any, ...]
    torque: Any
    sides: tuple[Any, ...]
    pivots: tuple[Any, ...]


class _Body(Struct, frozen=True, kw_only=True, eq=False):
    """A body without the two forces that the train hands on."""

    force: Any
    moment: Any
    rub: Any


def forces(
    run: Run, burden: Burden, load: Load, *, way: float = 1.0, hip: Any = None
) -> Forces:
    """Return every force of a pedal.

    Parameters
    ----------
    run : Run
    burden : Burden
    load : Load
    way : float
        +1 while the pedal is pressed, -1 on its way home.
    hip : complex, optional
        The foot pushes along the line from there; else along the pad's path.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        return _Chain(run, burden, way, hip).solve(load)


class _Chain:
    """The bodies and ties of one solve."""

    def __init__(self, run: Run, burden: Burden, way: float, hip: Any) -> None:
        self.run, self.way, self.rubbing = run, way, burden.rubbing
        self.links = ties_of(run, burden.rubbing.pin, way)
        self.ties = self.links
        if run.rest.bar is not None:
            self.ties = (*self.links[:-2], barred(run, self.links[-2:]))
        self.bodies = [_arm(run, burden, way), *_levers(run, burden.rubbing, way)]
        self.push = path_way(run) if hip is None else leg_way(run, hip)
        reach = value(run.arm.carry(run.rest.pad)) - value(run.rest.pivot)
        self.lever = cross(reach, self.push)
        self.through = _through(run)

    def solve(self, load: Load) -> Forces:
        """Return the forces, from whichever end is stated."""
        sizes = self._onwards(load.size) if load.of == "foot" else self._back(load)
        effort: Any = self._effort(sizes)
        if load.of == "foot" and sizes:
            effort = np.where(sizes[0] > 0.0, load.size, effort)
        foot = effort * self.push
        ends, rods = self._of_bar(sizes)
        held = [*sizes[:-1], *rods] if rods else sizes
        return Forces(
            run=self.run,
            way=self.way,
            effort=effort,
            foot=foot,
            ties=tuple(held),
            links=self.links,
            end=sum(ends) if ends else self._end(sizes),
            ends=ends,
            torque=self._torque(sizes),
            sides=self._sides(held),
            pivots=tuple(self._pivot(i, foot, sizes) for i in range(len(self.bodies))),
        )

    # ------------------------------------------------------------- end to foot

    def _back(self, load: Load) -> list[Any]:
        """Return what is in each tie where the end is stated."""
        if not self.ties:
            return []
        sizes = [self._last(load)]
        for i in range(len(self.ties) - 1, 0, -1):
            tie = self.ties[i]
            force, moment = sizes[0] * tie.on_driver, sizes[0] * tie.turns_driver
            sizes.insert(0, self._driven(i, force, moment))
        return [np.where(self.through, size, 0.0) for size in sizes]

    def _last(self, load: Load) -> Any:
        """Return what is in the last tie."""
        tie, part = self.ties[-1], self.run.rest.parts[-1]
        if self.run.rest.bar is not None:
            return self._on_bar(load)
        if load.of == "torque":
            sense = sense_of_rate(part.rate)
            return self._driven(len(self.ties), 0j, -sense * load.size)
        if not isinstance(part, CylinderRest):
            return load.size * np.ones_like(self.lever)
        rubbing = self.rubbing
        held = load.size * (1.0 + self.way * rubbing.seal_share)
        held = np.maximum(held + self.way * rubbing.seal, 0.0)
        return held / dot(value(part.axis), tie.on_driven)

    def _on_bar(self, load: Load) -> Any:
        """Return the push on a bar's bearing for what is stated of its pistons."""
        rubbing, bar = self.rubbing, self.run.rest.bar
        share, count = 1.0, 2.0
        if load.of == "front" and bar is not None:
            share, count = value(bar.share), 1.0
        held = load.size * (1.0 + self.way * rubbing.seal_share)
        held = np.maximum(held + self.way * count * rubbing.seal, 0.0)
        return held / share * np.ones_like(self.lever)

    def _of_bar(self, sizes: list[Any]) -> tuple[tuple[Any, ...], list[Any]]:
        """Return what a bar's pistons put on their fluid, and what is in their rods."""
        rest = self.run.rest
        if rest.bar is None:
            return (), []
        front = value(rest.bar.share)
        pushed = [share * sizes[-1] for share in (front, 1.0 - front)]
        leans = leans_of(self.run, self.links)
        rods = [force / lean for force, lean in zip(pushed, leans, strict=True)]
        return tuple(self._fluid(force) for force in pushed), rods

    def _driven(self, i: int, force: Any, moment: Any) -> Any:
        """Return what tie i needs (from 1) so that body i holds against a load."""
        body, tie = self.bodies[i], self.ties[i - 1]
        return hold(tie.on_driven, tie.turns_driven, force, moment, body.rub)

    def _effort(self, sizes: list[Any]) -> Any:
        arm = self.bodies[0]
        force, moment = arm.force, arm.moment
        if sizes:
            force = force + _part(sizes[0], self.ties[0].on_driver)
            moment = moment + sizes[0] * self.ties[0].turns_driver
        return hold(self.push, self.lever, force, moment, arm.rub)

    # ------------------------------------------------------------- foot to end

    def _onwards(self, effort: float) -> list[Any]:
        """Return what is in each tie where the foot's push is stated."""
        sizes: list[Any] = []
        arm = self.bodies[0]
        force = arm.force + effort * self.push
        moment = arm.moment + effort * self.lever
        for i, tie in enumerate(self.ties):
            rub = self.bodies[i].rub
            size = hold(tie.on_driver, tie.turns_driver, force, moment, rub)
            size = np.where(self.through, np.maximum(size, 0.0), 0.0)
            sizes.append(size)
            force, moment = size * tie.on_driven, size * tie.turns_driven
        return sizes

    # ------------------------------------------------------------ what it gives

    def _end(self, sizes: list[Any]) -> Any:
        """Return the force at the end: on the fluid, else in the last tie."""
        if not sizes:
            return np.zeros_like(self.lever)
        part = self.run.rest.parts[-1]
        if not isinstance(part, CylinderRest):
            return sizes[-1]
        return self._fluid(sizes[-1] * dot(value(part.axis), self.ties[-1].on_driven))

    def _torque(self, sizes: list[Any]) -> Any:
        """Return what a lever or quadrant at the end hands on; None at other ends."""
        if not sizes or self.run.last.body is None:
            return None
        tie, rub = self.ties[-1], self.bodies[-1].rub
        whole = sizes[-1] * (tie.turns_driven - rub * np.abs(tie.on_driven))
        return np.maximum(whole * sense_of_rate(self.run.rest.parts[-1].rate), 0.0)

    def _fluid(self, pushed: Any) -> Any:
        """Return what is left of a piston's force behind its seals."""
        rubbing = self.rubbing
        left = pushed - self.way * rubbing.seal
        left = left / (1.0 + self.way * rubbing.seal_share)
        return np.where(pushed > 0.0, np.maximum(left, 0.0), 0.0)

    def _sides(self, sizes: list[Any]) -> tuple[Any, ...]:
        rows = zip(self.run.rest.parts, self.links, sizes, strict=True)
        return tuple(
            size * cross(value(part.axis), tie.on_driven)
            for part, tie, size in rows
            if isinstance(part, CylinderRest)
        )

    def _pivot(self, i: int, foot: Any, sizes: list[Any]) -> Any:
        """Return the force of a pivot on its body."""
        total = self.bodies[i].force
        if i == 0:
            total = total + foot
        else:
            total = total + sizes[i - 1] * self.ties[i - 1].on_driven
        if i < len(sizes):
            total = total + _part(sizes[i], self.ties[i].on_driver)
        return -total


def _part(size: Any, way: Any) -> Any:
    """Return a force; none of no size, whichever way."""
    return np.where(size == 0.0, 0.0, size * way)


def _arm(run: Run, burden: Burden, way: float) -> _Body:
    held = [spring.on_arm(run) for spring in burden.springs]
    if burden.weight is not None:
        held.append(burden.weight.on_arm(run))
    return _Body(
        force=sum((force for force, _ in held), 0j),
        moment=sum((moment for _, moment in held), 0.0),
        rub=way * burden.rubbing.pivot * np.asarray(run.rest.sense),
    )


def _levers(run: Run, rubbing: Rubbing, way: float) -> list[_Body]:
    bodies = []
    for step in run.steps:
        if step.body is not None:
            rub = 0.0
            if rubbing.pivot:
                rub = way * rubbing.pivot * np.sign(speed(step.body.turning))
            bodies.append(_Body(force=0j, moment=0.0, rub=rub))
    return bodies


def _through(run: Run) -> Any:
    """Return True where all slack and free play are taken up."""
    if not run.steps:
        return False
    mask = run.taut(run.last)
    play = value(run.rest.play)
    if run.last.kind == "cylinder" and np.any(np.greater(play, 0.0)):
        mask = mask & ((run.end().v > play) | np.less_equal(play, 0.0))
    return mask

"""A pedal followed from rest: phases of slack, the first limit, what is used up."""

from collections.abc import Iterator
from typing import Any, Literal

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.motion.rest import PedalRest
from linkage.second_road.scene import Scene, lay, plain
from solvers.curve import Gauge
from solvers.march import End, Path, march
from solvers.newton import push, rate
from solvers.system import System

Vector = NDArray[np.float64]
LimitKind = Literal["dead centre", "rod short", "locked", "cannot assemble"]
UsedUp = Literal["cylinder full", "lever at its stop", "cable slack taken up"]


class Ending(Struct, frozen=True, kw_only=True):
    """Something that happens on the way, at this travel, mm; ``part`` from 1."""

    what: LimitKind | UsedUp
    part: int
    travel: float


class Phase(Struct, frozen=True, kw_only=True, eq=False):
    """A stretch of travel, as far as ``until``, in which the same cables are slack.

    Every number of the train goes one way in it: where one turns back, it ends.
    """

    system: System
    path: Path
    loose: tuple[int, ...]
    until: float

    def rates(self, q: Vector) -> Vector:
        """Return how everything moves at a state, per mm of travel."""
        return rate(self.system, q, push(self.system, travel=1.0))


class Simulation(Struct, frozen=True, kw_only=True, eq=False):
    """A pedal from rest to the travel asked for, or to its limit.

    Attributes
    ----------
    rest : PedalRest
    scene : Scene
    phases : tuple of Phase
    limit : Ending or None
    ends : tuple of Ending
        In order of travel; they stop nothing.
    """

    rest: PedalRest
    scene: Scene
    phases: tuple[Phase, ...]
    limit: Ending | None
    ends: tuple[Ending, ...]

    def phase(self, travel: float) -> Phase:
        """Return the phase that a place of the travel lies in."""
        return next((p for p in self.phases if travel <= p.until), self.phases[-1])

    def state(self, travel: float) -> Vector:
        """Return the state at a place of the travel.

        Raises
        ------
        ValueError
            The motion does not get there.
        """
        return self.phase(travel).path.at(travel)

    def rates(self, travel: float) -> Vector:
        """Return how everything moves there, per mm of travel."""
        return self.phase(travel).rates(self.state(travel))


def simulate(rest: PedalRest, upto: float) -> Simulation:
    """Follow a single pedal from rest.

    Parameters
    ----------
    rest : PedalRest
        One layout, sound, in plain numbers.
    upto : float
        mm of travel.

    Raises
    ------
    ArithmeticError
        The march ended in a way that no pedal should show.
    """
    scene = lay(rest)
    phases: list[Phase] = []
    limit: Ending | None = None
    q, loose = scene.start, tuple(scene.still)
    while not phases or (limit is None and phases[-1].until < upto):
        phase, limit = _phase(rest, scene, q, loose, upto)
        phases.append(phase)
        q, loose = phase.path.at(phase.until), loose[1:]
    ends = tuple(sorted(_ends(rest, scene, phases), key=lambda end: end.travel))
    return Simulation(
        rest=rest, scene=scene, phases=tuple(phases), limit=limit, ends=ends
    )


def _phase(
    rest: PedalRest, scene: Scene, q: Vector, loose: tuple[int, ...], upto: float
) -> tuple[Phase, Ending | None]:
    """March on until the next cable is tight, the motion ends, or ``upto``."""
    system = scene.loosened(loose)
    path = march(system, q, "travel", upto)
    if path.end not in (End.REACHED, End.FOLD):
        raise ArithmeticError(f"the second road got lost: {path.message}")
    moving = f"{loose[0]} pull" if loose else _end_number(rest)
    events: list[tuple[float, Ending | None]] = [(upto, None)]
    if path.limit is not None:
        events.append((path.limit, _folded(rest, scene, system, path)))
    for at in _travels(path, _rate_gauge(system, moving)):
        ending = Ending(what="dead centre", part=len(rest.pedal.train), travel=at)
        events.append((at, ending))
    if loose:
        level = _level_gauge(system, moving, scene.slacks[loose[0]])
        events += [(at, None) for at in _travels(path, level)]
    until, limit = min(events, key=lambda event: event[0])
    path = path.upto(until)
    return Phase(system=system, path=path, loose=loose, until=until), limit


def _end_number(rest: PedalRest) -> str:
    last = rest.pedal.train[-1]
    return f"{last.number} {ENDS[last.KIND]}"


ENDS = {"cylinder": "e", "cable": "pull", "lever": "turn", "quadrant": "turn"}


def _travels(path: Path, gauge: Gauge) -> Iterator[float]:
    at = path.curve.driver
    return (float(q[at]) for q in path.locate(gauge))


def _rate_gauge(system: System, number: str) -> Gauge:
    at = system.where(number)[0]
    return lambda _, tangent: float(tangent[at])


def _level_gauge(system: System, number: str, level: float, sign: float = 1.0) -> Gauge:
    at = system.where(number)[0]
    return lambda q, _: float(sign * q[at] - level)


def _folded(rest: PedalRest, scene: Scene, system: System, path: Path) -> Ending:
    """Return which part can go no further: the one whose links lie straightest."""
    q = path.nodes[-1].q
    rooms = {
        part.number: _room(scene, system, q, part.number)
        for part in rest.pedal.train
        if part.KIND in ("cylinder", "lever")
    }
    number = min(rooms, key=lambda n: rooms[n])
    kind = rest.pedal.train[number - 1].KIND
    return Ending(
        what="rod short" if kind == "cylinder" else "locked",
        part=number,
        travel=float(q[path.curve.driver]),
    )


def _room(scene: Scene, system: System, q: Vector, n: int) -> float:
    """Return what a rod has left along its axis, or square to the arm it drives."""
    if n in scene.axes:
        rod = system.place(q, f"{n} end") - system.place(q, f"{n} hole")
        return abs((rod * scene.axes[n].conjugate()).real) / abs(rod)
    held = system.place(q, f"{n} input")
    arm = held - system.place(q, f"{n} pivot")
    link = held - system.place(q, far_of(system, n))
    return abs((link * arm.conjugate()).imag) / abs(link) / abs(arm)


def far_of(system: System, n: int) -> str:
    """Return the name of what holds a lever's input: a ferrule or a driving hole."""
    guide = f"{n} end ferrule"
    return guide if guide in system.points else f"{n} hole"


def _ends(rest: PedalRest, scene: Scene, phases: list[Phase]) -> Iterator[Ending]:
    for phase in phases[:-1]:  # each but the last ends as its first cable comes tight
        yield Ending(
            what="cable slack taken up", part=phase.loose[0], travel=phase.until
        )
    for part in rest.pedal.train:
        for what, number, level in _stores(rest, scene, part):
            sign = (
                scene.senses.get(part.number, 1.0) if number.endswith("turn") else 1.0
            )
            for phase in phases:
                gauge = _level_gauge(phase.system, number, level, sign)
                found = list(_travels(phase.path, gauge))
                if found:
                    yield Ending(what=what, part=part.number, travel=found[0])
                    break


def _stores(
    rest: PedalRest, scene: Scene, part: Any
) -> Iterator[tuple[UsedUp, str, float]]:
    """Yield what a part has to give: name, number and where it is used up."""
    n, number = part.number, rest.places.number
    slack = scene.slacks.get(n, 0.0)
    if slack > 0.0 and n not in scene.still:
        yield "cable slack taken up", f"{n} pull", slack
    if getattr(part, "stroke", None) is not None:
        full = number(part.stroke) + number(part.free_play)
        yield "cylinder full", f"{n} e", plain(full).real
    if getattr(part, "turn", None) is not None:
        yield "lever at its stop", f"{n} turn", plain(number(part.turn)).real

"""Every column of a sweep, read off the states of a simulation."""

import cmath
import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from linkage.design.records import Part
from linkage.second_road.scene import plain
from linkage.second_road.simulation import ENDS, Simulation, far_of

Vector = NDArray[np.float64]


def simulated_columns(road: Simulation, travels: Sequence[float]) -> dict[str, Vector]:
    """Return the columns of a sweep at given places, in mm, degrees, deg/mm and 1.

    Parameters
    ----------
    road : Simulation
    travels : sequence of float
        mm; none beyond the limit.

    Returns
    -------
    dict of ndarray, shape (n,)
        nan where a value has no meaning.
    """
    views = [View(road, float(travel)) for travel in travels]
    return {
        name: np.array([law(view) for view in views], float)
        for name, law in _laws(road).items()
    }


class View:
    """One place of the travel: names looked up in the state there."""

    def __init__(self, road: Simulation, travel: float) -> None:
        self.road = road
        self.travel = travel
        self.phase = road.phase(travel)
        self.q = self.phase.path.at(travel)
        self.motion = self.phase.rates(self.q)

    def at(self, point: str) -> complex:
        """Return where a point is."""
        return self.phase.system.place(self.q, point)

    def number(self, name: str) -> float:
        """Return a number."""
        return self.phase.system.number(self.q, name)

    def rate(self, name: str) -> float:
        """Return a number's rate per mm of travel."""
        return self.phase.system.number(self.motion, name)

    def angle(self, a: str, b: str, c: str) -> float:
        """Return the angle at b, degrees, 0 to 180."""
        middle = self.at(b)
        return abs(_degrees((self.at(a) - middle) / (self.at(c) - middle)))

    def far(self, n: int) -> str:
        """Return the name of the other end of the link that starts at hole n."""
        names = self.phase.system.points
        return next(k for k in (f"{n} ferrule", f"{n} end", f"{n} input") if k in names)

    def crank(self, n: int) -> float:
        """Return the angle at driving hole n."""
        before = self.road.rest.pedal.train[n - 1].behind
        pivot = f"{before} pivot" if before else "pivot"
        return self.angle(pivot, f"{n} hole", self.far(n))

    def transmission(self, n: int) -> float:
        """Return the angle at the rod-driven input n."""
        return self.angle(f"{n} pivot", f"{n} input", far_of(self.phase.system, n))

    def turn(self, n: int) -> float:
        """Return the turn of part n, degrees, positive in its first sense."""
        return math.degrees(self.number(f"{n} turn")) * self.road.scene.senses[n]

    def lean(self, n: int) -> float:
        """Return the smallest turn of the axis line onto the rod's line, degrees."""
        rod = (self.at(f"{n} end") - self.at(f"{n} hole")) / self.road.scene.axes[n]
        return 0.5 * _degrees(rod * rod)  # squared: a line has no sense

    def arm(self) -> float:
        """Return the arm's turn, degrees, positive when pressed."""
        return math.degrees(self.number("arm turn")) * float(self.road.rest.sense)

    def ratio(self, name: str) -> float:
        """Return d(travel) / d(number); nan while a cable ahead of it is slack."""
        ahead = set(self.phase.loose) - {len(self.road.rest.pedal.train)}
        return math.nan if ahead else 1.0 / self.rate(name)


Law = Callable[[View], float]


def _degrees(z: complex) -> float:
    return math.degrees(cmath.phase(z))


def _laws(road: Simulation) -> dict[str, Law]:
    laws: dict[str, Law] = {"travel": lambda v: v.travel, "arm_angle": View.arm}
    for part in road.rest.pedal.train:
        laws |= _links(road, part.number)
    return laws | _turns(road) | _last(road)


def _links(road: Simulation, n: int) -> dict[str, Law]:
    """Return the angles of every rod and cable that starts at a hole."""
    points, last = road.scene.taut.points, len(road.rest.pedal.train)
    laws: dict[str, Law] = {}
    if f"{n} hole" in points:
        branch = road.rest.pedal.train[n - 1].branch
        own = "crank_angle" if n == last else f"crank_{n}_angle"
        name = f"{branch}_crank_angle" if branch else own
        laws[name] = lambda v: v.crank(n)
    if f"{n} input" in points and n not in road.scene.slacks:
        laws[f"transmission_{n}_angle"] = lambda v: v.transmission(n)
    return laws


def _turns(road: Simulation) -> dict[str, Law]:
    kinds = [part.KIND for part in road.rest.pedal.train]
    laws: dict[str, Law] = {}
    for n, kind in enumerate(kinds, 1):
        if kind in ("lever", "quadrant"):
            count = f"_{kinds[:n].count(kind)}" if kinds.count(kind) > 1 else ""
            laws[f"{kind}{count}_turn"] = lambda v, n=n: v.turn(n)  # type: ignore[misc]
    return laws


def _of_cylinder(road: Simulation, part: Part) -> dict[str, Law]:
    n, moves = part.number, f"{part.number} e"
    play = plain(road.rest.places.number(getattr(part, "free_play", None))).real
    return {
        "stroke": lambda v: max(0.0, v.number(moves) - play),
        "ratio": lambda v: v.ratio(moves),
        "rod_angle": lambda v: v.lean(n),
    }


def _of_bar(road: Simulation, share: float) -> dict[str, Law]:
    """Return the columns of both cylinders, and the ratio of the bar's bearing."""
    found: dict[str, Law] = {}
    front, rear = (f"{part.number} e" for part in road.rest.pedal.train[-2:])
    found["ratio"] = lambda v: (
        1.0 / (share / v.ratio(front) + (1.0 - share) / v.ratio(rear))
    )
    for part in road.rest.pedal.train[-2:]:
        own = _of_cylinder(road, part)
        found |= {f"{part.branch}_{name}": law for name, law in own.items()}
    return found


def _last(road: Simulation) -> dict[str, Law]:
    """Return the columns that the part at the end brings."""
    if road.rest.bar is not None:
        return _of_bar(road, float(plain(road.rest.bar.share).real))
    last = road.rest.pedal.train[-1]
    n, moves = last.number, f"{last.number} {ENDS[last.KIND]}"
    if last.KIND == "cylinder":
        return _of_cylinder(road, last)
    if n in road.scene.slacks:
        pull = f"{n} pull"
        return {
            "cable_pull": lambda v: v.number(pull),
            "ratio": lambda v: v.ratio(pull),
        }
    return {
        "lever_turn": lambda v: v.turn(n),
        "lever_rate": lambda v: math.degrees(v.rate(moves)) * road.scene.senses[n],
    }

"""A pedal at rest laid down as points, numbers and rows.

Parts are numbered from 1 at the arm. Names: ``pivot``, ``arm turn``, ``travel``; and
for part n ``n hole`` (what drives it), ``n end`` (a rod's end), ``n e`` (its way along
the axis), ``n pivot``, ``n input``, ``n turn``, ``n ferrule``, ``n pull``.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

import numpy as np
from msgspec import Struct, field
from numpy.typing import NDArray

from linkage.design.records import Part
from linkage.motion.rest import PedalRest
from linkage.places import Places, driving_hole
from solvers.newton import push, rate
from solvers.rows import Along, Carried, Drawn, Given, Length, Row, Unrolled
from solvers.system import System, assemble


class Scene(Struct, frozen=True, kw_only=True, eq=False):
    """A system with what it takes to read it.

    Attributes
    ----------
    taut : System
        Every cable tight; holds all that is fixed and ``travel``.
    start : ndarray
        The state at rest. Cables with slack are not tight there.
    slacks : mapping of int to float
        By part: slack of the cable that drives it (or is it), mm.
    still : mapping of int to (int, Row)
        By part: which row of ``taut`` a slack cable replaces, and by what.
    senses : mapping of int to float
        By part: sign of its first turn when pressed, slack left out.
    axes : mapping of int to complex
        By cylinder: unit vector of its axis.
    """

    taut: System
    start: NDArray[np.float64]
    slacks: Mapping[int, float]
    still: Mapping[int, tuple[int, Row]]
    senses: Mapping[int, float]
    axes: Mapping[int, complex]

    def loosened(self, parts: Iterable[int]) -> System:
        """Return the system in which these parts stand still, their cables slack."""
        rows = list(self.taut.rows)
        for part in parts:
            index, row = self.still[part]
            rows[index] = row
        return assemble(
            points=self.taut.points,
            numbers=self.taut.numbers,
            rows=rows,
            held=self.taut.held,
        )


class _Draft(Struct, kw_only=True):
    """A scene in the making; ``body`` names pivot and turn of what drives next."""

    places: Places
    values: dict[str, complex]
    rows: list[Row]
    numbers: list[str] = field(default_factory=list)
    held: list[str] = field(default_factory=list)
    slacks: dict[int, float] = field(default_factory=dict)
    still: dict[int, tuple[int, Row]] = field(default_factory=dict)
    senses: dict[int, float] = field(default_factory=dict)
    axes: dict[int, complex] = field(default_factory=dict)
    body: tuple[str, str] = ("pivot", "arm turn")

    def fix(self, name: str, at: complex) -> complex:
        """Add a point that does not move."""
        self.held.append(name)
        self.values[name] = at
        return at

    def count(self, name: str) -> str:
        """Add a number that is 0 at rest."""
        self.numbers.append(name)
        self.values[name] = 0.0
        return name

    def ride(self, name: str, at: complex, body: tuple[str, str]) -> complex:
        """Add a point that a body carries."""
        pivot, turn = body
        self.values[name] = at
        arm = at - self.values[pivot]
        self.rows.append(Carried(a=pivot, b=name, turn=turn, arm=arm))
        return at

    def assemble(self) -> System:
        """Return the system so far, every cable tight."""
        return assemble(
            points=[name for name in self.values if name not in self.numbers],
            numbers=self.numbers,
            rows=self.rows,
            held=self.held,
        )

    def first_turn(self, turn: str) -> float:
        """Return the sign of a first turn when pressed, as if there were no slack."""
        system = self.assemble()
        moved = rate(system, system.state(self.values), push(system, travel=1.0))
        return -1.0 if system.number(moved, turn) < 0.0 else 1.0


def lay(rest: PedalRest) -> Scene:
    """Lay a single pedal down as it rests."""
    draft = _begin(rest)
    for part in rest.pedal.train:
        _add(draft, part)
    taut = draft.assemble()
    return Scene(
        taut=taut,
        start=taut.state(draft.values),
        slacks=draft.slacks,
        still=draft.still,
        senses=draft.senses,
        axes=draft.axes,
    )


def _begin(rest: PedalRest) -> _Draft:
    """Lay the arm: the pad's arc is radius x turn."""
    draft = _Draft(places=rest.places, values={}, rows=[])
    pivot = draft.fix("pivot", plain(rest.pivot))
    draft.count("arm turn")
    draft.held.append(draft.count("travel"))
    radius = float(rest.sense) * abs(plain(rest.pad) - pivot)
    draft.rows.append(
        Unrolled(a="arm turn", b="travel", radius_a=radius, radius_b=-1.0)
    )
    return draft


def _add(draft: _Draft, part: Part) -> None:
    """Add a part and, where it turns, make it the body that drives the next."""
    hole = f"{part.number} hole"
    cable: Any = getattr(part, "cable", part if part.KIND == "cable" else None)
    if cable is None or cable.drum is None:
        draft.ride(hole, _point(draft, driving_hole(part)), draft.body)
    if cable is not None:
        _near_end(draft, part, cable, hole)
    _FAR_ENDS[part.KIND](draft, part, hole)


def _near_end(draft: _Draft, part: Part, cable: Any, hole: str) -> None:
    """Add what a cable is drawn: off a hole to its ferrule, or off a drum."""
    n = part.number
    turn, pull = draft.body[1], f"{n} pull"
    if cable.drum is not None:
        radius = draft.first_turn(turn) * _number(draft, cable.drum)
        draft.count(pull)
        draft.rows.append(Unrolled(a=turn, b=pull, radius_a=radius, radius_b=-1.0))
    else:
        draft.count(pull)
        key = "ferrule" if part.KIND == "cable" else "cable.ferrule"
        ferrule = draft.fix(f"{n} ferrule", _point(draft, f"{part.path}.{key}"))
        rest = abs(draft.values[hole] - ferrule)
        draft.rows.append(Drawn(a=f"{n} ferrule", b=hole, pull=pull, rest=rest))
    draft.slacks[n] = _number(draft, cable.slack)


def _cylinder(draft: _Draft, part: Part, hole: str) -> None:
    n = part.number
    seat = _point(draft, f"{part.path}.seat")
    axis = plain(draft.places.heading(part.axis))  # type: ignore[attr-defined]
    draft.values[f"{n} end"], draft.axes[n] = seat, axis
    way = draft.count(f"{n} e")
    rod = abs(seat - draft.values[hole])
    draft.rows += [
        Along(a=f"{n} end", way=way, start=seat, along=axis),
        Length(a=hole, b=f"{n} end", length=rod),
    ]


def _lever(draft: _Draft, part: Part, hole: str) -> None:
    n = part.number
    body = f"{n} pivot", draft.count(f"{n} turn")
    draft.fix(body[0], _point(draft, f"{part.path}.pivot"))
    held = f"{n} input"
    at = draft.ride(held, _point(draft, f"{part.path}.input"), body)
    if getattr(part, "cable", None) is None:
        rod = abs(at - draft.values[hole])
        draft.rows.append(Length(a=hole, b=held, length=rod))
    else:
        guide = f"{n} end ferrule"
        draft.fix(guide, _point(draft, f"{part.path}.cable.end_ferrule"))
        free = abs(at - draft.values[guide]) + draft.slacks[n]
        row = Drawn(a=guide, b=held, pull=f"{n} pull", rest=free, gain=-1.0)
        _follow(draft, n, row, abs(at - draft.values[body[0]]))
    draft.senses[n] = draft.first_turn(body[1])
    draft.body = body


def _quadrant(draft: _Draft, part: Part, _: str) -> None:
    n = part.number
    turn = draft.count(f"{n} turn")
    sense = 1.0 if part.sense == "ccw" else -1.0  # type: ignore[attr-defined]
    radius = _number(draft, part.radius)  # type: ignore[attr-defined]
    row = Unrolled(
        a=turn,
        b=f"{n} pull",
        radius_a=sense * radius,
        radius_b=-1.0,
        total=-draft.slacks[n],
    )
    _follow(draft, n, row, radius)
    draft.senses[n] = sense


def _follow(draft: _Draft, n: int, row: Row, reach: float) -> None:
    """Let part n follow its cable; while that is slack it stands still."""
    if draft.slacks[n] > 0.0:
        stands = Given(a=f"{n} turn", value=0.0, weight=reach)
        draft.still[n] = len(draft.rows), stands
    draft.rows.append(row)


def _cable(_draft: _Draft, _part: Part, _hole: str) -> None:
    """Add nothing: what a last cable draws is the answer."""


_FAR_ENDS: Mapping[str, Callable[[_Draft, Part, str], None]] = {
    "cylinder": _cylinder,
    "lever": _lever,
    "quadrant": _quadrant,
    "cable": _cable,
}


def _point(draft: _Draft, name: str) -> complex:
    return plain(draft.places.point(name))


def _number(draft: _Draft, value: Any) -> float:
    return plain(draft.places.number(value)).real


def plain(value: Any) -> complex:
    """Return the one number or point of a single layout."""
    return complex(np.ravel(value)[0])

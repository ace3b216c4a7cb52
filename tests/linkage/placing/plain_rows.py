"""Planted questions judged apart from the program: plain triangles, many layouts at once.

Of the kinds "direct", "crank" and "cable" only. A layout is a set of numbers by the keys
of `planted`, mm and degrees; columns are mm and rad. `by_constraints` judges one written
layout by the constraint solver, with none of the program's laws.
"""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linkage.design.records import Target
from linkage.loading import load_text
from linkage.second_road import simulate
from linkage.second_road.columns import View, simulated_columns
from linkage.sweeping import standing
from tests.linkage.placing.planted import KINDS, Numbers, Planted, filled

Array = NDArray[Any]
Columns = dict[str, Array]

STROKE, PLAY = 60.0, 0.5  # of the kind "direct"
#: What counts as a miss of one: ``within``, or its default in the file.
UNITS = {"stroke": 0.5, "cable pull": 0.5, "distance": 0.5, "mean ratio": 0.05}
DEGREE = np.pi / 180.0
#: What a layout costs that cannot make its travel.
HARD = 1e6
#: Places at which the motion has to go on.
WAY = 9
NAMES = {
    "rod_angle": "rod angle",
    "crank_angle": "crank angle",
    "transmission_1_angle": "transmission angle",
    "lever_turn": "lever turn",
    "cable_pull": "cable pull",
}


def columns(kind: str, layout: Mapping[str, Any], travel: Array) -> Columns:
    """Return the columns of layouts (n, 1) at places (n, m), by targets' names."""

    def at(name: str) -> Any:
        return layout[name + ".x"] + 1j * layout[name + ".z"]

    pivot, pad, clevis = at("pivot"), at("pad"), at("clevis")
    turn = travel / abs(pad - pivot)
    spin = np.exp(1j * turn)
    hole = pivot + (clevis - pivot) * spin
    speed = 1j * (hole - pivot) / abs(pad - pivot)
    found: Columns = {"travel": travel}
    found |= {
        "pivot at": pivot + 0.0 * spin,
        "clevis at": hole,
        "pad at": pivot + (pad - pivot) * spin,
    }
    if kind == "cable":
        ferrule = at("ferrule")
        line = hole - ferrule
        found["cable pull"] = abs(line) - abs(clevis - ferrule)
        found["rate"] = dot(line / abs(line), speed)
        found["crank angle"] = corner(pivot, hole, ferrule)
        return found | {"ratio": 1.0 / found["rate"]}
    if kind == "crank":
        own, held, out = at("lever"), at("input"), at("output")
        arm, line = held - own, hole - own
        rod = abs(held - clevis)
        side = np.sign((arm / (clevis - own)).imag)
        cosine = (abs(arm) ** 2 + abs(line) ** 2 - rod**2) / (2 * abs(arm) * abs(line))
        now = own + abs(arm) * line / abs(line) * np.exp(1j * side * np.arccos(cosine))
        found["transmission angle"] = corner(own, now, hole)
        swing = (now - own) / arm
        found["lever turn"] = abs(np.angle(swing))
        rate = dot(now - hole, speed) / dot(now - hole, 1j * (now - own))
        pivot, clevis, hole = own, out, own + (out - own) * swing
        speed = 1j * rate * (hole - own)
    axis, seat = np.exp(1j * DEGREE * layout["axis"]), at("seat")
    local, along = (hole - seat) / axis, speed / axis
    reach = np.sqrt(abs(seat - clevis) ** 2 - local.imag**2)
    found["end"] = local.real + reach
    found["rate"] = along.real - local.imag / reach * along.imag
    found["rod angle"] = -np.arctan(local.imag / reach)
    found["crank angle"] = corner(pivot, hole, seat + axis * found["end"])
    found["ratio"] = 1.0 / found["rate"]
    found["stroke"] = np.maximum(found["end"] - (PLAY if kind == "direct" else 0.0), 0)
    mean = travel / np.where(travel > 0, found["end"], 1.0)
    found["mean ratio"] = np.where(travel > 0, mean, found["ratio"])
    return found


def dot(a: Any, b: Any) -> Any:
    return (np.conj(a) * b).real


def corner(a: Any, b: Any, c: Any) -> Any:
    """Angle at b, 0 to pi."""
    return abs(np.angle((a - b) / (c - b)))


class Judge:
    """Costs of layouts of one question: points (n, k) of the unit box of what is free.

    Attributes
    ----------
    spent : int
        Layouts judged so far.
    """

    def __init__(self, planted: Planted, targets: Sequence[Target], grid: int) -> None:
        self.kind, self.targets, self.grid = planted.kind, targets, grid
        self.base, self.spans = planted.layout, planted.spans
        self.spent = 0

    @property
    def size(self) -> int:
        return len(self.spans)

    def layout(self, u: Array) -> dict[str, Any]:
        """Values by key, (n, 1) where free."""
        values: dict[str, Any] = dict(self.base)
        for k, (key, (low, high)) in enumerate(self.spans.items()):
            values[key] = low + (high - low) * u[:, k : k + 1]
        return values

    def __call__(self, u: Array) -> Array:
        """Sum of squared misses in units; 0 where all is met."""
        self.spent += len(u)
        layout = self.layout(u)
        whole = layout["travel"] * np.ones((len(u), 1))
        ways = [whole * np.linspace(0.0, 1.0, WAY)]
        ways += [places(target, whole, self.grid) for target in self.targets]
        with np.errstate(invalid="ignore", divide="ignore"):
            seen = columns(self.kind, layout, np.hstack(ways))
            sound = (seen["rate"][:, :WAY] > 0.0).all(axis=1)
            total = np.zeros(len(u))
            if self.kind == "direct":
                over = np.maximum(seen["end"][:, WAY - 1] - STROKE - PLAY, 0.0) / 0.5
                total += over**2
            start = WAY
            for target, way in zip(self.targets, ways[1:], strict=True):
                stop = start + way.shape[1]
                total += miss(target, part_of(seen, start, stop)) ** 2
                start = stop
        return np.where(sound & np.isfinite(total), total, HARD)

    def text(self, u: Array) -> str:
        """One layout as a design file."""
        values = self.layout(u[None, :])
        written: Numbers = {
            key: float(np.ravel(number)[0]) for key, number in values.items()
        }
        return filled(KINDS[self.kind], {key: repr(v) for key, v in written.items()})


def part_of(seen: Columns, start: int, stop: int) -> Columns:
    """Some places of every column; what does not move has one only."""
    return {k: v[:, start:stop] if v.shape[1] > 1 else v for k, v in seen.items()}


def places(target: Target, whole: Array, grid: int) -> Array:
    """Where a target looks, mm, (n, m)."""
    at = target.at
    scale = whole if at.share else np.ones_like(whole)
    steps = np.zeros(1) if at.single else np.linspace(0.0, 1.0, grid)
    return np.asarray(scale * (at.low + (at.high - at.low) * steps))


def miss(target: Target, seen: Columns) -> Array:
    """How far outside, in units; nan where there is no value."""
    if target.of == "distance":
        a, b = (seen[name.removeprefix("brake.") + " at"] for name in target.between)
        got = abs(a - b) + 0.0 * seen["travel"]
    else:
        got = seen[target.of]
    got = abs(got) if target.of == "rod angle" and target.exact is None else got
    low, high = band(target)
    unit = unit_of(target)
    outside = np.maximum(low - got, 0.0) + np.maximum(got - high, 0.0)
    return np.asarray(outside.max(axis=1) / unit)


def band(target: Target) -> tuple[float, float]:
    if target.exact is not None:
        within = target.within or 0.0
        return target.exact - within, target.exact + within
    least, most = target.least, target.most
    return -np.inf if least is None else least, np.inf if most is None else most


def unit_of(target: Target) -> float:
    angle = "angle" in target.of or "turn" in target.of
    usual = 0.5 * DEGREE if angle else UNITS.get(target.of, 0.05)
    return target.within or usual


def by_constraints(text: str, travels: Sequence[float]) -> Columns:
    """The columns of one written layout by the constraint solver, mm and rad, (1, m).

    Fails where the motion does not get there.
    """
    rest = standing(load_text(text), "brake")
    road = simulate(rest, max(*travels, 1.0))
    assert road.limit is None
    assert not any(end.what == "cylinder full" for end in road.ends)
    found = {
        NAMES.get(k, k): v[None, :] * (DEGREE if k.endswith(("angle", "turn")) else 1.0)
        for k, v in simulated_columns(road, travels).items()
    }
    if "stroke" in found:
        views = [View(road, travel) for travel in travels]
        moved = np.array([view.number(f"{len(rest.pedal.train)} e") for view in views])
        with np.errstate(invalid="ignore", divide="ignore"):
            mean = found["travel"] / moved
        found["mean ratio"] = np.where(found["travel"] > 0, mean, found["ratio"])
    return found


def missed_by_constraints(
    judge: Judge, u: Array, targets: Sequence[Target], grid: int = 41
) -> list[float]:
    """How far one layout is outside each target, in units, by the constraint solver."""
    layout, text = judge.layout(u[None, :]), judge.text(u)
    whole = layout["travel"] * np.ones((1, 1))
    found = []
    for target in targets:
        travel = places(target, whole, grid)
        own = columns(judge.kind, layout, travel)
        seen = by_constraints(text, travel[0].tolist())
        for name in set(own) & set(seen):  # the two roads agree, here as everywhere
            np.testing.assert_allclose(
                own[name] + 0.0 * travel, seen[name], rtol=1e-9, atol=1e-9, err_msg=name
            )
        fixed = {k: v for k, v in own.items() if k.endswith(" at")}  # of the rigid arm
        found.append(float(miss(target, seen | fixed)[0]))
    return found

"""Checks of a cylinder's rod: how it leans, and how square rods are to their arms."""

from collections.abc import Iterator

import numpy as np

from linkage.findings.facts import Facts
from linkage.findings.looking import Law, unknown_stop, values_at, worst
from linkage.findings.records import Check, Lack, Measured
from linkage.findings.slopes import Slopes, slopes_at, stop_slopes
from linkage.findings.stopping import ends_in_cylinder, is_brake, no_rig
from linkage.loads.ties import ties_of
from linkage.motion.run import Run, move
from linkage.parts.cylinder import CylinderRest
from linkage.quantities import laws
from solvers.jet import Jet, lift, sqrt, value, where
from solvers.lowest import lowest


def _has_rod(facts: Facts) -> bool:
    return bool(_rods(facts))


def _rods(facts: Facts) -> list[int]:
    """Return which links of the train are rods, counted from 1."""
    ties = ties_of(move(facts.rest, np.zeros(1)), 0.0, 1.0) if facts.rest.parts else ()
    return [n for n, tie in enumerate(ties, 1) if tie.kind == "rod"]


# --------------------------------------------------------------------------- lean


def rod_lean(run: Run) -> Jet:
    """Return the angle from rod to axis, in side view and in plan together, rad."""
    side = _side_lean(run)
    plan = plan_angle(run)
    return side if plan == 0.0 else lift(sqrt(side * side + plan * plan))


def _side_lean(run: Run) -> Jet:
    """Return the lean in side view; of a bar's two rods that which leans more."""
    if run.rest.bar is None:
        return laws.rod_angle(run)
    front, rear = (laws.rod_angle(run, n) for n in (len(run.steps) - 1, len(run.steps)))
    return lift(where(np.abs(front.v) >= np.abs(rear.v), front, rear))


def plan_angle(run: Run) -> float:
    """Return a rod's angle seen from above, rad; 0 where the file does not say."""
    across, last = run.rest.pedal.across, run.rest.parts[-1]
    if len(run.rest.parts) > 1 or not {"clevis", "seat"} <= set(across):
        return 0.0
    if not isinstance(last, CylinderRest):
        return 0.0
    aside = across["seat"].nominal - across["clevis"].nominal
    return float(np.arctan2(abs(aside), np.ravel(value(last.rod))[0]))


def _seen(facts: Facts) -> str:
    if len(facts.rest.parts) == 1 and {"clevis", "seat"} <= set(facts.pedal.across):
        return ""
    return "in side view only: across = { clevis = 0, seat = 0 } would give the plan"


def _rod_angle(facts: Facts) -> Measured:
    found, at = _leans_most(facts, facts.reach)
    return Measured(value=found, at=at, note=_seen(facts))


def _leans_most(facts: Facts, upto: float) -> tuple[float, float]:
    at, least = lowest(lambda x: -np.abs(values_at(facts, rod_lean, x)), 0.0, upto)
    return -least, at


def _hard_angle(facts: Facts) -> Measured | Lack:
    if facts.hard is None:
        return no_rig(facts)
    at = min(float(facts.hard.state.foot.travel[0]), facts.travel)
    found = abs(float(values_at(facts, rod_lean, np.array([at]))[0]))
    rod = float(facts.hard.state.fluid.rod[0])
    side = rod * np.tan(found)
    return Measured(
        value=found,
        at=at,
        working=f"side force {rod:.0f} N x tan {np.degrees(found):.2f} deg = {side:.0f} N",
        note=_seen(facts),
    )


def _lean_slopes(facts: Facts, got: Measured) -> Slopes:
    return slopes_at(facts, _lean_size, got.at or 0.0)


def _hard_lean_slopes(facts: Facts, got: Measured) -> Slopes:
    return stop_slopes(facts, _lean_size, got.at or 0.0)


def _lean_size(run: Run) -> Jet:
    lean = rod_lean(run)
    return lift(lean * np.where(lean.v < 0.0, -1.0, 1.0))


# -------------------------------------------------------------------------- square


def _past(facts: Facts, n: int) -> Law:
    """Return how far rod n is past square to the arm that drives it, rad."""
    tie = ties_of(move(facts.rest, np.zeros(1)), 0.0, 1.0)[n - 1]
    pushed = 1.0 if float(np.ravel(tie.pushed)[0]) > 0.0 else -1.0
    return lambda run: lift(pushed * (laws.crank_angle(run, n) - 0.5 * np.pi))


def _past_square(facts: Facts) -> Measured:
    found = [
        float(values_at(facts, _past(facts, n), np.zeros(1))[0]) for n in _rods(facts)
    ]
    return Measured(value=max(found), at=0.0, note=_which(facts, int(np.argmax(found))))


def _past_slopes(facts: Facts, _: Measured) -> Slopes:
    laws_of = [_past(facts, n) for n in _rods(facts)]
    found = [float(values_at(facts, law, np.zeros(1))[0]) for law in laws_of]
    return slopes_at(facts, laws_of[int(np.argmax(found))], 0.0)


def _which(facts: Facts, index: int) -> str:
    rods = _rods(facts)
    return f"rod {rods[index]} of {len(facts.rest.parts)}" if len(rods) > 1 else ""


def _corner(n: int) -> Law:
    return lambda run: laws.crank_angle(run, n)


def _corners(facts: Facts) -> list[tuple[float, float]]:
    limit = facts.rules.limits["crank angle"]
    return [worst(facts, _corner(n), limit, facts.working) for n in _rods(facts)]


def _most_off(found: list[tuple[float, float]]) -> int:
    return int(np.argmax([abs(angle - 0.5 * np.pi) for angle, _ in found]))


def _crank_angle(facts: Facts) -> Measured:
    found = _corners(facts)
    index = _most_off(found)
    angle, at = found[index]
    rise = 100.0 * (1.0 / np.sin(angle) - 1.0)
    return Measured(
        value=angle,
        at=at,
        working=f"1 / sin {np.degrees(angle):.2f} deg = 1 + {rise:.1f} %",
        note="; ".join(filter(None, [_which(facts, index), unknown_stop(facts)])),
    )


def _corner_slopes(facts: Facts, got: Measured) -> Slopes:
    index = _most_off(_corners(facts))
    return stop_slopes(facts, _corner(_rods(facts)[index]), got.at or 0.0)


def checks() -> Iterator[Check]:
    """Yield the checks of rods."""
    yield Check(
        name="Rod leans at a hard stop",
        law=_hard_angle,
        why="A rod that leans under load presses the piston against its bore.",
        limit="hard-stop rod angle",
        for_pedal=lambda facts: ends_in_cylinder(facts) and is_brake(facts),
        slopes=_hard_lean_slopes,
    )
    yield Check(
        name="Rod leans, anywhere",
        law=_rod_angle,
        why="Deep in its stroke a leaning rod touches the ring in the bore's mouth.",
        limit="rod angle",
        for_pedal=ends_in_cylinder,
        slopes=_lean_slopes,
        moves=True,
    )
    yield Check(
        name="Rod to arm while working",
        law=_crank_angle,
        why="Far off square the ratio changes and the stroke shrinks.",
        limit="crank angle",
        for_pedal=_has_rod,
        slopes=_corner_slopes,
        moves=True,
    )
    yield Check(
        name="Rod past square at rest",
        law=_past_square,
        why="From there the ratio runs away towards a dead centre and the stroke is gone.",
        limit="past square",
        for_pedal=_has_rod,
        slopes=_past_slopes,
        moves=True,
    )

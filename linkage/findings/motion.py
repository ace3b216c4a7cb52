"""Checks of the bare motion: ratio, rods, square, what a foot can reach."""

from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

import numpy as np

from linkage.findings.facts import Facts
from linkage.findings.records import ORDER, Check, Lack, Measured
from linkage.findings.slopes import Slopes, slopes_at, stop_slopes
from linkage.findings.stopping import has_booster, is_brake, no_rig
from linkage.limits.bands import Limit
from linkage.loads.ties import ties_of
from linkage.motion.run import Run, move
from linkage.parts.cylinder import CylinderRest
from linkage.quantities import laws
from linkage.quantities.register import ends_in
from linkage.units import Measure
from solvers.jet import Jet, lift, sqrt, value
from solvers.lowest import lowest

Law = Callable[[Run], Jet]


def values_at(facts: Facts, law: Law, travel: Any) -> Any:
    """Return a quantity at places of the travel."""
    with np.errstate(divide="ignore", invalid="ignore"):
        found = np.asarray(law(move(facts.rest, np.asarray(travel, float))).v, float)
    return np.broadcast_to(found, np.shape(travel))


def worst(
    facts: Facts, law: Law, limit: Limit, upto: float, middle: float = 0.0
) -> tuple[float, float]:
    """Return (value, travel) of the extreme that a limit judges hardest.

    Of two that it judges alike, the one farther from ``middle``.
    """
    ends = []
    for sign in (1.0, -1.0):
        at, least = lowest(partial(_signed, facts, law, sign), 0.0, upto)
        ends.append((sign * least, at))
    return max(ends, key=lambda end: _weight(limit, end[0], middle))


def _signed(facts: Facts, law: Law, sign: float, travel: Any) -> Any:
    return sign * values_at(facts, law, travel)


def _weight(limit: Limit, found: float, middle: float) -> tuple[int, float]:
    return -ORDER.index(limit.verdict(found)), abs(found - middle)


def _has_rod(facts: Facts) -> bool:
    return bool(_rods(facts))


def _rods(facts: Facts) -> list[int]:
    """Return which links of the train are rods, counted from 1."""
    ties = ties_of(move(facts.rest, np.zeros(1)), 0.0, 1.0) if facts.rest.parts else ()
    return [n for n, tie in enumerate(ties, 1) if tie.kind == "rod"]


def _is_cylinder(facts: Facts) -> bool:
    return ends_in(facts.pedal) == "cylinder"


# ------------------------------------------------------------------ it makes its way


def _makes_travel(facts: Facts) -> Measured:
    limit = facts.swept.limit
    whole = float(np.ravel(value(facts.rest.travel))[0])
    over = 0.0 if limit is None else whole - limit.travel
    return Measured(
        value=over,
        at=None if limit is None else limit.travel,
        verdict="ok" if limit is None else "fail",
        note="" if limit is None else f"{limit.kind}: {limit.why}",
        wanted="0 lost",
    )


def _of_travel(facts: Facts, _: Measured) -> Slopes:
    return slopes_at(facts, lambda run: run.rest.travel * 1.0, 0.0)


# --------------------------------------------------------------------------- ratio


def _ratio_change(facts: Facts) -> Measured:
    found, at = worst(
        facts, laws.ratio_change, _limit(facts, "ratio change"), facts.working
    )
    first, here = (float(x) for x in values_at(facts, laws.ratio, np.array([0.0, at])))
    return Measured(
        value=found,
        at=at,
        working=f"100 ({here:.4f} / {first:.4f} - 1) = {found:.2f} %",
        note=_over(facts),
    )


def _over(facts: Facts) -> str:
    if facts.pedal.duty == "brake" and facts.hard is None:
        return "over the travel of a usual hard stop, which this file does not tell"
    return ""


def _limit(facts: Facts, name: str) -> Limit:
    return facts.rules.limits[name]


# ---------------------------------------------------------------------------- rods


def rod_lean(run: Run) -> Jet:
    """Return the angle from rod to axis, in side view and in plan together, rad."""
    side = laws.rod_angle(run)
    plan = plan_angle(run)
    return side if plan == 0.0 else lift(sqrt(side * side + plan * plan))


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


def _corner(facts: Facts, n: int) -> Law:
    del facts
    return lambda run: laws.crank_angle(run, n)


def _corners(facts: Facts) -> list[tuple[float, float]]:
    limit = _limit(facts, "crank angle")
    return [worst(facts, _corner(facts, n), limit, facts.working) for n in _rods(facts)]


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
        note="; ".join(filter(None, [_which(facts, index), _over(facts)])),
    )


def _corner_slopes(facts: Facts, got: Measured) -> Slopes:
    index = _most_off(_corners(facts))
    return stop_slopes(facts, _corner(facts, _rods(facts)[index]), got.at or 0.0)


# --------------------------------------------------------------------------- stroke


def _out_of_reach(facts: Facts) -> Measured | Lack:
    part = facts.cylinder
    if part is None or part.stroke is None:
        return Lack(
            what="nothing says what stroke the cylinder has",
            give=f'stroke = "1.4 in" in its [[pedal.{facts.pedal.name}.train]]',
        )
    whole = part.stroke.nominal
    made = float(values_at(facts, laws.stroke, np.array([facts.reach]))[0])
    touch = facts.touch
    stopped = "" if touch is None else f"the {touch.part} meets {touch.thing} first"
    return Measured(
        value=max(0.0, whole - made),
        at=facts.reach,
        working=f"{whole:.2f} - {min(made, whole):.2f} = {max(0.0, whole - made):.2f} mm",
        note=stopped,
    )


def _reach_slopes(facts: Facts, got: Measured) -> Slopes:
    return slopes_at(facts, lambda run: -laws.stroke(run), got.at or 0.0)


def _gap(facts: Facts) -> Measured | Lack:
    part = facts.cylinder
    if part is not None and part.free_play is not None:
        return Measured(
            value=float(facts.values.get(part.free_play.path, part.free_play.nominal)),
            at=0.0,
        )
    return Lack(
        what="nothing says what gap the rod has at rest",
        give=f"free_play = 0.5 in its [[pedal.{facts.pedal.name}.train]]",
    )


def _booster_gap(facts: Facts) -> Measured | Lack:
    booster = facts.cylinder and facts.cylinder.booster
    if booster and booster.gap is not None:
        return Measured(value=booster.gap.nominal)
    return Lack(
        what="nothing says what gap the booster's rod has to the piston",
        give=f"gap = 0.4 in [pedal.{facts.pedal.name}.train.booster]",
    )


def _gap_slopes(facts: Facts, _: Measured) -> Slopes:
    part = facts.cylinder
    return {} if part is None or part.free_play is None else {part.free_play.path: 1.0}


def checks() -> Iterator[Check]:
    """Yield the checks of the motion."""
    yield Check(
        name="Makes its travel",
        law=_makes_travel,
        why="The linkage locks or turns back before the pad is at its stop.",
        source="own sums",
        measure=Measure.LENGTH,
        slopes=_of_travel,
        moves=True,
    )
    yield Check(
        name="Cylinder's end within reach",
        law=_out_of_reach,
        why="With a bleed screw open the stop holds your foot before the piston is home.",
        limit=lambda _: "stroke out of reach",
        for_pedal=lambda facts: _is_cylinder(facts) and is_brake(facts),
        slopes=_reach_slopes,
        moves=True,
    )
    yield Check(
        name="Rod gap",
        law=_gap,
        why="Too little holds the ports shut and the brakes drag as they warm; too much "
        "is lost pad.",
        limit=lambda _: "rod gap",
        for_pedal=lambda facts: _is_cylinder(facts) and not has_booster(facts),
        slopes=_gap_slopes,
        moves=True,
    )
    yield Check(
        name="Gap of the booster's rod",
        law=_booster_gap,
        why="Too little and the brakes drag; too much is lost pad.",
        limit=lambda _: "booster gap",
        for_pedal=has_booster,
    )
    yield Check(
        name="Rod leans at a hard stop",
        law=_hard_angle,
        why="A rod that leans under load presses the piston against its bore.",
        limit=lambda _: "hard-stop rod angle",
        for_pedal=lambda facts: _is_cylinder(facts) and is_brake(facts),
        slopes=_hard_lean_slopes,
    )
    yield Check(
        name="Rod leans, anywhere",
        law=_rod_angle,
        why="Deep in its stroke a leaning rod touches the ring in the bore's mouth.",
        limit=lambda _: "rod angle",
        for_pedal=_is_cylinder,
        slopes=_lean_slopes,
        moves=True,
    )
    yield Check(
        name="Rod to arm while working",
        law=_crank_angle,
        why="Far off square the ratio changes and the stroke shrinks.",
        limit=lambda _: "crank angle",
        for_pedal=_has_rod,
        slopes=_corner_slopes,
        moves=True,
    )
    yield Check(
        name="Rod past square at rest",
        law=_past_square,
        why="From there the ratio runs away towards a dead centre and the stroke is gone.",
        limit=lambda _: "past square",
        for_pedal=_has_rod,
        slopes=_past_slopes,
        moves=True,
    )
    yield Check(
        name="Ratio change while working",
        law=_ratio_change,
        why="Rising it goes grabby and runs out of stroke; falling the pedal goes dead.",
        limit=lambda _: "ratio change",
        for_pedal=lambda facts: (
            facts.pedal.duty == "brake"
            and ends_in(facts.pedal) in ("cylinder", "cable")
        ),
        slopes=lambda facts, got: stop_slopes(facts, laws.ratio_change, got.at or 0.0),
        moves=True,
    )

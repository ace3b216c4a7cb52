"""Checks of a brake that the file tells the car of: effort, travel, stroke, order."""

import math
from collections.abc import Iterator, Mapping
from functools import partial

from linkage.car.asking import Answer
from linkage.car.budget import Sway
from linkage.car.drive import Missing, missing_of
from linkage.car.pistons import Piston
from linkage.findings.facts import (
    INSPECTION,
    Facts,
    ratio_at,
    stroke_used,
    strokes_of,
)
from linkage.findings.records import Check, Lack, Measured
from linkage.findings.slopes import Slopes, held_slopes

#: A guess that sways less of the travel, mm, or of the effort, N, is leant on by nobody.
NO_TRAVEL, NO_EFFORT = 0.5, 2.0


def no_rig(facts: Facts) -> Lack:
    """Return why nothing is known of this pedal's fluid, or of the car."""
    missing = missing_of(facts.pedal)
    if missing is None:
        return NO_CAR
    what, give = NO_FLUID[missing]
    return Lack(
        what=what, give=give.format(train=f"[[pedal.{facts.pedal.name}.train]]")
    )


_THEN = "in its {train}; [circuit.front], [circuit.rear], [vehicle]"
#: What is missing of a pedal's fluid, and what would give it.
NO_FLUID: Mapping[Missing, tuple[str, str]] = {
    "cylinder": (
        "no cylinder stands at the end of its train, so it has no fluid",
        "{train} with a cylinder",
    ),
    "bore": ("nothing says how large its bore is", f'bore = "3/4 in" {_THEN}'),
    "circuits": (
        "nothing says which circuits its cylinder fills",
        f'circuits = ["front", "rear"] {_THEN}',
    ),
}
NO_CAR = Lack(
    what="nothing says what the car weighs, and where",
    give="[vehicle]: mass, wheelbase, cg_height, front_weight",
)


def is_brake(facts: Facts) -> bool:
    """Return True for a brake pedal."""
    return facts.pedal.duty == "brake"


def ends_in_cylinder(facts: Facts) -> bool:
    """Return True for a train that ends in a cylinder."""
    return facts.cylinder is not None


def has_booster(facts: Facts) -> bool:
    """Return True where a booster stands before its cylinder."""
    return facts.cylinder is not None and facts.cylinder.booster is not None


def _is_brake_with(facts: Facts, *, boosted: bool) -> bool:
    return is_brake(facts) and has_booster(facts) is boosted


def hard_stop(facts: Facts) -> Answer | Lack:
    """Return the hard stop, or why there is none."""
    if facts.hard is None:
        return no_rig(facts)
    return SLIPPERY if _of_grip(facts.hard) else facts.hard


def leans(sways: tuple[Sway, ...], *, effort: bool) -> tuple[str, ...]:
    """Return the guesses that a stop leans on."""
    return tuple(
        sway.doubt.path
        for sway in sways
        if (sway.pushed >= NO_EFFORT if effort else sway.travelled >= NO_TRAVEL)
    )


def _at(answer: Answer) -> float:
    return float(answer.state.foot.travel[0])


def _of_grip(answer: Answer) -> bool:
    """Return True where the tyres do not hold what a hard stop asks for."""
    return answer.missed.startswith("the tyres")


SLIPPERY = Lack(
    what="its tyres do not hold a stop at 0.8 g0",
    give="grip = 0.9 in [vehicle], of a dry road",
)


# -------------------------------------------------------------------------- effort


def _effort(facts: Facts) -> Measured | Lack:
    answer = hard_stop(facts)
    if isinstance(answer, Lack) or answer.rig.road is None:
        return answer if isinstance(answer, Lack) else NO_CAR
    effort, rod = float(answer.state.foot.effort[0]), float(answer.state.fluid.rod[0])
    return Measured(
        value=None if answer.missed else effort,
        at=_at(answer),
        working=_pushes(rod, ratio_at(facts.rest, _at(answer)), effort),
        note=answer.missed,
        leans=leans(answer.sways, effort=True),
    )


def _pushes(rod: float, ratio: float, effort: float) -> str:
    bare = rod / ratio
    said = f"{rod:.1f} N of rod / ratio {ratio:.4f} = {bare:.1f} N"
    if abs(bare - effort) < 0.05:
        return said
    return f"{said}; {effort:.1f} N with weight, springs, friction and the leg's line"


def _effort_slopes(facts: Facts, got: Measured) -> Slopes:
    """Effort = rod / ratio; the rod's force follows the bore's area alone."""
    if got.value is None or got.at is None:
        return {}
    rate = 1.0 / ratio_at(facts.rest, got.at)
    _, by = held_slopes(facts, got.at)
    found = {path: got.value * slope / rate for path, slope in by.items()}
    bore = facts.cylinder.bore if facts.cylinder else None
    if bore is not None and facts.rest.bar is None and not has_booster(facts):
        by_area = 2.0 * got.value / _number(facts, bore.path, bore.nominal)
        found[bore.path] = found.get(bore.path, 0.0) + by_area
    return found


def _number(facts: Facts, path: str, nominal: float) -> float:
    return float(facts.values.get(path, nominal))


# -------------------------------------------------------------------------- travel


def _travel(facts: Facts) -> Measured | Lack:
    answer = hard_stop(facts)
    if isinstance(answer, Lack):
        return answer
    return Measured(
        value=None if answer.missed else _at(answer),
        at=_at(answer),
        working=f"rod {answer.state.fluid.moved[0]:.2f} mm, cause by cause: footwell budget",
        note=answer.missed or _asked(answer),
        leans=leans(answer.sways, effort=False),
    )


def _asked(answer: Answer) -> str:
    if answer.of == "deceleration":
        return ""
    return "at 7 MPa in the lines: with [vehicle] it would be 0.8 g0"


def _travel_slopes(facts: Facts, got: Measured) -> Slopes:
    return {} if got.at is None else held_slopes(facts, got.at)[0]


def _left(facts: Facts) -> Measured | Lack:
    answer = hard_stop(facts)
    if isinstance(answer, Lack):
        return answer
    left, touch = facts.reach - _at(answer), facts.touch
    upto = "" if touch is None else f"up to where the {touch.part} meets {touch.thing}"
    return Measured(
        value=None if answer.missed else left,
        at=_at(answer),
        working=f"{facts.reach:.1f} - {_at(answer):.1f} = {left:.1f} mm",
        note=answer.missed or "; ".join(filter(None, [upto, _asked(answer)])),
        leans=leans(answer.sways, effort=False),
    )


def _left_slopes(facts: Facts, got: Measured) -> Slopes:
    if got.at is None:
        return {}
    found = {path: -slope for path, slope in _travel_slopes(facts, got).items()}
    full = facts.pedal.full
    if facts.touch is None and full.how == "travel":
        found[full.value.path] = found.get(full.value.path, 0.0) + 1.0
    return found


def _used(facts: Facts) -> Measured | Lack:
    if facts.light is None:
        return no_rig(facts)
    whole, touch = facts.floor or facts.reach, facts.touch
    if touch is not None:
        whole = min(whole, facts.reach)
    used = 100.0 * facts.light / whole
    if facts.floor is None and used > facts.rules.limits["travel used"].most:
        return Lack(
            what="it is counted to the floor, which the pad does not meet in this file; "
            f"counted to its stop it uses {used:.0f} %",
            give="floor, bulkhead in [footwell]",
        )
    return Measured(
        value=used,
        bound="at most" if facts.floor is None else "",
        at=facts.light,
        working=f"100 x {facts.light:.1f} / {whole:.1f} mm at {INSPECTION:.0f} N = {used:.1f} %",
        note=_counted(facts),
        leans=() if facts.hard is None else leans(facts.hard.sways, effort=False),
    )


def _counted(facts: Facts) -> str:
    """Return where the travel is counted to: 49 CFR 570.55 (c) means the floor."""
    if facts.touch is not None:
        return f"counted to where the {facts.touch.part} meets {facts.touch.thing}"
    if facts.floor is None:
        return "counted to its stop: the pad meets no floor or bulkhead in this file"
    return "counted to where the pad would meet floor or bulkhead"


def _stroke(facts: Facts) -> Measured | Lack:
    answer = hard_stop(facts)
    if isinstance(answer, Lack):
        return answer
    used = stroke_used(answer.rig, answer.level)
    if math.isnan(used):
        return Lack(
            what="nothing says what stroke the cylinder has",
            give=f"stroke = 36 in its [[pedal.{facts.pedal.name}.train]]",
        )
    made, whole = max(
        strokes_of(answer.rig, answer.level), key=lambda each: each[0] / each[1]
    )
    return Measured(
        value=None if answer.missed else used,
        at=_at(answer),
        working=f"100 x {made:.2f} / {whole:.2f} mm = {used:.1f} %",
        note=answer.missed or _asked(answer),
        leans=leans(answer.sways, effort=False),
    )


def _stroke_slopes(facts: Facts, got: Measured) -> Slopes:
    """Of the stroke only what pushes fluid falls with the piston's area."""
    bore = facts.cylinder.bore if facts.cylinder else None
    if facts.hard is None or bore is None or got.value is None:
        return {}
    driven = facts.hard.rig.driven
    if not isinstance(driven, Piston):
        return {}
    fluid = got.value - 100.0 * float(driven.master.cut_off) / float(
        driven.master.stroke
    )
    return {bore.path: -2.0 * fluid / _number(facts, bore.path, bore.nominal)}


def checks() -> Iterator[Check]:
    """Yield the checks of a brake."""
    for limit, boosted in (("effort", False), ("boosted effort", True)):
        yield Check(
            name="Foot force at 0.8 g0",
            law=_effort,
            why="A leg that tires, or is small, does not stop the car.",
            limit=limit,
            for_pedal=partial(_is_brake_with, boosted=boosted),
            slopes=_effort_slopes,
        )
    yield Check(
        name="Pad travel at a hard stop",
        law=_travel,
        why="Too long leaves nothing for a bad day; too short is hard to meter.",
        limit="hard-stop travel",
        for_pedal=is_brake,
        slopes=_travel_slopes,
    )
    yield Check(
        name="Pad left at a hard stop",
        law=_left,
        why="Worn pads, hot fluid and air take what is left.",
        limit="pad left",
        for_pedal=is_brake,
        slopes=_left_slopes,
    )
    yield Check(
        name="Travel used at an inspection",
        law=_used,
        why="An inspector who presses lightly wants a fifth of the way to the floor left.",
        limit="travel used",
        for_pedal=is_brake,
    )
    yield Check(
        name="Stroke used at a hard stop",
        law=_stroke,
        why="Worn pads, hot fluid and air take the rest.",
        limit="stroke used",
        for_pedal=is_brake,
        slopes=_stroke_slopes,
    )

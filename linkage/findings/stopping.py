"""Checks of a brake that the file tells the car of: effort, travel, stroke, order."""

import math
from collections.abc import Iterator

from linkage.car.asking import Answer
from linkage.car.budget import Sway
from linkage.car.drive import drive_faults
from linkage.car.pistons import Piston
from linkage.findings.facts import INSPECTION, Facts, ratio_at, stroke_used
from linkage.findings.records import Check, Lack, Measured
from linkage.findings.slopes import Slopes, held_slopes

#: A guess that sways less of the travel, mm, or of the effort, N, is leant on by nobody.
NO_TRAVEL, NO_EFFORT = 0.5, 2.0


def no_rig(facts: Facts) -> Lack:
    """Return why nothing is known of this pedal's fluid."""
    name = facts.pedal.name
    for fault in drive_faults(facts.design, facts.pedal):
        what = f"{fault.wrong[:1].lower()}{fault.wrong[1:]}".rstrip(".")
        give = {
            "nothing says how large its bore is": "bore",
            "nothing says which circuits its cylinder fills": "circuits",
        }.get(what)
        if give is None:
            return Lack(what=what, give=f"[[pedal.{name}.train]] with a cylinder")
        example = {
            "bore": 'bore = "3/4 in"',
            "circuits": 'circuits = ["front", "rear"]',
        }
        where = f"{example[give]} in its [[pedal.{name}.train]]"
        rest = "; [circuit.front], [circuit.rear], [vehicle]"
        return Lack(what=what, give=where + rest)
    return NO_CAR


NO_CAR = Lack(
    what="nothing says what the car weighs, and where",
    give="[vehicle]: mass, wheelbase, cg_height, front_weight",
)


def is_brake(facts: Facts) -> bool:
    """Return True for a brake pedal."""
    return facts.pedal.duty == "brake"


def has_booster(facts: Facts) -> bool:
    """Return True where a booster stands before its cylinder."""
    return facts.cylinder is not None and facts.cylinder.booster is not None


def _hard(facts: Facts) -> Answer | Lack:
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
    answer = _hard(facts)
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
    if bore is not None and not has_booster(facts):
        by_area = 2.0 * got.value / _number(facts, bore.path, bore.nominal)
        found[bore.path] = found.get(bore.path, 0.0) + by_area
    return found


def _number(facts: Facts, path: str, nominal: float) -> float:
    return float(facts.values.get(path, nominal))


# -------------------------------------------------------------------------- travel


def _travel(facts: Facts) -> Measured | Lack:
    answer = _hard(facts)
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
    answer = _hard(facts)
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
    used = 100.0 * facts.light / facts.reach
    return Measured(
        value=used,
        at=facts.light,
        working=f"100 x {facts.light:.1f} / {facts.reach:.1f} mm at {INSPECTION:.0f} N = {used:.1f} %",
        leans=() if facts.hard is None else leans(facts.hard.sways, effort=False),
    )


def _stroke(facts: Facts) -> Measured | Lack:
    answer = _hard(facts)
    if isinstance(answer, Lack):
        return answer
    used, driven = stroke_used(answer.rig, answer.level), answer.rig.driven
    if math.isnan(used) or not isinstance(driven, Piston):
        return Lack(
            what="nothing says what stroke the cylinder has",
            give=f"stroke = 36 in its [[pedal.{facts.pedal.name}.train]]",
        )
    whole = float(driven.master.stroke)
    return Measured(
        value=None if answer.missed else used,
        at=_at(answer),
        working=f"100 x {used * whole / 100.0:.2f} / {whole:.2f} mm = {used:.1f} %",
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
    yield Check(
        name="Foot force at 0.8 g0",
        law=_effort,
        why="A leg that tires, or is small, does not stop the car.",
        limit=lambda facts: "boosted effort" if has_booster(facts) else "effort",
        for_pedal=is_brake,
        slopes=_effort_slopes,
    )
    yield Check(
        name="Pad travel at a hard stop",
        law=_travel,
        why="Too long leaves nothing for a bad day; too short is hard to meter.",
        limit=lambda _: "hard-stop travel",
        for_pedal=is_brake,
        slopes=_travel_slopes,
    )
    yield Check(
        name="Pad left at a hard stop",
        law=_left,
        why="Worn pads, hot fluid and air take what is left.",
        limit=lambda _: "pad left",
        for_pedal=is_brake,
        slopes=_left_slopes,
    )
    yield Check(
        name="Travel used at an inspection",
        law=_used,
        why="An inspector who presses lightly wants a fifth of the travel left.",
        limit=lambda _: "travel used",
        for_pedal=is_brake,
    )
    yield Check(
        name="Stroke used at a hard stop",
        law=_stroke,
        why="Worn pads, hot fluid and air take the rest.",
        limit=lambda _: "stroke used",
        for_pedal=is_brake,
        slopes=_stroke_slopes,
    )

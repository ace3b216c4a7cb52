"""Checks of a cylinder's stroke: its end within reach, and the gaps before its piston."""

from collections.abc import Iterator
from functools import partial

import numpy as np

from linkage.car.drive import cylinders
from linkage.findings.facts import Facts
from linkage.findings.looking import values_at
from linkage.findings.records import ORDER, Check, Lack, Measured
from linkage.findings.slopes import Slopes, slopes_at
from linkage.findings.stopping import ends_in_cylinder, has_booster, is_brake
from linkage.parts.cylinder import Cylinder
from linkage.quantities import laws


def _out_of_reach(facts: Facts) -> Measured | Lack:
    found = [_left(facts, part) for part in cylinders(facts.pedal)]
    return max(
        found, key=lambda got: -1.0 if isinstance(got, Lack) else got.value or 0.0
    )


def _left(facts: Facts, part: Cylinder) -> Measured | Lack:
    if part.stroke is None:
        return Lack(
            what="nothing says what stroke the cylinder has",
            give=f'stroke = "1.4 in" in its {_table(part)}',
        )
    whole = part.stroke.nominal
    law = partial(laws.stroke, which=part.number)
    made = float(values_at(facts, law, np.array([facts.reach]))[0])
    touch = facts.touch
    stopped = "" if touch is None else f"the {touch.part} meets {touch.thing} first"
    return Measured(
        value=max(0.0, whole - made),
        at=facts.reach,
        working=f"{whole:.2f} - {min(made, whole):.2f} = {max(0.0, whole - made):.2f} mm",
        note=stopped,
    )


def _table(part: Cylinder) -> str:
    """Return the heading in the file that a cylinder's keys stand under."""
    return f"[[pedal.{part.pedal}.train{f'.{part.branch}' if part.branch else ''}]]"


def _reach_slopes(facts: Facts, got: Measured) -> Slopes:
    return slopes_at(facts, lambda run: -laws.stroke(run), got.at or 0.0)


def _gap(facts: Facts) -> Measured | Lack:
    limit = facts.rules.limits["rod gap"]
    found = [_gap_of(facts, part) for part in cylinders(facts.pedal)]
    return min(
        found,
        key=lambda got: ORDER.index(
            "not checked" if isinstance(got, Lack) else limit.verdict(got.value or 0.0)
        ),
    )


def _gap_of(facts: Facts, part: Cylinder) -> Measured | Lack:
    if part.free_play is not None:
        return Measured(
            value=float(facts.values.get(part.free_play.path, part.free_play.nominal)),
            at=0.0,
        )
    return Lack(
        what="nothing says what gap the rod has at rest",
        give=f"free_play = 0.5 in its {_table(part)}",
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
    """Yield the checks of a stroke."""
    yield Check(
        name="Cylinder's end within reach",
        law=_out_of_reach,
        why="With a bleed screw open the stop holds your foot before the piston is home.",
        limit="stroke out of reach",
        for_pedal=lambda facts: ends_in_cylinder(facts) and is_brake(facts),
        slopes=_reach_slopes,
        moves=True,
    )
    yield Check(
        name="Rod gap",
        law=_gap,
        why="Too little holds the ports shut and the brakes drag as they warm; too much "
        "is lost pad.",
        limit="rod gap",
        for_pedal=lambda facts: ends_in_cylinder(facts) and not has_booster(facts),
        slopes=_gap_slopes,
        moves=True,
    )
    yield Check(
        name="Gap of the booster's rod",
        law=_booster_gap,
        why="Too little and the brakes drag; too much is lost pad.",
        limit="booster gap",
        for_pedal=has_booster,
    )

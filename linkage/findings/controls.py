"""Checks of throttle and clutch: stops, springs that close alone, the run home."""

from collections.abc import Iterator
from typing import Any

import numpy as np
from msgspec.structs import replace

from linkage.findings.facts import Facts
from linkage.findings.records import Check, Lack, Measured
from linkage.loads.burden import Burden, burden_of
from linkage.loads.equilibrium import Load, forces
from linkage.loads.returning import returning
from linkage.motion.run import move
from linkage.parts.cable import Cable
from linkage.parts.lever import Lever
from linkage.parts.quadrant import Quadrant
from linkage.quantities import laws
from solvers.jet import value

#: Places of the travel at which the springs are looked at.
LOOKS = 33


def _is_throttle(facts: Facts) -> bool:
    return facts.pedal.duty == "throttle"


def _is_clutch(facts: Facts) -> bool:
    return facts.pedal.duty == "clutch"


def _one(x: Any) -> float:
    return float(np.ravel(np.real(value(x)))[0])


# --------------------------------------------------------------------------- stops


def _cable_left(facts: Facts) -> Measured | Lack:
    last = facts.pedal.train[-1] if facts.pedal.train else None
    name = facts.pedal.name
    if not isinstance(last, Lever | Quadrant):
        give = f"a lever or quadrant with its turn in [[pedal.{name}.train]]"
        return Lack(what="no lever or quadrant ends its train", give=give)
    if last.turn is None:
        give = f"turn = 80 in its [[pedal.{name}.train]]"
        return Lack(
            what=f"nothing says what its {last.KIND} turns between stops", give=give
        )
    run = move(facts.rest, np.array([facts.travel]))
    left = last.turn.nominal - _one(laws.lever_turn(run))
    arm = _arm(facts, last)
    return Measured(
        value=left * arm,
        at=facts.travel,
        working=f"{np.degrees(left):.2f} deg left x {arm:.1f} mm = {left * arm:.2f} mm",
    )


def _arm(facts: Facts, last: Lever | Quadrant) -> float:
    """Return the radius that the cable or rod draws at, mm."""
    places = facts.rest.places
    if isinstance(last, Quadrant):
        return _one(places.number(last.radius))
    pivot, hole = (places.point(f"{last.path}.{key}") for key in ("pivot", "input"))
    return abs(complex(value(hole)) - complex(value(pivot)))


def _beyond_need(facts: Facts) -> Measured | Lack:
    last = facts.pedal.train[-1] if facts.pedal.train else None
    if not isinstance(last, Cable):
        return Lack(what="no key says what stroke its clutch's release takes")
    if last.pull is None:
        give = f"pull = 30 in its [[pedal.{facts.pedal.name}.train]]"
        return Lack(what="nothing says what the far end of its cable needs", give=give)
    drawn = move(facts.rest, np.array([facts.travel])).last.drawn
    got, needs = _one(drawn.taken) if drawn else 0.0, last.pull.nominal
    over = 100.0 * (got / needs - 1.0)
    return Measured(
        value=over,
        at=facts.travel,
        working=f"100 ({got:.2f} / {needs:.2f} - 1) = {over:.1f} %",
    )


# -------------------------------------------------------------------------- springs


def _burden(facts: Facts) -> Burden:
    return burden_of(facts.rest)


def _spring_margin(facts: Facts) -> Measured | Lack:
    name, pedal = facts.pedal.name, facts.pedal
    if len(pedal.springs) < 2:
        have = "one spring" if pedal.springs else "no spring"
        give = f"both as [[pedal.{name}.spring]]"
        return Lack(what=f"the file has {have}, and two are wanted", give=give)
    if pedal.friction is None:
        give = f"[pedal.{name}.friction]: pivot, pins"
        return Lack(what="nothing says what rubs", give=give)
    run = move(facts.rest, np.linspace(0.0, facts.travel, LOOKS))
    found = [_alone(facts, run, n) for n in range(len(pedal.springs))]
    least = min(range(len(found)), key=lambda n: found[n])
    return Measured(
        value=found[least],
        note=f"spring {least + 1} alone; the throttle's own springs and drag are not in it",
        working="; ".join(
            f"spring {n}: {x:.2f} x friction" for n, x in enumerate(found, 1)
        ),
    )


def _alone(facts: Facts, run: Any, n: int) -> float:
    """Return the least of what one spring does / what friction holds back."""
    whole = _burden(facts)
    burden = replace(whole, springs=(whole.springs[n],))
    none = Load(of="end", size=0.0)
    there, home = (
        np.asarray(forces(run, burden, none, way=way).effort, float)
        for way in (1.0, -1.0)
    )
    rubs = 0.5 * (there - home)
    return float(np.min(0.5 * (there + home) / np.maximum(rubs, 1e-9)))


def _return_time(facts: Facts) -> Measured | Lack:
    if not facts.pedal.springs:
        give = f"[pedal.{facts.pedal.name}.spring]"
        return Lack(what="the file has no spring that brings it home", give=give)
    back = returning(facts.rest, _burden(facts), facts.travel)
    if back.time is None and back.stays is None:
        return Lack(what="no outline goes round its holes, so it has no weight")
    note = "the pedal alone, with nothing on its train"
    if back.stays is not None:
        note = f"it stays down at {back.stays:.1f} mm of pad"
    return Measured(value=back.time, at=back.stays, note=note)


def checks() -> Iterator[Check]:
    """Yield the checks of throttle and clutch."""
    yield Check(
        name="Pedal's stop comes first",
        law=_cable_left,
        why="Where the pedal has no stop before the lever's, the foot strains the cable.",
        limit="cable left at stop",
        for_pedal=_is_throttle,
    )
    yield Check(
        name="Each spring closes it alone",
        law=_spring_margin,
        why="With one spring broken the other has to beat all friction.",
        limit="spring margin",
        for_pedal=_is_throttle,
    )
    yield Check(
        name="Runs home in time",
        law=_return_time,
        why="A throttle that comes home late, or not, drives on.",
        limit="return time",
        for_pedal=_is_throttle,
    )
    yield Check(
        name="Clutch overtravel at the stop",
        law=_beyond_need,
        why="Too little and it drags; too much and fingers hit the disc.",
        limit="cable beyond need",
        for_pedal=_is_clutch,
    )

"""Springs, friction and the leg read back in words: what nobody typed of them."""

import math
from collections.abc import Iterator

import numpy as np

from linkage.design.records import Design, Friction
from linkage.design.values import Value
from linkage.loads.burden import Burden
from linkage.loads.foot import leg_way, path_way
from linkage.loads.marks import Mark, marks_of
from linkage.loads.springs import Line, SpringRest, springs_of
from linkage.motion.ends import find_limit
from linkage.motion.rest import PedalRest
from linkage.motion.run import Run, move
from linkage.units import say
from linkage.words.effort import SCALES, STATES, Scale
from linkage.words.speech import Speech
from solvers.jet import value


def burden_lines(design: Design, rest: PedalRest) -> Iterator[str]:
    """Yield a paragraph for each spring, for friction, and for the leg."""
    whole = float(np.ravel(value(rest.travel))[0])
    limit = find_limit(rest, whole)
    if limit is not None:
        whole = math.nextafter(limit.travel, 0.0)
    springs, speech = springs_of(rest), Speech(design.units)
    marks = marks_of(rest, Burden(springs=springs), whole) if springs else ()
    solid = [mark.travel for mark in marks if mark.what == "spring solid"]
    end = math.nextafter(min(solid), 0.0) if solid else whole
    run = move(rest, np.array([0.0, end]))
    full = "at full" if not solid and limit is None else "as far as it goes"
    for number, spring in enumerate(springs, 1):
        mine = [mark for mark in marks if mark.part == f"spring.{number}"]
        text = _spring(spring, run, mine, full, speech, SCALES[design.units])
        yield f"Spring {number}: {text}"
    if rest.pedal.friction is not None:
        yield _friction(rest.pedal.friction, speech, SCALES[design.units])
    if design.driver.hip is not None:
        yield _leg(run, complex(value(rest.places.form(design.driver.hip))))


def _spring(
    spring: SpringRest,
    run: Run,
    marks: list[Mark],
    full: str,
    speech: Speech,
    scale: Scale,
) -> str:
    _, unit, sizes = spring.shown(run)
    name, digits = scale.of(unit)
    first, last = (
        say(float(size), name, max(digits, 1)) for size in np.broadcast_to(sizes, (2,))
    )
    said = f"{spring.spring.kind}, {first} at rest, {last} {full}"
    if isinstance(spring, Line):
        start, end = (speech.on_tape(float(x)) for x in spring.length(run))
        said += f"; its ends are {start} apart at rest, {end} {full}"
    for mark in marks:
        said += f"; it {STATES[mark.what]} at {speech.short(mark.travel, speech.coarse)} of pad"
    return f"{said}."


def _friction(friction: Friction, speech: Speech, scale: Scale) -> str:
    pivot = f"{_number(friction.pivot)} on {_size(friction.pivot_pin, speech)}"
    pins = f"{_number(friction.pins)} on {_size(friction.pin, speech)}"
    name, digits = scale.force
    seal, share = friction.seal, friction.seal_share
    held = [] if seal is None else [say(seal.nominal, name, digits)]
    held += [] if share is None else [f"{share.nominal:g} % of the force"]
    seals = " and ".join(held) or "nothing"
    return f"Friction: pivots {pivot}, rod pins {pins}; seals hold back {seals}."


def _number(held: Value) -> str:
    return f"{held.nominal:g}{_guess(held)}"


def _size(held: Value, speech: Speech) -> str:
    return f"{speech.size(held.nominal)}{_guess(held)}"


def _guess(held: Value) -> str:
    return " (a guess)" if held.guess else ""


def _leg(run: Run, hip: complex) -> str:
    turn = np.angle(leg_way(run, hip) / path_way(run))
    first, last = (f"{abs(math.degrees(x)):.0f} deg" for x in turn)
    return (
        f"The leg pushes {first} off the pad's path at rest and {last} off it at full."
    )

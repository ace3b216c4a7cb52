"""Numbers on a picture: those that were typed, the arm's length, what is left at full."""

from collections.abc import Iterator
from typing import Literal

import numpy as np

from linkage.design.records import Cartesian, Design
from linkage.design.values import Value
from linkage.motion.rest import PedalRest
from linkage.motion.run import move
from linkage.sheets.poses import at_place, frames_of, pad_thick
from linkage.sheets.scene import Length, Reading
from linkage.words.speech import Speech
from solvers.jet import value

#: mm of paper from the arm to the dimension of its length.
BESIDE = 5.5


def readings_of(rest: PedalRest, speech: Speech) -> Iterator[Reading]:
    """Return the numbers that were typed for points of the car's frame."""
    points = list(rest.pedal.points.items())
    for part, frame in zip(rest.pedal.train, frames_of(rest), strict=False):
        if frame == 0:
            keys = ("seat", "on", "face", "pivot", "input", "output", "ferrule")
            points += [
                (f"{part.label}.{key}", point)
                for key in keys
                if (point := getattr(part, key, None)) is not None
            ]
    for key, point in points:
        if isinstance(point, Cartesian) and point.base is None:
            at = complex(value(rest.places.point(f"{rest.pedal.name}.{key}")))
            yield from _typed(at, point, speech)


def _typed(at: complex, point: Cartesian, speech: Speech) -> Iterator[Reading]:
    ways: tuple[tuple[Literal["back", "up"], Value, float, tuple[str, str]], ...] = (
        ("back", point.x, point.x_sign, ("ahead", "back")),
        ("up", point.z, point.z_sign, ("up", "down")),
    )
    for axis, number, sign, words in ways:
        if not number.line:
            continue
        said = _said(number, speech)
        if number.path.endswith((".x", ".z")):
            yield Reading(at=at, axis=axis, text=said)
        else:
            less = sign * number.nominal < 0.0 or (number.nominal == 0.0 and sign < 0.0)
            word = words[less]
            yield Reading(at=at, axis=axis, text=f"{said.replace('-', '')} {word}")


def _said(number: Value, speech: Speech) -> str:
    about = "about " if number.guess else ""
    return f"{about}{speech.reading(number.nominal)}"


def arm_length(rest: PedalRest, speech: Speech) -> Length:
    """Return the length from pivot to pad, its line behind the arm."""
    pivot, pad = complex(value(rest.pivot)), complex(value(rest.pad))
    beside = -BESIDE if pad.imag < pivot.imag else BESIDE
    return Length(a=pivot, b=pad, text=speech.ruled(abs(pad - pivot)), beside=beside)


def gaps_at_full(design: Design, rest: PedalRest, speech: Speech) -> Iterator[Length]:
    """Return what is left at full, behind the pad and below it."""
    run = move(rest, np.array([float(value(rest.travel))]))
    pad = at_place(run.at(f"{rest.pedal.name}.pad"), 0)
    floor, bulkhead = design.footwell.floor, design.footwell.bulkhead
    if isinstance(bulkhead, Value):
        back = pad + pad_thick(rest.pedal)
        at = float(value(rest.places.number(bulkhead)))
        gap, wall = at - back.real, complex(at, back.imag)
        yield Length(a=back, b=wall, text=f"{speech.ruled(gap)} left at full")
    if isinstance(floor, Value):
        at = float(value(rest.places.number(floor)))
        gap, ground = pad.imag - at, complex(pad.real, at)
        yield Length(a=pad, b=ground, text=f"{speech.ruled(gap)} at full")

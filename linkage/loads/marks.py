"""Where along the travel a force jumps, or a spring changes its state."""

from collections.abc import Callable, Iterator
from functools import partial
from typing import Any, Literal

import numpy as np
from msgspec import Struct

from linkage.loads.burden import Burden
from linkage.loads.springs import Line
from linkage.motion.ends import find_ends
from linkage.motion.rest import PedalRest
from linkage.motion.run import move
from linkage.parts.cylinder import CylinderRest
from solvers.jet import value
from solvers.root import first_zero

What = Literal[
    "gap closed",
    "cable slack taken up",
    "cylinder full",
    "spring starts to work",
    "spring goes slack",
    "spring solid",
]


class Mark(Struct, frozen=True, kw_only=True):
    """Something that happens to the forces, at this travel, mm."""

    what: What
    part: str
    travel: float


def marks_of(rest: PedalRest, burden: Burden, upto: float) -> tuple[Mark, ...]:
    """Return what happens in 0 < travel <= ``upto`` of a single pedal, in order."""
    with np.errstate(divide="ignore", invalid="ignore"):
        found = [*_taken_up(rest, upto), *_springs(rest, burden, upto)]
    return tuple(sorted(found, key=lambda mark: mark.travel))


def _taken_up(rest: PedalRest, upto: float) -> Iterator[Mark]:
    for end in find_ends(rest, upto):
        if end.what != "lever at its stop":
            yield Mark(what=end.what, part=end.part, travel=end.travel)
    last = rest.parts[-1] if rest.parts else None
    gap = value(rest.play)
    if isinstance(last, CylinderRest) and float(np.ravel(gap)[0]) > 0.0:
        at = _zero(lambda x: gap - move(rest, x).end().v, upto)
        if at is not None:
            part = rest.pedal.bar or rest.pedal.train[-1]
            yield Mark(what="gap closed", part=part.label, travel=at)


def _springs(rest: PedalRest, burden: Burden, upto: float) -> Iterator[Mark]:
    for n, spring in enumerate(burden.springs, 1):
        if not isinstance(spring, Line):
            continue
        first = np.ravel(spring.take(move(rest, np.zeros(1))))[0]
        begun = 1.0 if first > 0.0 else -1.0
        taken = partial(_taken, rest, spring, begun)
        yield from _mark(
            "spring goes slack" if first > 0.0 else "spring starts to work",
            n,
            _zero(taken, upto),
        )
        yield from _mark("spring solid", n, _zero(partial(_room, rest, spring), upto))


def _mark(what: What, number: int, at: float | None) -> Iterator[Mark]:
    if at is not None:
        yield Mark(what=what, part=f"spring.{number}", travel=at)


def _taken(rest: PedalRest, spring: Line, sign: float, x: Any) -> Any:
    return sign * spring.take(move(rest, x))


def _room(rest: PedalRest, spring: Line, x: Any) -> Any:
    return spring.room(move(rest, x))


def _zero(left: Callable[[Any], Any], upto: float) -> float | None:
    return first_zero(
        lambda x: np.broadcast_to(np.asarray(left(x), float), np.shape(x)), 0.0, upto
    )

"""Where the motion ends, and what is used up on the way: root-found, not on a grid."""

from collections.abc import Callable
from functools import partial
from typing import Any, Literal

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.motion.rest import PedalRest
from linkage.motion.run import Run, move
from linkage.parts.moving import Step, sense_of_rate
from solvers.root import first_fall, first_zero

LimitKind = Literal["dead centre", "rod short", "locked", "cannot assemble"]
EndKind = Literal["cylinder full", "lever at its stop", "cable slack taken up"]
#: What is left of something at each place of a run.
Left = Callable[[Run], Any]


class Limit(Struct, frozen=True, kw_only=True, eq=False):
    """The first place where the motion cannot go on; travel in mm."""

    kind: LimitKind
    travel: float
    why: str


class End(Struct, frozen=True, kw_only=True, eq=False):
    """Something that is used up on the way and stops nothing; travel in mm."""

    what: EndKind
    part: str
    travel: float


@np.errstate(divide="ignore", invalid="ignore")  # parts of jets come late
def find_limit(rest: PedalRest, upto: float, seen: Run | None = None) -> Limit | None:
    """Return the first limit in 0 < travel <= ``upto``, or None.

    Parameters
    ----------
    rest : PedalRest
        One layout, plain numbers.
    upto : float
        mm.
    seen : Run, optional
        The layout at places from rest to ``upto``, to look at in place of many more.
        Quicker, and blind to what dips and rises between two.
    """
    missing = rest.missing()
    if missing is not None:
        return Limit(kind="cannot assemble", travel=0.0, why=missing)
    first: Limit | None = None
    reach = upto
    for kind, why, room in _rooms(rest, seen):
        found = _first_zero(rest, room, reach, seen)
        if found is not None and (first is None or found < first.travel):
            first, reach = Limit(kind=kind, travel=found, why=why), found
    return first


def _first_zero(
    rest: PedalRest, left: Left, upto: float, seen: Run | None, close: float = 0.0
) -> float | None:
    """Return the first travel at which something itself runs out.

    It is nan as well where a part ahead of it can go no further: there it breaks off
    with something left, and that is the other part's limit.
    """

    def f(x: NDArray[np.float64]) -> Any:
        return _real(left(move(rest, x)), x)

    if seen is None:
        found = first_zero(f, 0.0, upto)
    else:
        places = np.ravel(seen.travel.v)
        found = first_fall(f, places, _real(left(seen), places), close)
    if found is None:
        return None
    start, last = f(np.array([0.0, np.nextafter(found, 0.0)]))
    return found if last <= 1e-6 * start else None


def _rooms(rest: PedalRest, seen: Run | None) -> list[tuple[LimitKind, str, Left]]:
    """Return every margin of a layout as (kind, why, what is left of it in a run)."""
    rooms: list[tuple[LimitKind, str, Left]] = []
    if not rest.parts:
        return rooms
    for i, step in enumerate(_at_hand(rest, seen).steps):
        for j, margin in enumerate(step.margins):
            rooms.append(
                (
                    margin.kind,
                    f"part {i + 1}: {margin.why}",
                    partial(_room, i, j),
                )
            )
    if rest.bar is None:
        rooms.append(("dead centre", _turning(rest), _end_rate))
    else:
        rooms += [
            ("dead centre", _turning(rest), partial(_rod_rate, part.number - 1))
            for part in rest.pedal.train[-2:]
        ]
    return rooms


def _at_hand(rest: PedalRest, seen: Run | None) -> Run:
    """Return a run that says what there is to run out: the one at hand, or at rest."""
    return move(rest, np.zeros(1)) if seen is None else seen


def _room(part: int, margin: int, run: Run) -> Any:
    return run.steps[part].margins[margin].room()


def _turning(rest: PedalRest) -> str:
    what = {
        "cylinder": "the piston",
        "cable": "the cable",
        "lever": "the lever",
        "quadrant": "the quadrant",
    }[rest.pedal.train[-1].KIND]
    return (
        f"pressing further turns {what} back: a rod or cable and the arm that drives "
        "it are in one line"
    )


def _end_rate(run: Run) -> Any:
    """Rate of the end, slack left out, positive at the start."""
    return run.end().t


def _rod_rate(part: int, run: Run) -> Any:
    """Rate of one rod of a bar, its gap left out, positive at the start."""
    return run.steps[part].end().t


def _real(y: Any, x: Any) -> Any:
    return np.broadcast_to(np.asarray(y, float), np.shape(x))


@np.errstate(divide="ignore", invalid="ignore")  # parts of jets come late
def find_ends(
    rest: PedalRest, upto: float, seen: Run | None = None, close: float = 0.0
) -> tuple[End, ...]:
    """Return what is used up in 0 < travel <= ``upto``, in order of travel.

    ``seen`` is what `find_limit` takes it for; with it, an end may be out by ``close``,
    mm.
    """
    ends = []
    for index, part in enumerate(rest.pedal.train):
        for what, left in _stores(rest, index, seen):
            found = _first_zero(rest, left, upto, seen, close)
            if found is not None:
                ends.append(End(what=what, part=part.label, travel=found))
    return tuple(sorted(ends, key=lambda end: end.travel))


def _stores(
    rest: PedalRest, index: int, seen: Run | None
) -> list[tuple[EndKind, Left]]:
    part = rest.pedal.train[index]
    stores: list[tuple[EndKind, Left]] = []
    drawn = _at_hand(rest, seen).steps[index].drawn
    if drawn is not None and float(np.max(drawn.slack)) > 0.0:
        stores.append(
            (
                "cable slack taken up",
                lambda run: drawn.slack - _pull(run.steps[index]),
            )
        )
    full = getattr(part, "stroke", None)
    if full is not None:
        play = rest.places.number(getattr(part, "free_play", None))
        whole = rest.places.number(full) + play
        stores.append(("cylinder full", lambda run: whole - run.steps[index].end().v))
    turn = getattr(part, "turn", None)
    if turn is not None:
        stores.append(
            (
                "lever at its stop",
                lambda run: rest.places.number(turn) - _turn(rest, run, index),
            )
        )
    return stores


def _pull(step: Step) -> Any:
    return np.nan if step.drawn is None else step.drawn.pull.v


def _turn(rest: PedalRest, run: Run, index: int) -> Any:
    body = run.steps[index].body
    if body is None:
        return np.nan
    return body.turn().v * sense_of_rate(rest.parts[index].rate)

"""Where a train ends: a part that never gets there, or that is there too early."""

from collections.abc import Callable, Iterator
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from linkage.design.records import Part
from linkage.faults import Fault
from linkage.motion.ends import find_ends, find_limit
from linkage.motion.rest import PedalRest
from linkage.motion.run import move
from linkage.parts.cable import Cable
from linkage.parts.cylinder import Cylinder
from linkage.quantities import laws
from linkage.quantities.register import has_drum, is_cabled
from linkage.units import trim
from linkage.words.links import ends_of
from linkage.words.names import part_name
from linkage.words.watch import Watch, number

#: An end part may miss its turn by this, deg, or its pull, mm: nobody feels that.
TURN_MISS, PULL_MISS = 2.0, 0.5
#: What is asked of an end: its turn, rad, or the pull behind the slack, mm.
Want = Literal["turn", "pull"]


def end_cautions(watch: Watch) -> Iterator[Fault]:
    """Return what is wrong where the train ends, for a pedal that stands."""
    if not watch.pedal.train or find_limit(watch.rest, watch.travel) is not None:
        return
    part = watch.pedal.train[-1]
    turn = getattr(part, "turn", None)
    if turn is not None:
        yield from _turn(watch, part, turn.nominal)
    if isinstance(part, Cable) and part.pull is not None:
        yield from _pull(watch, part, part.pull.nominal)
    for _, index in ends_of(watch.rest):
        end = watch.pedal.train[index]
        if isinstance(end, Cylinder):
            yield from _cylinder(watch, end)


def _turn(watch: Watch, part: Part, wanted: float) -> Iterator[Fault]:
    got, least = np.degrees(at_full(watch.rest, "turn")), np.degrees(wanted)
    name, travel = part_name(watch.pedal, part), watch.mm(watch.travel)
    if got < least - TURN_MISS:
        opens = watch.pedal.duty == "throttle"
        never = "It never opens fully." if opens else "It never gets there."
        wrong = (
            f"at full ({travel}) the {name} stands at {got:.1f} deg of its "
            f"{trim(float(least), 1)}. {never}"
        )
        yield watch.fault("turn", wrong, _remedy(watch, wanted, "turn"), part)
    elif got > least + TURN_MISS:
        after = watch.mm(_stop_at(watch) or 0.0)
        link = "cable" if is_cabled(part) else "rod"
        wrong = (
            f"the {name} is at its stop ({trim(float(least), 1)} deg) after {after} of "
            f"pad, and the pad has {travel}: from there the foot strains {link} and "
            "stop."
        )
        yield watch.fault("turn", wrong, _remedy(watch, wanted, "turn"), part)


def _pull(watch: Watch, part: Cable, wanted: float) -> Iterator[Fault]:
    got = at_full(watch.rest, "pull")
    if got >= wanted - PULL_MISS:
        return
    wrong = (
        f"at full ({watch.mm(watch.travel)}) the far end has {watch.speech.short(got)} "
        f"of the {watch.speech.short(wanted)} it needs."
    )
    yield watch.fault("pull", wrong, _remedy(watch, wanted, "pull"), part)


def _cylinder(watch: Watch, part: Cylinder) -> Iterator[Fault]:
    for end in find_ends(watch.rest, watch.travel):
        if end.what == "cylinder full" and end.part == part.label:
            at = watch.mm(end.travel)
            yield watch.fault(
                "stroke",
                f"the piston is at its end after {at} of pad, and the pad has "
                f"{watch.mm(watch.travel)}: {_follows(watch)}",
                part=part,
                right=_stop_before(watch, at),
            )


def _follows(watch: Watch) -> str:
    if watch.pedal.duty == "clutch":
        return "the cylinder is the stop."
    return "what follows is metal on metal."


def _stop_before(watch: Watch, at: str) -> str:
    if watch.pedal.duty == "clutch":
        return f"A clutch needs a stop of its own before that: travel under {at}."
    return f"Travel ends there: {at} at most, or a cylinder with a longer stroke."


# ----------------------------------------------------------------------- remedies


def _remedy(watch: Watch, wanted: float, what: Want) -> str:
    """Return what hole or travel would give the end what it wants."""
    ways = []
    scale = hole_for(watch, wanted, what)
    if scale is not None:
        now, say = abs(watch.hole - watch.pivot), watch.speech.length
        kind = "cable's" if is_cabled(watch.pedal.train[0]) else "rod's"
        ways.append(
            f"the {kind} hole wants to be {say(scale * now)} from the pivot (now "
            f"{say(now)})"
        )
    travel = _stop_at(watch) if what == "turn" else _travel_for(watch, wanted)
    if travel is not None:
        pad, now_pad = watch.speech.short(travel), watch.speech.short(watch.travel)
        ways.append(f"the pad wants to travel {pad} (now {now_pad})")
    text = ", or ".join(ways)
    return f"{text[0].upper()}{text[1:]}." if text else ""


def _reach(watch: Watch) -> float:
    """Return how far ahead a longer travel is looked for, mm."""
    upto = min(3.0 * watch.travel, 3.0 * number(watch.rest.radius))
    limit = find_limit(watch.rest, upto)
    return upto if limit is None else limit.travel * (1.0 - 1e-9)


def _stop_at(watch: Watch) -> float | None:
    """Return after how much pad the end part is at its stop."""
    last = f"train.{len(watch.pedal.train)}"
    for end in find_ends(watch.rest, _reach(watch)):
        if end.part == last and end.what == "lever at its stop":
            return end.travel
    return None


def _travel_for(watch: Watch, wanted: float) -> float | None:
    """Return after how much pad the cable has pulled enough."""
    places = np.linspace(0.0, _reach(watch), 61)
    return _root(lambda x: _after(watch.rest, x, "pull") - wanted, places, watch.travel)


def hole_for(watch: Watch, wanted: float, what: Want) -> float | None:
    """Return by what the hole's reach is to be multiplied; None where nothing does."""
    if "clevis" not in watch.pedal.points or has_drum(watch.pedal.train[0]):
        return None
    arm = watch.hole - watch.pivot

    def miss(scale: float) -> float:
        other = watch.with_hole(watch.pivot + scale * arm)
        return at_full(other.rest, what) - wanted if other.stands else float("nan")

    return _root(miss, np.linspace(0.5, 2.0, 61), 1.0)


def at_full(rest: PedalRest, what: Want) -> float:
    """Return the end's turn, rad, or what its cable pulls behind the slack, mm."""
    return _after(rest, number(rest.travel), what)


@np.errstate(divide="ignore", invalid="ignore")  # parts of jets come late
def _after(rest: PedalRest, travel: float, what: Want) -> float:
    run = move(rest, np.array([travel]))
    drawn = run.last.drawn
    if what == "turn" or drawn is None:
        return number(laws.lever_turn(run))
    return number(drawn.taken)


def _root(
    miss: Callable[[float], float], places: NDArray[np.float64], near: float
) -> float | None:
    """Return the root of ``miss`` nearest to ``near`` between neighbouring places."""
    from scipy.optimize import brentq

    values = np.array([miss(float(x)) for x in places])
    turns = np.flatnonzero(values[:-1] * values[1:] <= 0.0)
    roots = [float(brentq(miss, places[i], places[i + 1], xtol=1e-9)) for i in turns]
    return min(roots, key=lambda x: abs(x - near)) if roots else None

"""What a guess sways beside ratio, rod and stroke: every other figure that is printed.

Tape lengths, heights above the floor, what is left of a piston: found by reading the
file again with the guess that much more and less.
"""

from collections.abc import Iterator, Mapping

import numpy as np
from msgspec.structs import replace

from linkage.design.records import Design
from linkage.design.spelling import renumber
from linkage.design.splice import splice
from linkage.design.values import Value
from linkage.faults import DesignError
from linkage.loading import load_text
from linkage.motion.ends import find_ends, find_limit
from linkage.motion.rest import PedalRest
from linkage.motion.run import move
from linkage.sweeping import standing
from linkage.units import out_of, trim
from linkage.words.links import ends_of
from linkage.words.sways import Sway, Swayed
from linkage.words.tape import tapes
from solvers.jet import value

#: What all lengths to lay a tape on are called together.
TAPES = "tape lengths above"


def with_figures(
    design: Design, pedal: str, swayed: Mapping[str, Swayed]
) -> dict[str, Swayed]:
    """Return what each guess sways, with every figure that show and sweep print.

    Parameters
    ----------
    design : Design
    pedal : str
    swayed : mapping of str to Swayed
        By path, as `linkage.words.sways.sways` has it.
    """
    found = dict(swayed)
    base = dict(_figures(standing(design, pedal)))
    for each in design.guesses:
        if each.path in found and each.line:
            more = _changes(design, pedal, each, found[each.path].out, base)
            sways = (*found[each.path].sways, *more)
            found[each.path] = replace(found[each.path], sways=sways)
    return found


def _changes(
    design: Design, pedal: str, guess: Value, out: float, base: Mapping[str, float]
) -> Iterator[Sway]:
    moved: dict[str, float] = {}
    for other in read_again(design, guess, out):
        try:
            now = dict(_figures(standing(other, pedal)))
        except DesignError:
            continue
        for name in base.keys() & now.keys():
            change = abs(now[name] - base[name])
            moved[name] = max(moved.get(name, 0.0), change)
    lengths = [change for name, change in moved.items() if name.startswith(TAPES)]
    if lengths:
        yield Sway(of=TAPES, unit="mm", change=max(lengths), size=0.0)
    for name in base:
        if name in moved and not name.startswith(TAPES):
            yield Sway(of=name, unit="mm", change=moved[name], size=base[name])


def read_again(design: Design, guess: Value, out: float) -> Iterator[Design]:
    """Return the design with a guess that much more, and that much less.

    Nothing for a guess among several, and for one that the program took itself.
    """
    if guess.options or not guess.line:
        return
    for size in (guess.nominal + out, guess.nominal - out):
        number = trim(out_of(size, guess.unit), 9)
        try:
            text = splice(design.text, [renumber(design.text, guess, number)])
            yield load_text(text, design.file)
        except DesignError:
            continue


def _figures(rest: PedalRest) -> Iterator[tuple[str, float]]:
    """Return every figure but ratio, rod and stroke, mm, by what it is called."""
    for tape in tapes(rest.places.design, rest):
        name = tape.what.strip()
        if name.startswith("rod,"):
            continue  # a rod's length is among what is worked out exactly
        if tape.full is None:
            yield f"{TAPES}: {name}", tape.rest or 0.0
        elif tape.rest is None:
            yield name, tape.full
        else:
            yield f"{name} at rest", tape.rest
            yield f"{name} at full", tape.full
    yield from _ends(rest)


#: What is used up on the way, as a figure.
_ENDS = {
    "cylinder full": "pad where the cylinder is full",
    "lever at its stop": "pad where the lever is at its stop",
    "cable slack taken up": "pad where the slack is taken up",
}


def _ends(rest: PedalRest) -> Iterator[tuple[str, float]]:
    whole = float(np.ravel(value(rest.travel))[0])
    yield "travel along its arc", whole
    limit = find_limit(rest, 2.0 * whole)
    upto = 2.0 * whole if limit is None else limit.travel
    if limit is not None:
        yield f"pad at the {limit.kind}", limit.travel
    ends = find_ends(rest, upto)
    for end in ends:
        of = f" of {end.part}" if len(ends) > 1 else ""
        yield f"{_ENDS.get(end.what, end.what)}{of}", end.travel
    run = move(rest, np.array([whole])) if upto > whole else None
    for branch, index in ends_of(rest) if run else ():
        has = getattr(rest.pedal.train[index], "stroke", None)
        if has is not None and run is not None:
            moved = float(np.ravel(value(run.steps[index].end()))[0])
            play = float(np.ravel(value(getattr(rest.parts[index], "play", 0.0)))[0])
            name = f"{branch} piston left at full".strip()
            yield name, has.nominal - max(0.0, moved - play)

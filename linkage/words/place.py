"""A placement for people: what was written, what still is free, or what fights."""

from collections.abc import Iterator

import numpy as np

from linkage.design.records import Chosen, Design
from linkage.loading import load_text
from linkage.motion.rest import PedalRest
from linkage.placing.judge import Judged, standing_of
from linkage.placing.records import Answer, Placement
from linkage.quantities.register import QUANTITIES
from linkage.words.refusal import refused, several, title, wrap
from linkage.words.speech import WIDTH, Speech, tidy
from linkage.words.targets import (
    allowed,
    placed_name,
    quantity,
    said_value,
    target_words,
    wanted_words,
)
from solvers.jet import value

#: Widths of the first two columns.
WIDE, ASKED = 30, 25
NOT_JUDGED = (
    "Not judged here: strength, room for feet, your local code. A licensed person has "
    "the last word."
)
NO_PROMISE = "Others may exist: no search promises to find every one."
#: A value that can go less than this share of its range is not told.
NARROW = 0.02


def placement_text(placement: Placement, answer: int = 1) -> str:
    """Return a placement in words.

    Parameters
    ----------
    placement : Placement
    answer : int
        Which answer is told in full, from 1.
    """
    if placement.status == "placed":
        lines = list(_placed(placement, placement.answers[answer - 1], answer))
    elif placement.status == "conflict":
        lines = refused(placement)
    else:
        lines = [f"{title(placement)}. No answer found.", *wrap(placement.why)]
        lines.append("Nothing was written.")
    return "\n".join(lines) + "\n"


def _placed(placement: Placement, answer: Answer, number: int) -> Iterator[str]:
    held = sum(each.met for each in answer.judged)
    count = len(placement.answers)
    shapes = (
        "Only one shape of answer was found."
        if count == 1
        else f"Answer {number} of {count}; others below."
    )
    head = f"{title(placement)}. Placed: {held} of {len(answer.judged)} targets hold."
    yield from ([f"{head} {shapes}"] if len(head + shapes) < WIDTH else [head, shapes])
    yield ""
    yield from _values(placement, answer)
    yield ""
    yield from _targets(placement, answer)
    yield ""
    if number == 1:
        yield from _still_free(placement, answer)
    yield from _touched(placement, answer)
    yield from _metal(placement, answer)
    if count > 1:
        yield ""
        yield from _others(placement, number)
    yield ""
    yield from wrap(NO_PROMISE)
    yield from wrap(NOT_JUDGED)


def _values(placement: Placement, answer: Answer) -> Iterator[str]:
    head = f"{'':<{WIDE}}{'you allowed':<{ASKED}}"
    marked = placement.mark is not None
    yield head + (f"{'exact':>10}   to mark out" if marked else "   written")
    pedals = placement.group.pedals
    for each in (*placement.group.frees, *placement.group.picks):
        words = placed_name(placement.design, each.path, pedals)
        if isinstance(each, Chosen):
            exact, put = "", answer.names[each.path]
        elif each.kind == "choice":
            chosen = each.options.index(answer.values[each.path])
            exact, put = "", each.spelt[chosen]
        else:
            exact = said_value(each, answer.exact[each.path])
            put = said_value(each, answer.values[each.path], 6)
        middle = f"{exact:>10}   " if marked else "   "
        asked = tidy(allowed(each), ASKED - 1)
        yield f"  {tidy(words, WIDE - 3):<{WIDE - 2}}{asked:<{ASKED}}{middle}{put}"


def _targets(placement: Placement, answer: Answer) -> Iterator[str]:
    speech = Speech(placement.design.units)
    marked = placement.mark is not None
    head = "tried again as marked out" if marked else "tried again as written"
    last = "as marked" if marked else "as written"
    yield f"  {head:<{WIDE - 2}}{'wanted':<{ASKED}}{'exact':>10}   {last}"
    for exact, judged in zip(answer.exactly, answer.judged, strict=True):
        words = target_words(judged.target, judged.pedal if several(placement) else "")
        wanted = wanted_words(judged.target, speech)
        said = f"{got_words(exact, speech):>10}   {got_words(judged, speech):<10}"
        verdict = "holds" if judged.target.prefer is None else ""
        head = (
            f"  {tidy(words, WIDE - 3):<{WIDE - 2}}{tidy(wanted, ASKED - 1):<{ASKED}}"
        )
        yield f"{head}{said} {verdict}".rstrip()


def got_words(judged: Judged, speech: Speech) -> str:
    """Return what a target got: "5.503", "0.31 deg", "none"."""
    if judged.got is None:
        return "none"
    target = judged.target
    digits = 3 if QUANTITIES[target.of].unit == "1" else 2
    return quantity(target, judged.got, speech, digits)


def _still_free(placement: Placement, answer: Answer) -> Iterator[str]:
    if not placement.group.frees:
        return
    if answer.free_directions == 0:
        yield "  Still yours: nothing; the targets that name one value settle it."
        return
    told = []
    for free in placement.group.frees:
        low, high = placement.leeway.get(free.path, (0.0, 0.0))
        width = (free.high or 0.0) - (free.low or 0.0)
        if high - low > NARROW * width:
            words = placed_name(placement.design, free.path, placement.group.pedals)
            ends = (
                said_value(free, end, 3 if free.unit == "in" else 1)
                for end in (low, high)
            )
            told.append(f"{words} {' to '.join(ends)}")
    count = answer.free_directions
    ways = "1 direction" if count == 1 else f"{count} directions"
    yield f"  Still yours: {ways}. Each of these goes so far, the rest following:"
    for line in told:
        yield f"    {line}"


def _touched(placement: Placement, answer: Answer) -> Iterator[str]:
    ends = [each for each in answer.touched if each.end != "limit"]
    if ends:
        names = [
            f"{placed_name(placement.design, each.path, placement.group.pedals)} "
            f"({'least' if each.end == 'low' else 'most'})"
            for each in ends
        ]
        yield from wrap(f"At the end of its range: {'; '.join(names)}.", "  ")
    limits = [each.path for each in answer.touched if each.end == "limit"]
    if limits:
        names = [_limit_words(path, several(placement)) for path in limits]
        yield from wrap(f"At its very limit: {'; '.join(names)}.", "  ")


def _limit_words(path: str, several: bool) -> str:
    pedal, kind, *number = path.split(".")
    lead = f"{pedal} " if several else ""
    return f"{lead}target {number[0]}" if number else f"{lead}the cylinder's {kind}"


def _metal(placement: Placement, answer: Answer) -> Iterator[str]:
    """Lengths of metal that nobody typed."""
    design = load_text(answer.text, placement.design.file)
    for name in placement.group.pedals:
        lead = f"{name}: " if several(placement) else ""
        rest = standing_of(design, name)
        yield from _plate(design, rest, lead)
        yield from _rods(design, rest, lead)


def _plate(design: Design, rest: PedalRest, lead: str) -> Iterator[str]:
    if "clevis" not in rest.pedal.points:
        return
    speech = Speech(design.units)
    pivot, pad = (complex(np.ravel(value(p))[0]) for p in (rest.pivot, rest.pad))
    hole = complex(np.ravel(value(rest.places.point(f"{rest.pedal.name}.clevis")))[0])
    line = (pad - pivot) / abs(pad - pivot)
    off = (hole - pivot) / line
    square = 1j * line if off.imag >= 0.0 else -1j * line
    word = _way(square)
    yield from wrap(
        f"{lead}On the plate: pivot to hole {speech.length(abs(hole - pivot))}, hole to "
        f"pad {speech.length(abs(pad - hole))}; the hole is {speech.length(off.real)} "
        f"along the string from pivot to pad, {speech.length(abs(off.imag))} {word} it.",
        "  ",
    )


def _way(square: complex) -> str:
    if abs(square.real) >= abs(square.imag):
        return "ahead of" if square.real > 0.0 else "behind"
    return "above" if square.imag > 0.0 else "below"


def _rods(design: Design, rest: PedalRest, lead: str) -> Iterator[str]:
    speech = Speech(design.units)
    for part, at_rest in zip(rest.pedal.train, rest.parts, strict=True):
        if getattr(part, "cable", None) is not None or getattr(part, "rod", None):
            continue
        length = getattr(at_rest, "rod", None) or getattr(at_rest, "link", None)
        if length is None:
            continue
        to = "end" if part.KIND == "cylinder" else "hole"
        long = speech.length(float(np.ravel(value(length))[0]))
        guesses = [
            f'{key} "{guess.text}"'
            for key in ("depth", "proud")
            if (guess := getattr(part, key, None)) is not None and guess.guess
        ]
        guess = f" (guess: {', '.join(guesses)})" if guesses else ""
        which = f" of part {part.number}" if len(rest.pedal.train) > 1 else ""
        yield f"  {lead}Cut the rod{which} {long}, hole to {to}{guess}."


def _others(placement: Placement, number: int) -> Iterator[str]:
    """One line for each of the other answers."""
    yield "  Other shapes of answer (--answer N writes one):"
    for count, answer in enumerate(placement.answers, 1):
        if count == number:
            continue
        said = [
            f"{placed_name(placement.design, each.path, placement.group.pedals)} "
            f"{_put(each, answer)}"
            for each in (*placement.group.frees, *placement.group.picks)
        ]
        yield from wrap(f"{count}  {'; '.join(said)}", "    ")


def _put(each: object, answer: Answer) -> str:
    if isinstance(each, Chosen):
        return answer.names[each.path]
    from linkage.design.values import Value

    if not isinstance(each, Value):
        raise TypeError("neither a value nor a choice")
    number = answer.values[each.path]
    if each.kind == "choice":
        return each.spelt[each.options.index(number)]
    return said_value(each, number, 6)

"""A placement for people: what was written, what still is free, or what fights."""

import math
from collections.abc import Iterator

import numpy as np

from linkage.design.records import Chosen, Design
from linkage.loading import load_text
from linkage.motion.rest import PedalRest
from linkage.placing.judge import Judged, standing_of
from linkage.placing.naming import (
    allowed,
    path_words,
    quantity,
    said_value,
    target_words,
    wanted_words,
)
from linkage.placing.records import Answer, Clash, Conflict, Placement
from linkage.quantities.register import QUANTITIES
from linkage.units import BY_NAME, Measure
from linkage.words.speech import WIDTH, Speech
from solvers.jet import value

WIDE = 34
NUMBERS = {1: "This", 2: "These two", 3: "These three", 4: "These four"}
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
        lines = list(_refused(placement))
    else:
        lines = [f"{_title(placement)}. No answer found.", *_wrap(placement.why)]
        lines.append("Nothing was written.")
    return "\n".join(lines) + "\n"


def _title(placement: Placement) -> str:
    names = " and ".join(placement.group.pedals)
    title = placement.design.title
    return f"{title}: {names}" if title else names


def _wrap(text: str, indent: str = "") -> list[str]:
    import textwrap

    return textwrap.wrap(
        text, WIDTH, initial_indent=indent, subsequent_indent=indent + "  "
    )


def _several(placement: Placement) -> bool:
    return len(placement.group.pedals) > 1


# -------------------------------------------------------------------------- placed


def _placed(placement: Placement, answer: Answer, number: int) -> Iterator[str]:
    held = sum(each.met for each in answer.judged)
    count = len(placement.answers)
    shapes = (
        "Only one shape of answer was found."
        if count == 1
        else f"Answer {number} of {count}; others below."
    )
    yield (
        f"{_title(placement)}. Placed: {held} of {len(answer.judged)} targets hold. "
        f"{shapes}"
    )
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
    yield from _wrap(NO_PROMISE)
    yield from _wrap(NOT_JUDGED)


def _values(placement: Placement, answer: Answer) -> Iterator[str]:
    head = f"{'':<{WIDE}}{'you allowed':<26}"
    marked = placement.mark is not None
    yield head + (f"{'exact':>10}   to mark out" if marked else "   written")
    pedals = placement.group.pedals
    for each in (*placement.group.frees, *placement.group.picks):
        words = path_words(placement.design, each.path, pedals)
        if isinstance(each, Chosen):
            exact, put = "", answer.names[each.path]
        elif each.kind == "choice":
            chosen = each.options.index(answer.values[each.path])
            exact, put = "", each.spelt[chosen]
        else:
            exact = said_value(each, answer.exact[each.path])
            put = said_value(each, answer.values[each.path], 6)
        middle = f"{exact:>10}   " if marked else "   "
        yield f"  {words:<{WIDE - 2}}{allowed(each):<26}{middle}{put}"


def _targets(placement: Placement, answer: Answer) -> Iterator[str]:
    speech = Speech(placement.design.units)
    marked = placement.mark is not None
    title = "tried again as marked out" if marked else "tried again as written"
    last = "as marked" if marked else "as written"
    yield f"  {title:<{WIDE - 2}}{'wanted':<26}{'exact':>10}   {last}"
    for exact, judged in zip(answer.exactly, answer.judged, strict=True):
        words = target_words(judged.target, judged.pedal if _several(placement) else "")
        wanted = wanted_words(judged.target, speech)
        said = f"{_got(exact, speech):>10}   {_got(judged, speech):<10}"
        verdict = "holds" if judged.target.prefer is None else ""
        yield f"  {words:<{WIDE - 2}}{wanted:<26}{said}   {verdict}".rstrip()


def _got(judged: Judged, speech: Speech) -> str:
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
            words = path_words(placement.design, free.path, placement.group.pedals)
            ends = (said_value(free, end, 1) for end in (low, high))
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
            f"{path_words(placement.design, each.path, placement.group.pedals)} "
            f"({'least' if each.end == 'low' else 'most'})"
            for each in ends
        ]
        yield from _wrap(f"At the end of its range: {'; '.join(names)}.", "  ")
    limits = [each.path for each in answer.touched if each.end == "limit"]
    if limits:
        names = [_limit_words(path, _several(placement)) for path in limits]
        yield from _wrap(f"At its very limit: {'; '.join(names)}.", "  ")


def _limit_words(path: str, several: bool) -> str:
    pedal, kind, *number = path.split(".")
    lead = f"{pedal} " if several else ""
    return f"{lead}target {number[0]}" if number else f"{lead}the cylinder's {kind}"


def _metal(placement: Placement, answer: Answer) -> Iterator[str]:
    """Lengths of metal that nobody typed."""
    design = load_text(answer.text, placement.design.file)
    for name in placement.group.pedals:
        lead = f"{name}: " if _several(placement) else ""
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
    yield from _wrap(
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
            f"{path_words(placement.design, each.path, placement.group.pedals)} "
            f"{_put(each, answer)}"
            for each in (*placement.group.frees, *placement.group.picks)
        ]
        yield from _wrap(f"{count}  {'; '.join(said)}", "    ")


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


# ------------------------------------------------------------------------- refused


def _refused(placement: Placement) -> Iterator[str]:
    for count, conflict in enumerate(placement.conflicts):
        size = len(conflict.clashes)
        which = NUMBERS.get(size, f"These {size}")
        cannot = {1: "cannot be had", 2: "cannot both be had"}.get(
            size, "cannot all be had"
        )
        lead = f"{_title(placement)}. " if not count else "And apart from that: "
        yield f"{lead}{which} {cannot}:"
        yield from _conflict(placement, conflict)
        yield ""
    if not any(each.proof for each in placement.conflicts):
        yield from _wrap("No proof: it is what a thorough search found.")
    yield "Nothing was written."


def _conflict(placement: Placement, conflict: Conflict) -> Iterator[str]:
    speech = Speech(placement.design.units)
    for clash in conflict.clashes:
        target = clash.wish.target
        words = target_words(target, clash.wish.pedal if _several(placement) else "")
        yield f"  line {target.line:<5} {words:<30} {wanted_words(target, speech)}"
    if conflict.proof:
        yield from _wrap(f"Because {conflict.proof}")
    gives = list(_gives(placement, conflict, speech))
    if gives:
        yield ""
        yield "Give way in one place, the rest kept:"
        yield from gives


def _gives(placement: Placement, conflict: Conflict, speech: Speech) -> Iterator[str]:
    for give in conflict.gives:
        words = path_words(placement.design, give.path, placement.group.pedals)
        more = give.would_do - give.now
        said = f"{speech.short(give.now)} -> {speech.short(give.would_do)}"
        way = "more pad" if more > 0.0 else "less pad"
        yield f"  {words:<14} {said:<22} {speech.short(abs(more))} {way}"
    for clash in conflict.clashes:
        if clash.would_do is not None:
            yield _give(clash, clash.would_do, speech)


def _give(clash: Clash, would_do: float, speech: Speech) -> str:
    target = clash.wish.target
    numbers = {"is": target.exact, "least": target.least, "most": target.most}
    now = numbers[clash.bound] or 0.0
    unit = _step(clash, speech)
    to = (math.floor if would_do < now else math.ceil)(would_do / unit) * unit
    said = f"{quantity(target, now, speech, 3)} -> {quantity(target, to, speech, 3)}"
    way = "less" if to < now else "more"
    return (
        f"  {target.of:<14} {said:<22} {quantity(target, abs(to - now), speech)} {way}"
    )


def _step(clash: Clash, speech: Speech) -> float:
    """Return the step in which a give is said, internal units."""
    measure = QUANTITIES[clash.wish.target.of].measure
    if measure is Measure.ANGLE:
        return 0.1 * float(BY_NAME["deg"].factor)
    if measure is Measure.LENGTH:
        return 0.1 if speech.units == "mm" else 0.0254
    return 0.1 if measure is Measure.PERCENT else 0.01

"""What an answer comes to, row by row and sentence by sentence, in no layout yet."""

import math
from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from linkage.design.records import Chosen
from linkage.design.values import Value
from linkage.loading import load_text
from linkage.motion.ends import find_ends
from linkage.motion.rest import PedalRest
from linkage.placing.judge import Judged, standing_of
from linkage.placing.records import Answer, Placement
from linkage.quantities.register import QUANTITIES
from linkage.words.end_cautions import at_full
from linkage.words.refusal import several
from linkage.words.speech import Speech
from linkage.words.targets import (
    allowed,
    placed_name,
    quantity,
    said_value,
    target_words,
    wanted_words,
)
from solvers.jet import value

#: A value that can go less than this share of its range is not told.
NARROW = 0.02


class ValueRow(Struct, frozen=True, kw_only=True):
    """One value that was placed.

    Attributes
    ----------
    path, words : str
        In the file, and for people.
    allowed : str
        What the file leaves open.
    exact, put : str
        Before rounding ("" for a choice); as it is written, or marked out.
    """

    path: str
    words: str
    allowed: str
    exact: str
    put: str


class TargetRow(Struct, frozen=True, kw_only=True):
    """What one target got: exactly, and as written or marked out."""

    judged: Judged
    words: str
    wanted: str
    exact: str
    got: str

    @property
    def verdict(self) -> str:
        """Return "holds"; "" where there is nothing to hold."""
        return "holds" if self.judged.target.prefer is None else ""


def value_rows(placement: Placement, answer: Answer) -> Iterator[ValueRow]:
    """Return the values of an answer, free ones first, in the units of the file."""
    for each in (*placement.group.frees, *placement.group.picks):
        exact = ""
        if isinstance(each, Value) and each.kind != "choice":
            exact = said_value(each, answer.exact[each.path])
        yield ValueRow(
            path=each.path,
            words=placed_name(placement.design, each.path, placement.group.pedals),
            allowed=allowed(each),
            exact=exact,
            put=_put(placement, each, answer),
        )


def _put(placement: Placement, each: Value | Chosen, answer: Answer) -> str:
    """Return what is written for a value; to mark out, as a rule has it."""
    number = answer.values.get(each.path)
    if placement.mark is None or not isinstance(each, Value) or number is None:
        return put_words(each, answer)
    if each.unit != "in" or each.kind == "choice":
        return put_words(each, answer)
    return Speech("in").reading(number)


def put_words(each: Value | Chosen, answer: Answer) -> str:
    """Return what an answer writes for a value or a choice."""
    if isinstance(each, Chosen):
        return answer.names[each.path]
    number = answer.values[each.path]
    if each.kind == "choice":
        return each.spelt[each.options.index(number)]
    return said_value(each, number, 6)


def target_rows(
    placement: Placement, answer: Answer, speech: Speech
) -> Iterator[TargetRow]:
    """Return what each target got, in the order of the file."""
    for exact, judged in zip(answer.exactly, answer.judged, strict=True):
        pedal = judged.pedal if several(placement) else ""
        yield TargetRow(
            judged=judged,
            words=target_words(judged.target, pedal),
            wanted=wanted_words(judged.target, speech),
            exact=got_words(exact, speech),
            got=got_words(judged, speech),
        )


def got_words(judged: Judged, speech: Speech) -> str:
    """Return what a target got: "5.503", "0.31 deg", "none"."""
    if judged.got is None:
        return "none"
    target = judged.target
    unit = QUANTITIES[target.of].unit
    digits = 3 if unit == "1" or (unit == "mm" and speech.units == "in") else 2
    return quantity(target, judged.got, speech, digits)


def still_free(placement: Placement, answer: Answer) -> tuple[str, list[str]]:
    """Return what is still free in the best answer: a sentence, and how far each goes."""
    if not placement.group.frees:
        return "", []
    if answer.free_directions == 0:
        return "Still yours: nothing; the targets that name one value settle it.", []
    told = []
    for free in placement.group.frees:
        low, high = placement.leeway.get(free.path, (0.0, 0.0))
        width = (free.high or 0.0) - (free.low or 0.0)
        if high - low > NARROW * width:
            words = placed_name(placement.design, free.path, placement.group.pedals)
            ends = (
                Speech("in").ruled(end)
                if free.unit == "in"
                else said_value(free, end, 1)
                for end in (low, high)
            )
            told.append(f"{words} {' to '.join(ends)}")
    count = answer.free_directions
    ways = "1 direction" if count == 1 else f"{count} directions"
    return f"Still yours: {ways}. Each of these goes so far, the rest following:", told


def touched(placement: Placement, answer: Answer) -> Iterator[str]:
    """Return which ends of ranges and which limits an answer lies on, in sentences."""
    ends = [each for each in answer.touched if each.end != "limit"]
    if ends:
        names = [
            f"{placed_name(placement.design, each.path, placement.group.pedals)} "
            f"({'least' if each.end == 'low' else 'most'})"
            for each in ends
        ]
        yield f"At the end of its range: {'; '.join(names)}."
    limits = [each.path for each in answer.touched if each.end == "limit"]
    if limits:
        names = [_limit_words(path, several(placement)) for path in limits]
        yield f"At its very limit: {'; '.join(names)}."
    yield from _stops(placement, answer)
    yield from _slack(placement, answer)


def _slack(placement: Placement, answer: Answer) -> Iterator[str]:
    """Say where a stretch begins in slack: there is no ratio to judge there."""
    speech = Speech(placement.design.units)
    design = load_text(answer.text, placement.design.file)
    for name in placement.group.pedals:
        rest = standing_of(design, name)
        if not any(_counts_late(each, name) for each in answer.judged):
            continue
        whole = float(np.ravel(value(rest.travel))[0])
        ahead = {f"train.{number}" for number in range(1, len(rest.parts))}
        taut = [
            end.travel
            for end in find_ends(rest, whole)
            if end.what == "cable slack taken up" and end.part in ahead
        ]
        if taut:
            lead = f"{name}: " if several(placement) else ""
            at = speech.length(max(taut), speech.coarse)
            yield (
                f"{lead}There is no ratio before {at} of pad, where cable slack is "
                "taken up: it is judged from there on."
            )


def _counts_late(judged: Judged, pedal: str) -> bool:
    target = judged.target
    late = target.of in ("ratio", "mean ratio") and not target.at.single
    return late and judged.pedal == pedal


def _stops(placement: Placement, answer: Answer) -> Iterator[str]:
    """Say where a lever stands at its stop before the pad does, and what would do."""
    speech = Speech(placement.design.units)
    design = load_text(answer.text, placement.design.file)
    for name in placement.group.pedals:
        rest = standing_of(design, name)
        whole = float(np.ravel(value(rest.travel))[0])
        lead = f"{name}: " if several(placement) else ""
        for end in find_ends(rest, whole * (1.0 - 1e-9)):
            if end.what != "lever at its stop":
                continue
            said = (
                f"{lead}{end.part} is at its stop after "
                f"{speech.length(end.travel, speech.coarse)}"
            )
            turn = ""
            if end.part == f"train.{len(rest.parts)}":
                needs = math.ceil(10.0 * np.degrees(at_full(rest, "turn"))) / 10.0
                turn = f": its turn would have to be {needs:.1f} deg"
            yield f"{said} of pad{turn}."


def _limit_words(path: str, several: bool) -> str:
    pedal, kind, *number = path.split(".")
    lead = f"{pedal} " if several else ""
    return f"{lead}target {number[0]}" if number else f"{lead}the cylinder's {kind}"


def metal(placement: Placement, answer: Answer, speech: Speech) -> Iterator[str]:
    """Return lengths of metal that nobody typed, a sentence each."""
    design = load_text(answer.text, placement.design.file)
    for name in placement.group.pedals:
        lead = f"{name}: " if several(placement) else ""
        rest = standing_of(design, name)
        yield from _plate(rest, lead, speech)
        yield from _rods(rest, lead, speech)


def _plate(rest: PedalRest, lead: str, speech: Speech) -> Iterator[str]:
    if "clevis" not in rest.pedal.points:
        return
    pivot, pad = (complex(np.ravel(value(p))[0]) for p in (rest.pivot, rest.pad))
    hole = complex(np.ravel(value(rest.places.point(f"{rest.pedal.name}.clevis")))[0])
    line = (pad - pivot) / abs(pad - pivot)
    off = (hole - pivot) / line
    square = 1j * line if off.imag >= 0.0 else -1j * line
    yield (
        f"{lead}On the plate: pivot to hole {_rule(abs(hole - pivot), speech)}, hole to "
        f"pad {_rule(abs(pad - hole), speech)}; the hole is {_rule(off.real, speech)} "
        f"along the string from pivot to pad, {_rule(abs(off.imag), speech)} "
        f"{_way(square)} it."
    )


def _rule(mm: float, speech: Speech) -> str:
    """Return a length for a steel rule on the metal."""
    return speech.length(mm) if speech.units == "mm" else speech.ruled(mm, 64)


def _way(square: complex) -> str:
    if abs(square.real) >= abs(square.imag):
        return "ahead of" if square.real > 0.0 else "behind"
    return "above" if square.imag > 0.0 else "below"


def _rods(rest: PedalRest, lead: str, speech: Speech) -> Iterator[str]:
    for part, at_rest in zip(rest.pedal.train, rest.parts, strict=True):
        if getattr(part, "cable", None) is not None or getattr(part, "rod", None):
            continue
        length = getattr(at_rest, "rod", None) or getattr(at_rest, "link", None)
        if length is None:
            continue
        to = "end" if part.KIND == "cylinder" else "hole"
        long = _rule(float(np.ravel(value(length))[0]), speech)
        guesses = [
            f'{key} "{guess.text}"'
            for key in ("depth", "proud")
            if (guess := getattr(part, key, None)) is not None and guess.guess
        ]
        guess = f" (guess: {', '.join(guesses)})" if guesses else ""
        which = f" of part {part.number}" if len(rest.pedal.train) > 1 else ""
        which = f" of the {part.branch} cylinder" if part.branch else which
        yield f"{lead}Cut the rod{which} {long}, hole to {to}{guess}."

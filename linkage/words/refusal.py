"""A question that has no answer, in words: which targets fight, and what would do."""

import math
import textwrap
from collections.abc import Iterable, Iterator

from msgspec import Struct

from linkage.parts.cylinder import Cylinder
from linkage.placing.bounds import RATIOS
from linkage.placing.records import Clash, Conflict, Give, Placement
from linkage.quantities.register import QUANTITIES
from linkage.units import BY_NAME, Measure
from linkage.words.speech import WIDTH, Speech
from linkage.words.targets import (
    LOADS,
    placed_name,
    quantity,
    target_notes,
    target_words,
    wanted_words,
)

NO_PROOF = "No proof: it is what a thorough search found."
NUMBERS = {1: "This", 2: "These two", 3: "These three", 4: "These four"}


def title(placement: Placement) -> str:
    """Return the first words: "Quillet two-seater: brake"."""
    names = " and ".join(placement.group.pedals)
    head = placement.design.title
    return f"{head}: {names}" if head else names


def wrap(text: str, indent: str = "") -> list[str]:
    """Return a sentence as lines that fit a terminal."""
    return textwrap.wrap(
        text, WIDTH, initial_indent=indent, subsequent_indent=indent + "  "
    )


def several(placement: Placement) -> bool:
    """Return True where pedals were placed together."""
    return len(placement.group.pedals) > 1


def refused(placement: Placement) -> list[str]:
    """Return the lines of a placement whose targets fight."""
    return list(_refused(placement))


class GiveRow(Struct, frozen=True, kw_only=True):
    """One place in which a set of targets can give way, the rest kept.

    Attributes
    ----------
    words : str
        What gives: "ratio", "travel".
    change, size, way : str
        "5.5 -> 5.31", "0.19", "less".
    """

    words: str
    change: str
    size: str
    way: str


def cannot(conflict: Conflict) -> str:
    """Return what is wrong with a set: "These two cannot both be had"."""
    size = len(conflict.clashes)
    which = NUMBERS.get(size, f"These {size}")
    had = {1: "cannot be had", 2: "cannot both be had"}
    return f"{which} {had.get(size, 'cannot all be had')}"


def _refused(placement: Placement) -> Iterator[str]:
    speech = Speech(placement.design.units)
    for count, conflict in enumerate(placement.conflicts):
        said = cannot(conflict)
        beside = f"And apart from that: {said[:1].lower()}{said[1:]}:"
        yield beside if count else f"{title(placement)}. {said}:"
        yield from _conflict(placement, conflict, speech)
        yield ""
    if not any(each.proof for each in placement.conflicts):
        yield from wrap(NO_PROOF)
        for text in besides(placement, speech):
            yield from wrap(text)
    for name in placement.group.pedals:
        for text in target_notes(placement.design.pedals[name], speech):
            yield from wrap(text)
    yield "Nothing was written."


def besides(placement: Placement, speech: Speech) -> Iterator[str]:
    """Say what every answer has to keep beside its targets, where it is a number."""
    yield from _slack_first(placement)
    yield from _mean_everywhere(placement)
    for name in placement.group.pedals:
        train = placement.design.pedals[name].train
        last = train[-1] if train else None
        if isinstance(last, Cylinder) and last.stroke is not None:
            has = f"{speech.short(last.stroke.nominal)} {speech.units}"
            own = f"{name}'s piston" if several(placement) else "the piston"
            yield (
                f"Every answer also keeps {own} within the cylinder's {has} "
                "up to the full stop."
            )


def _slack_first(placement: Placement) -> Iterator[str]:
    """Say that there is no ratio yet where a cable ahead of a cylinder is slack."""
    wishes = [clash.wish for each in placement.conflicts for clash in each.clashes]
    for name in dict.fromkeys(wish.pedal for wish in wishes):
        train = placement.design.pedals[name].train
        slack = any(
            getattr(getattr(part, "cable", None), "slack", None) is not None
            for part in train
        )
        asked = any(w.pedal == name and w.target.of in RATIOS for w in wishes)
        if asked and slack and train[-1].KIND == "cylinder":
            yield (
                "Until the cable's slack is taken up there is no ratio: a place before "
                "that has none, whatever the layout."
            )


def _mean_everywhere(placement: Placement) -> Iterator[str]:
    """Say how one mean is asked for, where one was wanted at every place."""
    for clash in (clash for each in placement.conflicts for clash in each.clashes):
        target = clash.wish.target
        if target.of == "mean ratio" and target.exact and not target.at.single:
            yield (
                f"Line {target.line} wants that mean from rest to each place of the "
                'way. With at = "full" it is the mean of the whole travel alone.'
            )


def clash_words(placement: Placement, clash: Clash, speech: Speech) -> tuple[str, str]:
    """Return what a target that fights is of, and what it wants."""
    target = clash.wish.target
    pedal = clash.wish.pedal if several(placement) else ""
    return target_words(target, pedal), wanted_words(target, speech)


def _conflict(
    placement: Placement, conflict: Conflict, speech: Speech
) -> Iterator[str]:
    for clash in conflict.clashes:
        words, wanted = clash_words(placement, clash, speech)
        yield f"  line {clash.wish.target.line:<5} {words:<30} {wanted}"
    if conflict.proof:
        yield from wrap(f"Because {conflict.proof}")
    gives = list(give_rows(placement, conflict, speech))
    if gives:
        yield ""
        yield "Give way in one place, the rest kept:"
        yield from _rows(gives)


def _rows(rows: Iterable[GiveRow]) -> Iterator[str]:
    told = list(rows)
    wide = max([14, *(len(row.words) for row in told)])
    for row in told:
        yield f"  {row.words:<{wide}} {row.change:<22} {row.size} {row.way}"


def unanswered(placement: Placement) -> list[str]:
    """Return the lines of a placement for which no answer was found."""
    speech = Speech(placement.design.units)
    lines = [f"{title(placement)}. No answer found.", *wrap(placement.why)]
    lines += [line for text in besides(placement, speech) for line in wrap(text)]
    gives = fixed_rows(placement, placement.gives, speech)
    rows = list(_rows(gives))
    if rows:
        lines += ["", "This would do, the rest kept:", *rows, ""]
    return [*lines, "Nothing was written."]


def give_rows(
    placement: Placement, conflict: Conflict, speech: Speech
) -> Iterator[GiveRow]:
    """Return where a set could give way: what is fixed first, then each target."""
    yield from fixed_rows(placement, conflict.gives, speech)
    for clash in conflict.clashes:
        if clash.would_do is not None:
            yield _give(clash, clash.would_do, speech)


def fixed_rows(
    placement: Placement, gives: Iterable[Give], speech: Speech
) -> Iterator[GiveRow]:
    """Return what of that which is fixed could give way: the travel, a stroke."""
    for give in gives:
        more = give.would_do - give.now
        what = "stroke" if give.path.endswith(".stroke") else "pad"
        yield GiveRow(
            words=placed_name(placement.design, give.path, placement.group.pedals),
            change=f"{speech.short(give.now)} -> {speech.short(give.would_do)}",
            size=speech.short(abs(more)),
            way=f"{'more' if more > 0.0 else 'less'} {what}",
        )


def _give(clash: Clash, would_do: float, speech: Speech) -> GiveRow:
    target = clash.wish.target
    numbers = {"is": target.exact, "least": target.least, "most": target.most}
    now = numbers[clash.bound] or 0.0
    unit = _step(clash, speech)
    to = (math.floor if would_do < now else math.ceil)(would_do / unit) * unit
    ends = (quantity(target, end, speech, 3) for end in (now, to))
    return GiveRow(
        words=target.of,
        change=" -> ".join(ends),
        size=quantity(target, abs(to - now), speech),
        way="less" if to < now else "more",
    )


def _step(clash: Clash, speech: Speech) -> float:
    """Return the step in which a give is said, internal units."""
    measure = QUANTITIES[clash.wish.target.of].measure
    if measure is Measure.ANGLE:
        return 0.1 * float(BY_NAME["deg"].factor)
    if measure is Measure.LENGTH:
        return 0.1 if speech.units == "mm" else 0.0254
    if measure in LOADS:
        unit, digits = LOADS[measure][0 if speech.units == "mm" else 1]
        return float(BY_NAME[unit].factor) * 10.0**-digits
    return 0.1 if measure is Measure.PERCENT else 0.01

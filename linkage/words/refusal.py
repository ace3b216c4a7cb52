"""A question that has no answer, in words: which targets fight, and what would do."""

import math
import textwrap
from collections.abc import Iterator

from linkage.parts.cylinder import Cylinder
from linkage.placing.records import Clash, Conflict, Placement
from linkage.quantities.register import QUANTITIES
from linkage.units import BY_NAME, Measure
from linkage.words.speech import WIDTH, Speech
from linkage.words.targets import placed_name, quantity, target_words, wanted_words

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


def _refused(placement: Placement) -> Iterator[str]:
    for count, conflict in enumerate(placement.conflicts):
        size = len(conflict.clashes)
        which = NUMBERS.get(size, f"These {size}")
        cannot = {1: "cannot be had", 2: "cannot both be had"}.get(
            size, "cannot all be had"
        )
        lead = f"{title(placement)}. " if not count else "And apart from that: "
        yield f"{lead}{which} {cannot}:"
        yield from _conflict(placement, conflict)
        yield ""
    if not any(each.proof for each in placement.conflicts):
        yield from wrap("No proof: it is what a thorough search found.")
        yield from _besides(placement)
    yield "Nothing was written."


def _besides(placement: Placement) -> Iterator[str]:
    """Say what every answer has to keep beside its targets, where it is a number."""
    speech = Speech(placement.design.units)
    for name in placement.group.pedals:
        train = placement.design.pedals[name].train
        last = train[-1] if train else None
        if isinstance(last, Cylinder) and last.stroke is not None:
            has = f"{speech.short(last.stroke.nominal)} {speech.units}"
            yield from wrap(
                f"Every answer also keeps the piston within the cylinder's {has} "
                "up to the full stop."
            )


def _conflict(placement: Placement, conflict: Conflict) -> Iterator[str]:
    speech = Speech(placement.design.units)
    for clash in conflict.clashes:
        target = clash.wish.target
        words = target_words(target, clash.wish.pedal if several(placement) else "")
        yield f"  line {target.line:<5} {words:<30} {wanted_words(target, speech)}"
    if conflict.proof:
        yield from wrap(f"Because {conflict.proof}")
    gives = list(_gives(placement, conflict, speech))
    if gives:
        yield ""
        yield "Give way in one place, the rest kept:"
        yield from gives


def _gives(placement: Placement, conflict: Conflict, speech: Speech) -> Iterator[str]:
    for give in conflict.gives:
        words = placed_name(placement.design, give.path, placement.group.pedals)
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

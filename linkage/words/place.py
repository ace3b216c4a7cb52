"""A placement for people: what was written, what still is free, or what fights."""

from collections.abc import Iterator

from linkage.last_word import PLACED
from linkage.placing.records import Answer, Placement
from linkage.words.placed import (
    metal,
    put_words,
    still_free,
    target_rows,
    touched,
    value_rows,
)
from linkage.words.refusal import refused, title, unanswered, wrap
from linkage.words.speech import WIDTH, Speech, tidy
from linkage.words.targets import placed_name, target_notes

#: Widths of the first two columns.
WIDE, ASKED = 30, 25
NO_PROMISE = "Others may exist: no search promises to find every one."


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
        lines = unanswered(placement)
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
    yield from _beside(placement, answer)
    if count > 1:
        yield ""
        yield from _others(placement, number)
    yield ""
    yield from wrap(NO_PROMISE)
    yield from wrap(PLACED)


def _values(placement: Placement, answer: Answer) -> Iterator[str]:
    head = f"{'':<{WIDE}}{'you allowed':<{ASKED}}"
    marked = placement.mark is not None
    yield head + (f"{'exact':>10}   to mark out" if marked else "   written")
    for row in value_rows(placement, answer):
        words, asked = tidy(row.words, WIDE - 3), tidy(row.allowed, ASKED - 1)
        middle = f"{row.exact:>10}   " if marked else "   "
        yield f"  {words:<{WIDE - 2}}{asked:<{ASKED}}{middle}{row.put}"


def _targets(placement: Placement, answer: Answer) -> Iterator[str]:
    marked = placement.mark is not None
    head = "tried again as marked out" if marked else "tried again as written"
    last = "as marked" if marked else "as written"
    yield f"  {head:<{WIDE - 2}}{'wanted':<{ASKED}}{'exact':>10}   {last}"
    for row in target_rows(placement, answer, Speech(placement.design.units)):
        words, wanted = tidy(row.words, WIDE - 3), tidy(row.wanted, ASKED - 1)
        said = f"{row.exact:>10}   {row.got:<10} {row.verdict}"
        yield f"  {words:<{WIDE - 2}}{wanted:<{ASKED}}{said}".rstrip()
    yield from _taken(placement)


def _taken(placement: Placement) -> Iterator[str]:
    """Say what was taken where a target does not say how near is near enough."""
    for name in placement.group.pedals:
        pedal = placement.design.pedals[name]
        for text in target_notes(pedal, Speech(placement.design.units)):
            yield from wrap(text, "  ")


def _still_free(placement: Placement, answer: Answer) -> Iterator[str]:
    lead, told = still_free(placement, answer)
    yield from ([f"  {lead}"] if lead else [])
    for line in told:
        yield f"    {line}"


def _beside(placement: Placement, answer: Answer) -> Iterator[str]:
    """What it touches, and lengths of metal that nobody typed."""
    for text in touched(placement, answer):
        yield from wrap(text, "  ")
    for text in metal(placement, answer, Speech(placement.design.units)):
        yield from wrap(text, "  ")


def _others(placement: Placement, number: int) -> Iterator[str]:
    """One line for each of the other answers."""
    yield "  Other shapes of answer (--answer N writes one):"
    for count, answer in enumerate(placement.answers, 1):
        if count == number:
            continue
        said = [
            f"{placed_name(placement.design, each.path, placement.group.pedals)} "
            f"{put_words(each, answer)}"
            for each in (*placement.group.frees, *placement.group.picks)
        ]
        yield from wrap(f"{count}  {'; '.join(said)}", "    ")

"""What a search found, as the page lists it: families, or which targets fight.

Values are told as they would stand in the file, or be marked out on the metal; the rest
in the shown units. The words are those of ``footwell place``.
"""

from collections.abc import Iterator
from typing import Any, Literal

import numpy as np

from linkage.design.records import Design
from linkage.last_word import PLACED
from linkage.loading import load_text
from linkage.motion.run import move
from linkage.page.frames import frame_numbers, frames
from linkage.placing.judge import standing_of
from linkage.placing.records import Answer, Clash, Conflict, Placement
from linkage.words.place import NO_PROMISE
from linkage.words.placed import (
    TargetRow,
    metal,
    still_free,
    target_rows,
    touched,
    value_rows,
)
from linkage.words.refusal import (
    NO_PROOF,
    GiveRow,
    besides,
    cannot,
    clash_words,
    fixed_rows,
    give_rows,
    title,
)
from linkage.words.speech import Speech
from linkage.words.targets import quantity
from solvers.jet import value

Row = dict[str, Any]


def answers(
    placement: Placement,
    *,
    units: Literal["mm", "in"] | None,
    door: Literal["left", "right"],
) -> Row:
    """Return what a search found.

    Parameters
    ----------
    placement : Placement
    units : {"mm", "in"}, optional
        Of what is no value of the file; left out, the file's.
    door : {"left", "right"}
        Told on: the small side views are drawn from there.
    """
    speech = Speech(units or placement.design.units)
    return {
        "status": placement.status,
        "title": title(placement),
        "pedals": list(placement.group.pedals),
        "mark": placement.mark,
        "door": door,
        "says": _says(placement),
        "answers": [
            _answer(placement, n, speech) for n in range(len(placement.answers))
        ],
        "conflicts": [
            _conflict(placement, conflict, speech) for conflict in placement.conflicts
        ],
        "gives": [*map(_give, fixed_rows(placement, placement.gives, speech))],
        "besides": [*_besides(placement, speech)],
        "notes": [NO_PROMISE, PLACED],
    }


def _says(placement: Placement) -> str:
    """Return the outcome in a sentence."""
    count = len(placement.answers)
    if count == 1:
        return "Only one shape of answer was found."
    if count:
        return f"{count} shapes of answer were found, best first."
    if placement.conflicts:
        return f"{cannot(placement.conflicts[0])}."
    return f"No answer found. {placement.why}".strip()


def _answer(placement: Placement, index: int, speech: Speech) -> Row:
    answer = placement.answers[index]
    held = sum(each.met for each in answer.judged)
    lead, told = still_free(placement, answer) if index == 0 else ("", [])
    return {
        "n": index + 1,
        "says": f"{held} of {len(answer.judged)} targets hold.",
        "values": [
            {
                "path": row.path,
                "label": row.words,
                "allowed": row.allowed,
                "exact": row.exact,
                "put": row.put,
            }
            for row in value_rows(placement, answer)
        ],
        "targets": [_target(row) for row in target_rows(placement, answer, speech)],
        "free_directions": answer.free_directions,
        "free": {"says": lead, "each": told},
        "touched": [*touched(placement, answer)],
        "metal": [*metal(placement, answer, speech)],
        "lines": list(answer.lines),
        "scene": _scene(placement, answer, speech),
    }


def _target(row: TargetRow) -> Row:
    return {
        "pedal": row.judged.pedal,
        "n": row.judged.target.number,
        "says": row.words,
        "wanted": row.wanted,
        "exact": row.exact,
        "got": row.got,
        "met": row.judged.met,
        "verdict": row.verdict,
    }


# -------------------------------------------------------------------------- scenes


def _scene(placement: Placement, answer: Answer, speech: Speech) -> Row:
    """Return the pedals of an answer at rest and at full, for a small side view."""
    design = load_text(answer.text, placement.design.file)
    drawn = [_pedal(design, name, speech) for name in placement.group.pedals]
    reach = [p for _, own in drawn for p in own]
    x, z = [p.real for p in reach], [p.imag for p in reach]
    corners = (min(x), min(z), max(x), max(z))
    return {
        "pedals": [row for row, _ in drawn],
        "extent": [round(corner, 2) for corner in corners],
    }


def _pedal(design: Design, name: str, speech: Speech) -> tuple[Row, list[complex]]:
    rest = standing_of(design, name)
    whole = float(np.ravel(value(rest.travel))[0])
    with np.errstate(divide="ignore", invalid="ignore"):
        run = move(rest, np.array([0.0, whole]))
        found = frames(design, run, frame_numbers(design)[name], speech, quick=True)
    row = {"name": name, "duty": design.pedals[name].duty, **found.drawn}
    return row, [p for p in found.reach[0] if np.isfinite(p)]


# ------------------------------------------------------------------------ conflicts


def _conflict(placement: Placement, conflict: Conflict, speech: Speech) -> Row:
    return {
        "says": f"{cannot(conflict)}:",
        "targets": [_clash(placement, clash, speech) for clash in conflict.clashes],
        "because": f"Because {conflict.proof}" if conflict.proof else "",
        "gives": [*map(_give, give_rows(placement, conflict, speech))],
    }


def _clash(placement: Placement, clash: Clash, speech: Speech) -> Row:
    words, wanted = clash_words(placement, clash, speech)
    target = clash.wish.target
    return {
        "pedal": clash.wish.pedal,
        "n": target.number,
        "line": target.line,
        "says": words,
        "wanted": wanted,
        "missed_by": quantity(target, abs(clash.missed_by), speech, 3),
    }


def _give(row: GiveRow) -> Row:
    return {
        "label": row.words,
        "change": row.change,
        "size": row.size,
        "way": row.way,
    }


def _besides(placement: Placement, speech: Speech) -> Iterator[str]:
    """Yield on what a refusal rests where nothing proves it."""
    if placement.answers or any(each.proof for each in placement.conflicts):
        return
    if placement.conflicts:
        yield NO_PROOF
    yield from besides(placement, speech)

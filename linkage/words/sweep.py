"""A sweep for people: ten-odd rows and a few sentences."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from linkage.design.records import Design
from linkage.last_word import ARC
from linkage.motion.ends import End
from linkage.motion.run import move
from linkage.sweeping import Sweep, sweep
from linkage.words.guesses import twice_text
from linkage.words.left_out import left_out
from linkage.words.links import column_of, cylinder_of, ends_of, rod_of
from linkage.words.speech import Speech, paragraph, sentence, table, tidy
from linkage.words.still_open import open_text
from linkage.words.sways import sways
from linkage.words.sweep_cells import table_cells
from linkage.words.sweep_sentences import sentences
from solvers.jet import value
from solvers.root import first_zero

ROWS = 8
FINE = 601

Array = NDArray[np.float64]


def sweep_text(design: Design, pedal: str, at: Sequence[float] | None = None) -> str:
    """Return the table and the sentences for one pedal.

    Parameters
    ----------
    design : Design
    pedal : str
    at : sequence of float, optional
        The rows, mm of pad; left out, round places and those where something happens.

    Raises
    ------
    DesignError
        As `linkage.sweeping.sweep`.
    """
    speech = Speech(design.units)
    fine = sweep(design, pedal, positions=FINE)
    if not len(fine["travel"]):
        title = f"{design.title}: {pedal}" if design.title else pedal
        lines = [tidy(title), ""]
        for name, text in sentences(fine, 0.0, speech):
            lines += sentence(name, text)
        return "\n".join(lines) + "\n"
    whole = float(value(fine.rest.travel))
    rows = round_rows(fine, whole, speech) if at is None else at
    shown = sweep(design, pedal, at=rows)
    lines = [*paragraph(_title(design, fine, speech), 0), ""]
    if len(shown["travel"]):
        cells = table_cells(design, shown, speech)
        notes = row_notes(shown, whole)
        body = [
            [cell.texts[i] for cell in cells] + [notes[i]]
            for i in range(len(shown["travel"]))
        ]
        lines += table(body, [cell.head for cell in cells] + [("",)])
        lines.append("")
    for name, text in _gone(rows, shown, fine, speech):
        lines += sentence(name, text)
    for name, text in told(design, fine, whole, speech):
        lines += sentence(name, text)
    upto = whole if fine.limit is None else fine.limit.travel * (1.0 - 1e-9)
    more = _footwell(fine, upto)
    lines += more if lines[-1] else more[1:]
    lines += sentence("Mind", ARC)
    return "\n".join(lines) + "\n"


def _gone(
    rows: Sequence[float], shown: Sweep, fine: Sweep, speech: Speech
) -> Iterator[tuple[str, str]]:
    """Say which places have no row; why in full, where no other sentence does."""
    if shown.limit is not None:
        limit = shown.limit
        why = f"a limit ({limit.kind}) at {speech.short(limit.travel, speech.coarse)}"
        why += f", where {limit.why}" if fine.limit is None else ""
        yield from left_out(rows, shown["travel"].tolist(), why, speech)


def _footwell(swept: Sweep, upto: float) -> list[str]:
    """Return what the footwell leaves the pedal, where the file says more of it."""
    design = swept.rest.places.design
    if not (design.footwell.fixed or design.driver.shoe):
        return []
    from linkage.words.footwell import gap_lines

    return gap_lines(swept.rest, upto)


def told(
    design: Design, fine: Sweep, whole: float, speech: Speech
) -> list[tuple[str, str]]:
    """Return what a sweep comes to, (name, sentence) in order, the tape's word last.

    Parameters
    ----------
    design : Design
    fine : Sweep
        In `FINE` steps from rest to full.
    whole : float
        The travel, mm.
    speech : Speech
    """
    said = sentences(fine, whole, speech)
    opened = open_text(design, fine.pedal)
    said += [("Free", opened)] if opened else []
    if len(fine["travel"]):
        text = twice_text(design, sways(design, fine.pedal), speech)
        said += [("Beside", each) for each in _beside(design, fine.pedal, speech)]
        said += [("Tape", text)] if text else []
    return said


def _beside(design: Design, pedal: str, speech: Speech) -> list[str]:
    if len(design.pedals) < 2:
        return []
    from linkage.words.footwell import beside_texts

    return beside_texts(design, pedal, speech)


def _play(swept: Sweep, index: int, speech: Speech) -> str:
    play = float(value(swept.rest.places.number(cylinder_of(swept, index).free_play)))
    return f", {speech.reading(play)} gap" if play > 0.0 else ""


def _rod(mm: float, speech: Speech) -> str:
    return speech.length(mm) if speech.units == "mm" else speech.ruled(mm, 64)


def _title(design: Design, swept: Sweep, speech: Speech) -> str:
    own = tidy(design.title)
    title = f"{own}: {swept.pedal}" if own else swept.pedal
    said = [title]
    for branch, index in ends_of(swept.rest):
        rod = f"{branch} rod".strip().capitalize()
        said.append(
            f"{rod} {_rod(rod_of(swept, index), speech)} hole to end"
            f"{_play(swept, index, speech)}"
        )
    if swept.rest.pedal.train:
        said.append(f"Lengths in {speech.name}, angles in deg")
    return ". ".join(said)


def round_rows(swept: Sweep, whole: float, speech: Speech) -> list[float]:
    """Return round places, with those where something happens."""
    upto = whole if swept.limit is None else swept.limit.travel
    step = speech.step(whole, ROWS)
    at = {0.0, whole}
    at |= set(np.arange(step, whole - 0.4 * step, step).tolist())
    events = [end.travel for end in swept.ends] + _gap(swept)
    at = {x for x in at if all(abs(x - e) > 0.02 * whole for e in events)} | {
        0.0,
        whole,
    }
    return sorted(x for x in at | set(events) if x < upto or swept.limit is None)


def _gap(swept: Sweep) -> list[float]:
    """Return where the rod's free play is closed."""
    places = (_gap_of(swept, branch, index) for branch, index in ends_of(swept.rest))
    return sorted({x for x in places if x is not None})


def _gap_of(swept: Sweep, branch: str, index: int) -> float | None:
    closed = swept["travel"][swept[column_of(branch, "stroke")] == 0.0]
    play = float(value(swept.rest.places.number(cylinder_of(swept, index).free_play)))
    if play <= 0.0 or len(closed) in (0, len(swept["travel"])):
        return None
    return first_zero(
        lambda x: play - np.asarray(move(swept.rest, x).steps[index].end().v),
        0.0,
        float(swept["travel"][-1]),
    )


#: Places that are nearer than this are one, mm: no row shows the difference.
SAME_PLACE = 0.05


def row_notes(shown: Sweep, whole: float) -> list[str]:
    """Return what happens at each place: "rest", "full", "gap closed", an end."""
    travel = shown["travel"]
    notes = [""] * len(travel)
    for i, x in enumerate(travel):
        said = []
        if x == 0.0:
            said.append("rest")
        if abs(x - whole) < 1e-9 * max(whole, 1.0):
            said.append("full")
        elif x > whole:
            said.append("beyond full")
        said += [_short(end) for end in shown.ends if abs(end.travel - x) < 1e-7]
        notes[i] = ", ".join(said)
    for x in _gap(shown):
        i = int(np.argmin(np.abs(travel - x)))
        if abs(travel[i] - x) > SAME_PLACE:
            continue
        notes[i] = ", ".join([*([notes[i]] if notes[i] else []), "gap closed"])
    return notes


def _short(end: End) -> str:
    return {"cable slack taken up": "slack taken up"}.get(end.what, end.what)

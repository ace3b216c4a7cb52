"""One pedal as the page draws it: carried through its travel once, and told in rows.

A pedal that cannot stand, or cannot be put together, is drawn at rest as far as it
goes, with the reason in words.
"""

import math
from collections.abc import Iterable, Iterator
from typing import Any

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from linkage.design.records import Design
from linkage.faults import Fault
from linkage.motion.ends import find_ends, find_limit
from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import Run, move
from linkage.page.charts import column_texts
from linkage.page.frames import (
    PLACES,
    Frames,
    frame_numbers,
    frames,
    on_arc,
    point,
    series,
)
from linkage.page.tables import (
    fine_sweep,
    round_table,
    sentences,
    table,
    targets,
    whole_of,
)
from linkage.page.wire import rows
from linkage.places import Places
from linkage.sheets.furniture import least_gap
from linkage.sheets.poses import hole_of
from linkage.sheets.scene import Length
from linkage.sheets.typed import arm_length, gaps_at_full
from linkage.sweeping import Sweep, carried, loaded
from linkage.words.speech import Speech
from solvers.jet import value

Row = dict[str, Any]

#: A pedal with a limit is drawn up to this share of it: at it, nothing has a value.
SHORT = 1.0 - 1e-9
#: mm; how closely ends are found while a hand moves: no digit that is shown sees it.
CLOSE = 1e-9
#: mm; places of the travel nearer than this are one.
SAME = 1e-3


class Staged(Struct, frozen=True, kw_only=True, eq=False):
    """One pedal as it is drawn.

    Attributes
    ----------
    rest : PedalRest
    faults : tuple of Fault
        Why it cannot stand or work; it is then drawn at rest, as far as it goes.
    run : Run
        At the places that are drawn.
    sweep : Sweep or None
        None where it cannot be swept.
    """

    rest: PedalRest
    faults: tuple[Fault, ...]
    run: Run
    sweep: Sweep | None

    @property
    def upto(self) -> float:
        """How far it goes, mm."""
        return float(np.ravel(self.run.travel.v)[-1])


class Look(Struct, frozen=True, kw_only=True, eq=False):
    """A staged pedal with its dict and the words of its columns."""

    staged: Staged
    row: Row
    frames: Frames

    @property
    def texts(self) -> dict[str, list[str]]:
        """The words of each column, place by place."""
        return dict(column_texts(self.row["table"]))


# -------------------------------------------------------------------------- pedals


def _stage(
    design: Design, name: str, places: Places, *, quick: bool, also: float | None
) -> Staged:
    """Return a pedal from rest to full, to its limit, or at rest where it cannot go."""
    rest = at_rest(places, design.pedals[name])
    faults = tuple(rest.faults())
    if faults:
        return Staged(rest=rest, faults=faults, run=_still(rest), sweep=None)
    whole = whole_of(rest)
    seen = move(rest, _stops(whole, also)) if quick else None
    limit = find_limit(rest, whole, seen)
    seen = seen if limit is None else None
    ends = find_ends(rest, whole if limit is None else limit.travel, seen, CLOSE)
    upto = whole if limit is None else limit.travel * SHORT
    swept = carried(rest, _stops(upto, also), limit, ends, seen)
    swept = swept if quick else loaded(swept)
    run = swept.run if len(swept["travel"]) else _still(rest)
    return Staged(rest=rest, faults=(), run=run, sweep=swept)


def _stops(upto: float, also: float | None) -> NDArray[np.float64]:
    """Return even places of the travel, both ends in, and one that is asked for."""
    even = np.linspace(0.0, upto, PLACES)
    if also is None or not 0.0 < also < upto:
        return even
    return np.sort([*even[np.abs(even - also) > SAME], also])


def _still(rest: PedalRest) -> Run:
    with np.errstate(all="ignore"):
        return move(rest, np.zeros(1))


def stage_pedal(
    design: Design,
    name: str,
    places: Places,
    speech: Speech,
    *,
    quick: bool,
    also: float | None = None,
) -> Look:
    """Return a pedal as it is drawn, without its table.

    Parameters
    ----------
    design, name
        Which pedal.
    places : Places
        With the numbers to draw it by.
    speech : Speech
    quick : bool
        Outlines of arms that are not known yet are drawn plainly, and ends are
        looked for where the places that are drawn show them.
    also : float, optional
        A place of the travel, mm, that is drawn and told beside the even ones.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        staged = _stage(design, name, places, quick=quick, also=also)
        numbers = frame_numbers(design)[name]
        drawn = frames(design, staged.run, numbers, speech, quick=quick)
        row = {
            "name": name,
            "duty": design.pedals[name].duty,
            "travel": _number(whole_of(staged.rest)),
            "upto": _number(staged.upto),
            "at": series(staged.run.travel.v),
            **drawn.drawn,
            "marks": [*_marks(staged, speech)],
            "faults": rows(staged.faults),
        }
    return Look(staged=staged, row=row, frames=drawn)


def tabled(look: Look, speech: Speech) -> Look:
    """Return a pedal with its table."""
    swept = look.staged.sweep
    made: Row = {"head": [], "keys": [], "rows": []}
    if swept is not None:
        made = table(look.staged.rest.places.design, swept, speech)
    return replace(look, row={**look.row, "table": made})


def told_of(design: Design, staged: Staged, speech: Speech) -> Row:
    """Return what only a state tells of a pedal: sentences, round rows, targets."""
    judged = targets(design, staged.rest, speech)
    if staged.sweep is None:
        said = [
            ["Stop", f"{each.wrong} {each.right}".strip()] for each in staged.faults
        ]
        empty: Row = {"head": [], "keys": [], "rows": [], "at": [], "notes": []}
        return {"sentences": said, "round": empty, "targets": judged}
    fine = fine_sweep(staged.sweep)
    return {
        "sentences": sentences(design, fine, speech),
        "round": round_table(design, fine, speech),
        "targets": judged,
    }


def _marks(staged: Staged, speech: Speech) -> Iterator[Row]:
    """Yield what happens on the way, where the pad then is."""
    swept = staged.sweep
    if swept is None or not len(swept["travel"]):
        return
    for end in swept.ends:
        kind = "slack" if end.what == "cable slack taken up" else "end"
        yield _mark(staged, end.travel, f"{end.what} at", kind, speech)
    if swept.limit is not None:
        yield _mark(
            staged, swept.limit.travel, f"{swept.limit.kind} at", "limit", speech
        )
    yield from _square(staged, swept, speech)


def _square(staged: Staged, swept: Sweep, speech: Speech) -> Iterator[Row]:
    """Yield where the last rod or cable stands square to its arm, between two places."""
    if "crank_angle" not in swept.columns:
        return
    off, travel = swept["crank_angle"] - 90.0, swept["travel"]
    crossed = np.flatnonzero((off[1:] > 0.0) != (off[:-1] > 0.0))
    if not len(crossed):
        return
    k, run = int(crossed[0]), swept.run
    share = float(off[k] / (off[k] - off[k + 1]))
    at = float(travel[k] + share * (travel[k + 1] - travel[k]))
    link = run.last.link
    ends = (hole_of(run, len(run.steps) - 1), link.driver.pivot, link.far())
    row = _mark(staged, at, f"{link.kind} square at", "square", speech)
    yield {**row, "corner": [point(_between(end, k, share)) for end in ends]}


def _between(z: Any, k: int, share: float) -> complex:
    """Return a place a share of the way on from place ``k`` of a run."""
    each = np.ravel(value(z))
    if len(each) == 1:
        return complex(each[0])
    return complex(each[k] + share * (each[k + 1] - each[k]))


def _mark(staged: Staged, travel: float, text: str, kind: str, speech: Speech) -> Row:
    return {
        "travel": _number(travel),
        "at": point(complex(on_arc(staged.run, travel)[0])),
        "text": f"{text} {speech.short(travel)}",
        "kind": kind,
    }


# ------------------------------------------------------------------------- lengths


def nearest_of(looks: Iterable[Look], speech: Speech) -> list[Row]:
    """Return each pedal's least gap on the way, in a footwell that is furnished."""
    found = []
    for look in looks:
        swept = look.staged.sweep
        if swept is not None and len(swept["travel"]):
            upto = float(np.max(swept["travel"]))
            least = least_gap(look.staged.rest, upto, speech)
            found += [_length(item, look.row["name"], 0, "gap") for item in least]
    return found


def lengths_of(design: Design, looks: Iterable[Look], speech: Speech) -> list[Row]:
    """Return lengths worth a dimension: the arm, each rod, the gaps at full."""
    found = []
    for look in looks:
        swept, name = look.staged.sweep, look.row["name"]
        if swept is None or not len(swept["travel"]):
            continue
        rest = look.staged.rest
        given = [arm_length(rest, speech), *gaps_at_full(design, rest, speech)]
        for item in given:
            kind = "gap" if item.text.endswith("full") else "arm"
            found.append(_length(item, name, 0, kind))
        for link in look.row["links"]:
            a, b = link["a"][0], link["b"][0]
            if link["kind"] == "rod" and a is not None and b is not None:
                text = speech.length(abs(complex(*b) - complex(*a)))
                found.append(
                    {
                        "pedal": name,
                        "frame": link["frame"],
                        "kind": "rod",
                        "a": a,
                        "b": b,
                        "text": text,
                    }
                )
    return found


def _length(item: Length, pedal: str, frame: int, kind: str) -> Row:
    return {
        "pedal": pedal,
        "frame": frame,
        "kind": kind,
        "a": point(item.a),
        "b": point(item.b),
        "text": item.text,
    }


def _number(x: float) -> float | None:
    return round(x, 4) + 0.0 if math.isfinite(x) else None

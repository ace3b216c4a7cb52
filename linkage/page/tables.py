"""Figures and sentences of a pedal as people read them: those of ``footwell sweep``."""

import tomllib
from functools import lru_cache
from typing import Any

import numpy as np

from linkage.design.records import Design, Target
from linkage.motion.rest import PedalRest
from linkage.placing.judge import judge_one
from linkage.quantities.asked import lacking
from linkage.sweeping import Sweep, carried
from linkage.words.placed import got_words
from linkage.words.speech import Speech
from linkage.words.sweep import FINE, round_rows, row_notes, told
from linkage.words.sweep_cells import table_cells
from linkage.words.targets import target_words, wanted_words
from solvers.jet import value

#: The keys of a target that say what it wants.
KEYS = ("of", "at", "is", "within", "least", "most", "prefer", "which", "between")

Row = dict[str, Any]


def table(design: Design, shown: Sweep, speech: Speech) -> Row:
    """Return the cells of a sweep at each of its places, a list a column."""
    cells = table_cells(design, shown, speech) if len(shown["travel"]) else []
    return {
        "head": [list(cell.head) for cell in cells],
        "keys": [cell.column or None for cell in cells],
        "rows": [cell.texts for cell in cells],
    }


def fine_sweep(swept: Sweep) -> Sweep:
    """Return a pedal in the many steps that sentences rest on."""
    places = np.linspace(0.0, whole_of(swept.rest), FINE)
    return carried(swept.rest, places, swept.limit, swept.ends)


def whole_of(rest: PedalRest) -> float:
    """Return the travel, mm."""
    return float(np.ravel(value(rest.travel))[0])


def round_table(design: Design, fine: Sweep, speech: Speech) -> Row:
    """Return the very rows that ``footwell sweep`` prints, with its notes behind."""
    whole = whole_of(fine.rest)
    if not len(fine["travel"]):
        return {"head": [], "keys": [], "rows": [], "at": [], "notes": []}
    at = round_rows(fine, whole, speech)
    shown = carried(fine.rest, np.array(at), fine.limit, fine.ends)
    return {
        **table(design, shown, speech),
        "at": at,
        "notes": row_notes(shown, whole),
    }


def sentences(design: Design, fine: Sweep, speech: Speech) -> list[list[str]]:
    """Return what a sweep comes to: [name, sentence] in order."""
    said = told(design, fine, whole_of(fine.rest), speech)
    return [[name, text] for name, text in said]


# ------------------------------------------------------------------------- targets


def targets(design: Design, rest: PedalRest, speech: Speech) -> list[Row]:
    """Return the targets of a pedal with what each got."""
    spelt = _spelt(design.text, rest.pedal.name)
    return [
        {
            "n": target.number,
            "of": target.of,
            "at": target.at.text,
            "says": target_words(target),
            "wanted": wanted_words(target, speech),
            "keys": spelt[target.number - 1] if target.number <= len(spelt) else {},
            **_got(rest, target, speech),
            "line": target.line,
        }
        for target in rest.pedal.targets
    ]


def _got(rest: PedalRest, target: Target, speech: Speech) -> Row:
    lacks = lacking(rest.places.design, rest.pedal, target)
    if lacks:
        return {"got": "none", "met": None, "why": lacks}
    if not np.all(rest.sound()):
        return {"got": "none", "met": None, "why": "the pedal cannot stand at rest"}
    judged = judge_one(rest, target)
    why = None if judged.got is not None else "it has no value there"
    return {"got": got_words(judged, speech), "met": judged.met, "why": why}


@lru_cache(maxsize=16)
def _spelt(text: str, pedal: str) -> list[dict[str, str]]:
    """Return the keys of a pedal's targets as they are spelt in the file."""
    document = tomllib.loads(text.replace("\r\n", "\n"), parse_float=str)
    rows = document["pedal"][pedal].get("target", [])
    rows = rows if isinstance(rows, list) else [rows]
    return [{key: _said(row[key]) for key in KEYS if key in row} for row in rows]


def _said(raw: Any) -> str:
    return ", ".join(map(str, raw)) if isinstance(raw, list) else str(raw)

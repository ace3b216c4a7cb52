"""What the page shows of a check: the grave findings whole, the rest as rows.

Every text is that of ``footwell check``; lengths are in the units that are shown.
"""

from collections.abc import Iterator
from typing import Any

from msgspec.structs import replace

from linkage.car.drive import missing_of
from linkage.design.records import Design
from linkage.findings.check import check
from linkage.findings.records import Finding
from linkage.last_word import REPORT
from linkage.rehearsing.rehearse import rehearse
from linkage.units import Measure
from linkage.words.band import limit_text, value_text
from linkage.words.check import (
    SIGNS,
    WORDS,
    count_text,
    lacking,
    names_of,
    rules_text,
    told,
)
from linkage.words.effort import SCALES
from linkage.words.failures import outcome_text
from linkage.words.speech import Speech

Row = dict[str, Any]


def findings(design: Design, units: str | None) -> Row:
    """Return the findings of all pedals of a design, the gravest first; and bad days.

    Parameters
    ----------
    design : Design
    units : {"mm", "in"}, optional
        Of texts; left out, those of the file.

    Raises
    ------
    DesignError
    """
    design = replace(design, units=units or design.units)
    report, speech = check(design, tuple(design.pedals)), Speech(design.units)
    names = names_of(report)
    rows = [
        {
            "pedal": each.pedal,
            "name": names[i],
            "verdict": each.verdict,
            "sign": f"{SIGNS[each.verdict]} {WORDS[each.verdict]}",
            "value": value_text(each, speech),
            "limit": limit_text(each, speech),
            "told": told(design, each),
            "at": _at(each),
        }
        for i, each in enumerate(report.findings)
        if each.lack is None
    ]
    return {
        "says": f"Rules: {rules_text(report)}. {count_text(report)}.",
        "findings": rows,
        "lacks": [{"names": names, "why": why} for names, why in lacking(report)],
        "days": [row for name in design.pedals for row in _bad_days(design, name)],
        "safe": REPORT,
    }


def _bad_days(design: Design, pedal: str) -> Iterator[Row]:
    """Yield a row a failure of a brake whose circuits the file describes."""
    if missing_of(design.pedals[pedal]) is not None:
        return
    speech, scale = Speech(design.units), SCALES[design.units]
    found = rehearse(design, pedal)
    for outcome in found.outcomes:
        judged = "fail" if outcome.missed else "ok"
        verdict = judged if outcome.meeting is not None else "not checked"
        yield {
            "pedal": pedal,
            "name": outcome.case.name,
            "verdict": verdict,
            "sign": {"fail": "x MISSED", "ok": "+"}.get(verdict, "? NOT CHECKED"),
            "value": f"{speech.length(outcome.travel)} of pad",
            "limit": "",
            "told": [outcome_text(outcome, speech, scale)],
            "at": outcome.travel,
        }
    for each in found.skipped:
        yield {
            "pedal": pedal,
            "name": each.case.name,
            "verdict": "not checked",
            "sign": "? NOT CHECKED",
            "value": "",
            "limit": "",
            "told": [each.why],
            "at": None,
        }


def _at(each: Finding) -> float | None:
    """Return the travel of the pad, mm, that a finding is about; None where none is."""
    got = each.measured
    return None if got is None or each.measure is Measure.TIME else got.at

"""A report as JSON and as columns: mm, deg, N, MPa, s, %, full precision."""

import math
from collections.abc import Mapping
from typing import Any

from linkage.design.records import Design
from linkage.findings.records import Change, Finding, Report
from linkage.last_word import FINDINGS
from linkage.limits.bands import Limit
from linkage.units import BY_NAME, Measure, out_of

#: The JSON unit of each measure.
UNITS: Mapping[Measure, str] = {
    Measure.LENGTH: "mm",
    Measure.ANGLE: "deg",
    Measure.FORCE: "N",
    Measure.PRESSURE: "MPa",
    Measure.PERCENT: "%",
    Measure.TIME: "s",
    Measure.ACCELERATION: "g0",
}


def report_document(design: Design, report: Report) -> dict[str, Any]:
    """Return the JSON document of a report; null where there is no value."""
    return {
        "rules": {
            "set": report.rules,
            "edition": report.edition or None,
            "own": [{"limit": each.name, "reason": each.reason} for each in report.own],
        },
        "count": {
            "fail": report.count("fail"),
            "caution": report.count("caution"),
            "ok": report.count("ok"),
            "not checked": report.count("not checked"),
        },
        "free": list(report.free),
        "findings": [_row(design, each) for each in report.findings],
        "guesses": [
            {"path": path, "said": said, "leaning": list(leaning)}
            for path, (said, leaning) in report.guesses.items()
        ],
        "caution": FINDINGS,
    }


def unit_of(measure: Measure) -> str:
    """Return the JSON unit of a measure."""
    return UNITS.get(measure, "1")


def _row(design: Design, each: Finding) -> dict[str, Any]:
    got, unit = each.measured, unit_of(each.measure)
    return {
        "pedal": each.pedal,
        "finding": each.name,
        "verdict": each.verdict,
        "value": None if got is None else shown(got.value, unit),
        "bound": (got.bound or None) if got else None,
        "unit": unit,
        "travel": None if got is None else got.at,
        "limit": None if each.limit is None else _limit(each.limit, unit),
        "reason": each.why or None,
        "source": each.source or None,
        "working": (got.working or None) if got else None,
        "note": (got.note or None) if got else None,
        "missing": each.lack
        and {"what": each.lack.what, "give": each.lack.give or None},
        "guesses": list(got.leans) if got else [],
        "change": each.change and _change(design, each.change, unit),
    }


def shown(x: float | None, unit: str) -> float | None:
    """Return an internal value in a JSON unit; None for none, and for no end."""
    if x is None or not math.isfinite(x):
        return None
    return out_of(x, unit) + 0.0


def _limit(limit: Limit, unit: str) -> dict[str, Any]:
    ends = ("fail_under", "least", "most", "fail_over")
    return {
        "name": limit.name,
        **{end: shown(getattr(limit, end), unit) for end in ends},
        "kind": limit.kind,
        "reason": limit.reason or None,
    }


def _change(design: Design, change: Change, unit: str) -> dict[str, Any]:
    given = BY_NAME[design.values[change.path].unit].measure
    own = unit_of(given)
    return {
        "path": change.path,
        "now": shown(change.now, own),
        "new": shown(change.new, own),
        "unit": own,
        "gives": shown(change.value, unit),
        "verdict": change.verdict,
        "breaks": list(change.breaks),
        "estimate": True,
    }

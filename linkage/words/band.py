"""The value of a finding and the band that it is held to, in words."""

import math

from linkage.findings.records import Finding
from linkage.limits.bands import Limit
from linkage.units import Measure, out_of, say, trim
from linkage.words.speech import Speech

#: No more decimals than so many are added, however near a value is to its limit.
MOST_MORE = 3


def value_text(each: Finding, speech: Speech) -> str:
    """Return what a check found, in the units of the design: "271.9 N (61.1 lbf)"."""
    got = each.measured
    if got is None:
        return ""
    if each.limit is None and got.wanted:
        whole = got.wanted.startswith("all ")
        count = trim(got.value or 0.0, 1)
        return f"{count} of {got.wanted.removeprefix('all ')}" if whole else ""
    if got.value is None:
        return "cannot be had"
    if each.limit is not None and each.limit.name == "past square" and got.value < 0.0:
        return f"{sized(each.measure, -got.value, speech)} short"
    said = sized(each.measure, got.value, speech, _more(each, got.value, speech))
    return f"{got.bound} {said}" if got.bound else said


def sized(measure: Measure, x: float, speech: Speech, more: int = 0) -> str:
    """Return an internal value of a measure with its unit, for people.

    ``more``: so many decimals more than is usual.
    """
    if measure is Measure.LENGTH:
        usual = 1 if speech.units == "mm" else 3
        return f"{speech.short(x, usual + more)} {speech.units}"
    if measure is Measure.FORCE:
        pair = [f"{out_of(x, unit):.{more}f} {unit}" for unit in ("N", "lbf")]
        first, second = pair if speech.units == "mm" else pair[::-1]
        return f"{first} ({second})"
    if measure is Measure.PRESSURE:
        return f"{trim(x, 3 + more)} MPa ({say(x, 'psi', 1 + more)})"
    unit, digits = {
        Measure.ANGLE: ("deg", 1),
        Measure.PERCENT: ("%", 1),
        Measure.TIME: ("s", 3),
        Measure.ACCELERATION: ("g0", 2),
    }.get(measure, ("1", 2))
    return say(x, unit, digits + more)


def _more(each: Finding, value: float, speech: Speech) -> int:
    """Return how many decimals more tell a value from the end that it is beyond."""
    limit = each.limit
    if limit is None:
        return 0
    low, high = _band(each, limit)
    end = low if value < low else high
    more = 0
    while more < MOST_MORE and low <= high and not low <= value <= high:
        got, wants = (sized(each.measure, x, speech, more) for x in (value, end))
        if got != wants:
            break
        more += 1
    return more


def _band(each: Finding, limit: Limit) -> tuple[float, float]:
    """Return the band that decides: what is ok; of a fail, what may be borne."""
    if each.verdict == "fail":
        return limit.fail_under, limit.fail_over
    return limit.least, limit.most


#: Between what may be borne and what is ok, of a fail.
OK = ", ok "


def limit_text(each: Finding, speech: Speech) -> str:
    """Return what a value is held to: what is ok; of a fail, what may be borne too.

    "5 at most"; of a fail "8 at most, ok to 5".
    """
    limit = each.limit
    if limit is None:
        return ""
    said = band_text(*_band(each, limit), each.measure, speech)
    good = _ok_text(limit, each.measure, speech) if each.verdict == "fail" else ""
    return f"{said}{OK}{good}" if said and good else said


def _ok_text(limit: Limit, measure: Measure, speech: Speech) -> str:
    """Return what is ok where less is so than may be borne: "to 5", "-5 to 10"."""
    low, high = (_bare(measure, x, speech) for x in (limit.least, limit.most))
    if (limit.least, limit.most) == (limit.fail_under, limit.fail_over):
        return ""
    if math.isinf(limit.least):
        return "" if math.isinf(limit.most) else f"to {high}"
    return f"from {low}" if math.isinf(limit.most) else f"{low} to {high}"


def band_text(low: float, high: float, measure: Measure, speech: Speech) -> str:
    """Return a band in words: "5 at most", "30 to 75", "20.7 exactly"."""
    if low == high:
        return f"just {_bare(measure, low, speech)}"
    if math.isinf(low) and math.isinf(high):
        return ""
    if math.isinf(low):
        return f"{_bare(measure, high, speech)} at most"
    if math.isinf(high):
        return f"{_bare(measure, low, speech)} at least"
    return f"{_bare(measure, low, speech)} to {_bare(measure, high, speech)}"


def _bare(measure: Measure, x: float, speech: Speech) -> str:
    return sized(measure, x, speech).partition(" ")[0]

"""One number with its unit: how it may be written, and which unit it is in.

Sums are exact until the last step, so that 3/4 in and 0.75 in are one number. This
module knows no file, no key and no range: `Misread` says what is wrong and what would
be right.
"""

import difflib
import re
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from linkage.units import UNITS, Measure, Unit, find_unit, plain, units_of

#: The longest text that can be one number with all its trimmings.
LONGEST = 120
#: Nothing in a car has more digits before the dot, in whatever unit it is written.
HUGE_DIGITS = 8
PATTERN = (
    r"[+-]?\s*(?:\d+[ -]\s*\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+(?:\.\d*)?|\.\d+)(?![\d.,])"
)
HOW = 'Write 120.5, "3/4 in", "120 +- 0.5" or "45 to 65".'
NUMBER = re.compile(PATTERN)
_PARTS = re.compile(
    r"(?P<sign>[+-]?)\s*(?:(?:(?P<whole>\d+)[ -]\s*)?(?P<over>\d+)\s*/\s*(?P<under>\d+)"
    r"|(?P<decimal>[\d.]+))"
)
_COMMA = re.compile(r"(\d+),(\d+)")
_ASKED = re.compile(rf"(?=.*\?)({PATTERN})\s*\?*\s*([A-Za-z]*)\s*\?*")
_SPAN = re.compile(
    r"(\d+(?:\.\d+)?)\s*(?:-|\.\.+)\s*(\d+(?:\.\d+)?)\s*((?:mm|cm|m|in|ft|deg)?)"
)
_FEET = re.compile(
    rf"(\d+)\s*(?:ft|feet|foot|')\.?[\s,-]*({PATTERN})\s*(?:in\.?|inch(?:es)?|\"|'')?"
)
_POWER = re.compile(r"[+-]?\d+(?:\.\d+)?[eE][+-]?\d{1,3}(?![\w.])")


class Misread(Exception):  # noqa: N818 - it becomes one line of a fault, not an error
    """A number that cannot be used: what is wrong, and what would be right."""

    def __init__(self, wrong: str, right: str) -> None:
        self.wrong, self.right = wrong, right
        super().__init__(wrong, right)


class Term(Struct, frozen=True):
    """One number with the unit that stands behind it, if any."""

    number: Fraction
    unit: Unit | None
    text: str


# ------------------------------------------------------------------------ numbers


def bare_term(raw: Any) -> Term:
    """Return a number of the file that stands without quotes.

    Raises
    ------
    Misread
    """
    if isinstance(raw, bool) or not isinstance(raw, int | Decimal):
        right = SEVERAL if isinstance(raw, list) else HOW
        raise Misread(f"{_kind_of(raw)} stands where a number belongs.", right)
    if isinstance(raw, Decimal) and not raw.is_finite():
        raise Misread(f"{raw} is not a number that can be measured.", HOW)
    size = raw.adjusted() if isinstance(raw, Decimal) else raw.bit_length() * 0.3
    if raw and not -LONGEST < size < HUGE_DIGITS:
        text = f"{raw} " if -LONGEST < size < LONGEST else ""
        raise Misread(f"{text}is far too large or too small.", ASTRAY)
    return Term(Fraction(raw), None, str(raw))


SEVERAL = 'A range is written "45 to 65", a choice { one_of = ["0.70 in", "3/4 in"] }.'
#: What is asked where a number is out of all bounds.
ASTRAY = "Is a digit or a dot astray?"


def _kind_of(raw: Any) -> str:
    if isinstance(raw, bool):
        return str(raw).lower()
    if isinstance(raw, list):
        return "a list"
    return "a table" if isinstance(raw, dict) else "something else"


def spelt_term(text: str, raw: str, measure: Measure) -> Term:
    """Return the number that a text says, with its unit if it has one.

    Parameters
    ----------
    text : str
        In plain signs.
    raw : str
        All that stands in the file, for messages.
    measure : Measure
        What the number measures.

    Raises
    ------
    Misread
    """
    found = NUMBER.match(text)
    if not found:
        raise unreadable(raw)
    word = text[found.end() :].strip().rstrip(".")
    if word.startswith("'") or "?" in word:
        raise unreadable(raw)
    unit = find_unit(word) if word else None
    if word and unit is None:
        raise _unknown_unit(word, raw, measure)
    return Term(_exact(found[0], raw), unit, text)


def _exact(text: str, raw: str) -> Fraction:
    found = _PARTS.fullmatch(text)
    if not found:
        raise unreadable(raw)
    if found["decimal"]:
        size = Fraction(found["decimal"].rstrip("."))
    else:
        over, under = int(found["over"]), int(found["under"])
        if under == 0 or (found["whole"] and over >= under):
            raise Misread(
                f'"{raw}": {over}/{under} is not a fraction of a whole one.',
                "Write 4 5/8, say: what stands over the bar is the smaller.",
            )
        size = int(found["whole"] or 0) + Fraction(over, under)
    if size >= 10**HUGE_DIGITS:
        raise Misread(f'"{raw}" is far too large.', ASTRAY)
    return -size if found["sign"] == "-" else size


def unreadable(raw: str) -> Misread:
    """Return what is said of a text that is no number."""
    shown = raw if len(raw) <= 40 else f"{raw[:40]}..."
    comma, power = _COMMA.search(raw), _POWER.search(plain(raw))
    meant = _meant_by(plain(raw).strip())
    if meant:
        right = meant
    elif comma:
        right = f"A decimal needs a dot: {comma[1]}.{comma[2]}."
    elif power:
        right = _in_full(power[0])
    elif re.search(r"\d.*(?:\bnear\b|\bto\b|\band\b|\.\.)", raw):
        right = 'A range is written "45 to 65", or "45 to 65 near 50".'
    elif re.search(r"\d\s*-\s*\d", plain(raw)):
        right = 'A range is written "5 to 12", a mixed number "1 3/8".'
    else:
        right = HOW
    if re.match(r"(?i)\s*(?:~|approx|ca\b|circa|about)", raw) and right == HOW:
        right = 'A guess is written "about 120".'
    return Misread(f'"{shown}" is not a number I can read.', right)


def _meant_by(text: str) -> str:
    """Return what to write for a guess, a range or feet and inches; "" for others."""
    asked, span, feet = (form.fullmatch(text) for form in (_ASKED, _SPAN, _FEET))
    if asked:
        return f'A guess is written "about {f"{asked[1]} {asked[2]}".strip()}".'
    if span and Fraction(span[1]) < Fraction(span[2]):
        return f'A range is written "{f"{span[1]} to {span[2]} {span[3]}".strip()}".'
    if feet:
        size = 12 * int(feet[1]) + _exact(feet[2], text)
        return f'Feet and inches go as inches alone: write "{_mixed(size)} in".'
    return ""


def _mixed(size: Fraction) -> str:
    """Return inches as a tape has them: "21 1/2", or as a decimal.

    >>> _mixed(Fraction(43, 2)), _mixed(Fraction(24)), _mixed(Fraction("53.3"))
    ('21 1/2', '24', '53.3')
    """
    whole, rest = divmod(size, 1)
    if not rest:
        return str(whole)
    if 64 % rest.denominator:
        return f"{float(size):.6g}"
    return f"{whole} {rest}" if whole else str(rest)


def _in_full(power: str) -> str:
    """Return how a number with a power of ten is written."""
    try:
        size = Decimal(power)
    except InvalidOperation:
        return ASTRAY
    if not -HUGE_DIGITS < size.adjusted() < HUGE_DIGITS:
        return ASTRAY
    return f"Write it in full: {size:f}."


# -------------------------------------------------------------------------- units


def share_units(
    terms: list[Term], inheriting: int, measure: Measure, bare: Unit | None
) -> tuple[list[Term], Unit | None]:
    """Give every number its unit: its own, the next one's, or the bare meaning.

    ``inheriting`` counts the numbers of the value itself; the unit of the first one
    is the unit in which the file speaks of it.

    Raises
    ------
    Misread
    """
    shared: list[Term] = []
    later: Unit | None = None
    for term in reversed(terms):
        _must_measure(term, measure)
        later = term.unit or later
        shared.insert(0, replace(term, unit=later))
    spoken = next((t.unit for t in shared[:inheriting] if t.unit), None)
    for index, term in enumerate(shared):
        if term.unit is None:
            shared[index] = replace(term, unit=_meant(term, spoken, measure, bare))
        elif terms[index].unit is None:
            shared[index] = replace(term, text=f"{term.text} {term.unit.name}")
    return shared, shared[0].unit


def _meant(
    term: Term, spoken: Unit | None, measure: Measure, bare: Unit | None
) -> Unit | None:
    """Return what a number without a unit means."""
    if spoken is not None and spoken is not bare:
        raise Misread(
            f"{term.text} has no unit, and the number before it is in {spoken.name}.",
            f'Say which: "{term.text} {spoken.name}".',
        )
    if bare is None and measure is not Measure.PURE:
        usual = units_of(measure)
        raise Misread(
            f"{term.text} is {a(measure)} and needs its unit.",
            f'Write "{term.text} {usual[0]}" (or {", ".join(usual[1:])}).'
            if len(usual) > 1
            else f'Write "{term.text} {usual[0]}".',
        )
    return bare


#: What a mass weighs, where a force was meant.
_WEIGHS = {"lb": "lbf", "kg": "kgf"}


def _must_measure(term: Term, measure: Measure) -> None:
    if term.unit is None or term.unit.measure is measure:
        return
    right = _units(measure)
    found = NUMBER.match(term.text)
    if measure is Measure.FORCE and term.unit.name in _WEIGHS and found:
        right = f'Write "{found[0]} {_WEIGHS[term.unit.name]}". {right}'
    raise Misread(
        f'"{term.text}" is {a(term.unit.measure)}, and {a(measure)} belongs here.',
        right,
    )


def _units(measure: Measure) -> str:
    usual = units_of(measure)
    return f"Its units: {', '.join(usual)}." if usual else "Write the number alone."


def a(measure: Measure) -> str:
    """Return what a number measures, with its article."""
    return f"{'an' if measure.value[0] in 'aeiou' else 'a'} {measure.value}"


def _unknown_unit(word: str, raw: str, measure: Measure) -> Misread:
    """Return what is said of a unit that is none: the nearest that would fit."""
    signs = word.rstrip("23")
    if len(word) > 16 or not signs.strip("/ -.") or any(map(str.isdigit, signs)):
        return unreadable(raw)
    fitting = {
        spelling.lower(): unit.name
        for unit in UNITS
        if unit.measure is measure
        for spelling in (unit.name, *unit.spellings)
    }
    near = difflib.get_close_matches(word.lower(), list(fitting), n=1, cutoff=0.5)
    nearest = f"Nearest: {fitting[near[0]]}. " if near else ""
    return Misread(
        f'"{raw}": "{word}" is not a unit I know, and {a(measure)} belongs here.',
        f"{nearest}{_units(measure)}",
    )

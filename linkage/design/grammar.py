"""The grammar of one number: what a writer may say about it, and what it means.

A number is a decimal with a point, a fraction or a mixed number; it may be a guess
("about 11"), toleranced ("120 +- 0.5"), free ("45 to 65 near 50") or one of several.
Sums are exact until the last step, so that 3/4 in and 0.75 in are one number. This
module knows no file and no key: `Misread` says what is wrong and what would be right.
"""

import difflib
import re
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from linkage.design.values import Value
from linkage.units import BY_NAME, Measure, Unit, find_unit, into, plain, units_of

#: What a bare number means, by what it measures.
BARE = {
    Measure.ANGLE: BY_NAME["deg"],
    Measure.PERCENT: BY_NAME["%"],
}
#: The longest text that can be one number with all its trimmings.
LONGEST = 120
#: Nothing in a car has more digits before the dot, in whatever unit it is written.
HUGE_DIGITS = 8
PATTERN = (
    r"[+-]?\s*(?:\d+[ -]\s*\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+(?:\.\d*)?|\.\d+)(?![\d.,])"
)
_NUMBER = re.compile(PATTERN)
_PARTS = re.compile(
    r"(?P<sign>[+-]?)\s*(?:(?:(?P<whole>\d+)[ -]\s*)?(?P<over>\d+)\s*/\s*(?P<under>\d+)"
    r"|(?P<decimal>[\d.]+))"
)
GIVE = re.compile(r"\s*(?:\+-|\+/-|±|\+ -)\s*")
_TO = re.compile(r"\s+to\s+", re.IGNORECASE)
_NEAR = re.compile(r"\s+near\s+", re.IGNORECASE)
_ABOUT = re.compile(r"about\s+", re.IGNORECASE)
_COMMA = re.compile(r"(\d+),(\d+)")


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


def read_number(raw: Any, measure: Measure, length_unit: str = "mm") -> Value:
    """Read what stands for a number in a file.

    Parameters
    ----------
    raw : int, Decimal, str or dict
        As the TOML reader gives it; a choice is ``{"one_of": [...]}``.
    measure : Measure
        What the number measures.
    length_unit : str
        What a bare length means: "mm" or "in".

    Returns
    -------
    Value
        Without path, line and span; internal units.

    Raises
    ------
    Misread
    """
    bare = BY_NAME[length_unit] if measure is Measure.LENGTH else BARE.get(measure)
    if isinstance(raw, dict):
        return _choice(raw, measure, bare)
    if isinstance(raw, str):
        return _spelt(raw, measure, bare)
    return _fixed(_bare_term(raw), measure, bare, str(raw))


def _bare_term(raw: Any) -> Term:
    if isinstance(raw, bool) or not isinstance(raw, int | Decimal):
        raise Misread(f"{_kind_of(raw)} stands where a number belongs.", _HOW)
    if isinstance(raw, Decimal) and not raw.is_finite():
        raise Misread(f"{raw} is not a number that can be measured.", _HOW)
    size = raw.adjusted() if isinstance(raw, Decimal) else raw.bit_length() * 0.3
    if raw and not -LONGEST < size < HUGE_DIGITS:
        raise Misread("is far too large or too small.", "Is a digit or a dot astray?")
    return Term(Fraction(raw), None, str(raw))


_HOW = 'Write 120.5, "3/4 in", "120 +- 0.5" or "45 to 65".'


def _kind_of(raw: Any) -> str:
    if isinstance(raw, bool):
        return str(raw).lower()
    if isinstance(raw, list):
        return "a list"
    return "a table" if isinstance(raw, dict) else "something else"


def _spelt(raw: str, measure: Measure, bare: Unit | None) -> Value:
    if len(raw) > LONGEST:
        raise Misread("is too long to be a number.", _HOW)
    text = " ".join(plain(raw).split())
    guess = _ABOUT.match(text)
    if guess:
        text = text[guess.end() :]
    head, *gives = GIVE.split(text)
    ends, *nears = _NEAR.split(head)
    ranged = _TO.split(ends)
    if (
        len(gives) > 1
        or len(nears) > 1
        or len(ranged) > 2
        or (nears and len(ranged) < 2)
    ):
        raise _unreadable(raw)
    terms = [_term(piece, raw) for piece in (*ranged, *nears, *gives)]
    if nears and terms[2].unit is None:
        terms[2] = replace(terms[2], unit=terms[1].unit)
    terms, unit = _share_units(terms, len(ranged) + len(nears), measure, bare)
    number = [into(term.number, term.unit) for term in terms]
    give = number[-1] if gives else None
    if give is not None and give < 0.0:
        raise Misread(f'"{raw}": a tolerance has no sign.', "Write 120 +- 0.5, say.")
    value = Value(
        nominal=number[0], unit=_name(unit), give=give or None, guess=bool(guess)
    )
    if len(ranged) == 2:
        if guess:
            raise Misread(f'"{raw}" is a guess and a range.', "Leave about out.")
        value = _free(value, number, bool(nears), raw)
    return replace(value, text=raw)


def _name(unit: Unit | None) -> str:
    return unit.name if unit else "1"


def _free(value: Value, number: Sequence[float], near: bool, raw: str) -> Value:
    low, high = number[0], number[1]
    if low > high:
        raise Misread(f'"{raw}" runs backwards.', "The smaller end comes first.")
    if low == high:
        raise Misread(f'"{raw}" leaves no room.', "Write one number, or two ends.")
    wish = number[2] if near else None
    if wish is not None and not low <= wish <= high:
        raise Misread(
            f'"{raw}": near lies outside its own range.',
            "Name a place between its ends.",
        )
    middle = 0.5 * (low + high)
    return replace(
        value, nominal=middle if wish is None else wish, low=low, high=high, near=wish
    )


def _fixed(term: Term, measure: Measure, bare: Unit | None, text: str) -> Value:
    (term,), unit = _share_units([term], 1, measure, bare)
    return Value(nominal=into(term.number, term.unit), unit=_name(unit), text=text)


def _choice(raw: dict[str, Any], measure: Measure, bare: Unit | None) -> Value:
    members = raw.get("one_of")
    if set(raw) != {"one_of"} or not isinstance(members, list) or not members:
        raise Misread(
            "a table stands where a number belongs.",
            'Several to choose from are written { one_of = ["0.70 in", "3/4 in"] }.',
        )
    terms = [_member(member) for member in members]
    given = [term for term in terms if term.unit]
    if len(given) not in (0, len(terms)) and given != terms[-1:]:
        bare_one = next(term for term in terms if not term.unit)
        raise Misread(
            f"{bare_one.text} has no unit, and others of the choice have.",
            f'Say which: "{bare_one.text} {_name(given[0].unit)}".',
        )
    terms, unit = _share_units(terms, len(terms), measure, bare)
    options = tuple(into(term.number, term.unit) for term in terms)
    if len(set(options)) < len(options):
        raise Misread("the same choice stands in it twice.", "Keep one of them.")
    spelt = tuple(term.text for term in terms)
    return Value(
        nominal=options[0],
        unit=_name(unit),
        options=options,
        guess=any(_ABOUT.match(text) for text in spelt),
        text=", ".join(spelt),
        spelt=spelt,
    )


def _member(raw: Any) -> Term:
    if not isinstance(raw, str):
        return _bare_term(raw)
    text = " ".join(plain(raw[: LONGEST + 1]).split())
    if GIVE.search(text) or _TO.search(text):
        raise Misread(
            f'"{raw}": a choice is made among plain numbers.',
            'Write { one_of = ["0.70 in", "3/4 in"] }, say.',
        )
    return replace(_term(_ABOUT.sub("", text, count=1), raw), text=raw)


def _term(text: str, raw: str) -> Term:
    found = _NUMBER.match(text)
    if not found:
        raise _unreadable(raw)
    word = text[found.end() :].strip().rstrip(".")
    unit = find_unit(word) if word else None
    if word and unit is None:
        raise _unknown_unit(word, raw)
    return Term(_exact(found[0], raw), unit, text)


def _exact(text: str, raw: str) -> Fraction:
    found = _PARTS.fullmatch(text)
    if not found:
        raise _unreadable(raw)
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
        raise Misread(f'"{raw}" is far too large.', "Is a digit or a dot astray?")
    return -size if found["sign"] == "-" else size


def _share_units(
    terms: list[Term], inheriting: int, measure: Measure, bare: Unit | None
) -> tuple[list[Term], Unit | None]:
    """Give every number its unit: its own, the next one's, or the bare meaning.

    ``inheriting`` counts the numbers of the value itself; the unit of the first one
    is the unit in which the file speaks of it.
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
            shared[index] = replace(term, unit=_bare(term, spoken, measure, bare))
        elif terms[index].unit is None:
            shared[index] = replace(term, text=f"{term.text} {term.unit.name}")
    return shared, shared[0].unit


def _bare(
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


def _must_measure(term: Term, measure: Measure) -> None:
    if term.unit is None or term.unit.measure is measure:
        return
    usual = units_of(measure)
    raise Misread(
        f'"{term.text}" is {a(term.unit.measure)}, and {a(measure)} belongs here.',
        f"Its units: {', '.join(usual)}." if usual else "Write the number alone.",
    )


def a(measure: Measure) -> str:
    """Return what a number measures, with its article."""
    return f"{'an' if measure.value[0] in 'aeiou' else 'a'} {measure.value}"


def _unknown_unit(word: str, raw: str) -> Misread:
    if len(word) > 16 or any(sign.isdigit() for sign in word.rstrip("23")):
        return _unreadable(raw)
    near = difflib.get_close_matches(word, list(BY_NAME), n=1, cutoff=0.5)
    right = f"Nearest: {near[0]}." if near else f"Units of length: {_LENGTHS}."
    return Misread(f'"{raw}": "{word}" is not a unit I know.', right)


_LENGTHS = ", ".join(units_of(Measure.LENGTH))


def _unreadable(raw: str) -> Misread:
    shown = raw if len(raw) <= 40 else f"{raw[:40]}..."
    comma = _COMMA.search(raw)
    if comma:
        right = f"A decimal needs a dot: {comma[1]}.{comma[2]}."
    elif re.search(r"\d\s*-\s*\d", plain(raw)):
        right = 'A range is written "5 to 12", a mixed number "1 3/8".'
    else:
        right = _HOW
    return Misread(f'"{shown}" is not a number I can read.', right)

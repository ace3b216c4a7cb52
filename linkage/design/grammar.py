"""The grammar of one number: what a writer may say about it, and what it means.

A number is a decimal with a point, a fraction or a mixed number; it may be a guess
("about 11"), toleranced ("120 +- 0.5"), free ("45 to 65 near 50") or one of several.
This module knows no file and no key: `Misread` says what is wrong and what would be
right. `linkage.design.terms` reads each number of it.
"""

import re
from collections.abc import Sequence
from typing import Any

from msgspec.structs import replace

from linkage.design.terms import (
    HOW,
    LONGEST,
    Misread,
    Term,
    bare_term,
    share_units,
    spelt_term,
    unreadable,
)
from linkage.design.values import Value
from linkage.units import BY_NAME, Measure, Unit, into, plain

#: What a bare number means, by what it measures.
BARE = {
    Measure.ANGLE: BY_NAME["deg"],
    Measure.PERCENT: BY_NAME["%"],
}
GIVE = re.compile(r"\s*(?:\+-|\+/-|±|\+ -)\s*")
_TO = re.compile(r"\s+to\s+", re.IGNORECASE)
_NEAR = re.compile(r"\s+near\s+", re.IGNORECASE)
_ABOUT = re.compile(r"about\s+", re.IGNORECASE)
#: A word or sign of the grammar with nothing behind it.
_LAST = re.compile(r"(?:^|[\s\d])(to|near|about|\+-|\+/-|±)$", re.IGNORECASE)
_CHOICE = 'one_of = ["0.70 in", "3/4 in"]'


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
    return _fixed(bare_term(raw), measure, bare, str(raw))


def _spelt(raw: str, measure: Measure, bare: Unit | None) -> Value:
    if len(raw) > LONGEST:
        raise Misread("is too long to be a number.", HOW)
    text = " ".join(plain(raw).split())
    if bare_word := _LAST.search(text):
        raise Misread(f'"{raw}": no number stands behind {bare_word[1]}.', HOW)
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
        raise unreadable(raw)
    terms = [spelt_term(piece, raw, measure) for piece in (*ranged, *nears, *gives)]
    if nears and terms[2].unit is None:
        terms[2] = replace(terms[2], unit=terms[1].unit)
    terms, unit = share_units(terms, len(ranged) + len(nears), measure, bare)
    number = [into(term.number, term.unit) for term in terms]
    give = number[-1] if gives else None
    if give is not None and give < 0.0:
        raise Misread(f'"{raw}": a tolerance has no sign.', "Write 120 +- 0.5, say.")
    if guess and (gives or len(ranged) == 2):
        also = "range" if len(ranged) == 2 else "tolerance"
        raise Misread(
            f'"{raw}" is a guess and a {also}.',
            f'Write "{text}", or a guess of one number: "about {ranged[0]}".',
        )
    value = Value(
        nominal=number[0], unit=_name(unit), give=give or None, guess=bool(guess)
    )
    if len(ranged) == 2:
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
    (term,), unit = share_units([term], 1, measure, bare)
    return Value(nominal=into(term.number, term.unit), unit=_name(unit), text=text)


def _choice(raw: dict[str, Any], measure: Measure, bare: Unit | None) -> Value:
    members = raw.get("one_of")
    if set(raw) == {"one_of"} and not isinstance(members, list):
        wrong = "one_of takes a list, and its members stand between square brackets."
        raise Misread(wrong, f"Write {{ {_CHOICE} }}, say.")
    if set(raw) != {"one_of"}:
        raise Misread(
            "a table stands where a number belongs.",
            f'A range is written "45 to 65", a choice {{ {_CHOICE} }}.',
        )
    if not members:
        wrong = "one_of = [] leaves nothing to choose from."
        raise Misread(wrong, f"Write {{ {_CHOICE} }}, say, or one number.")
    terms = [_member(member, measure) for member in members]
    given = [term for term in terms if term.unit]
    if len(given) not in (0, len(terms)) and given != terms[-1:]:
        bare_one = next(term for term in terms if not term.unit)
        raise Misread(
            f"{bare_one.text} has no unit, and others of the choice have.",
            f'Say which: "{bare_one.text} {_name(given[0].unit)}".',
        )
    terms, unit = share_units(terms, len(terms), measure, bare)
    options = tuple(into(term.number, term.unit) for term in terms)
    spelt = tuple(term.text for term in terms)
    _check_twice(spelt, options)
    return Value(
        nominal=options[0],
        unit=_name(unit),
        options=options,
        guess=any(_ABOUT.match(text) for text in spelt),
        text=", ".join(spelt),
        spelt=spelt,
    )


def _check_twice(spelt: Sequence[str], options: Sequence[float]) -> None:
    """Refuse a choice in which one size stands twice."""
    for index, size in enumerate(options):
        first = options.index(size)
        if first < index:
            pair = (spelt[first], spelt[index])
            wrong = (
                f"{pair[0]} stands in this choice twice."
                if pair[0] == pair[1]
                else f"{pair[0]} and {pair[1]} are one size, and a choice is among several."
            )
            raise Misread(wrong, f"Take {pair[1]} out once.")


def _member(raw: Any, measure: Measure) -> Term:
    if not isinstance(raw, str):
        return bare_term(raw)
    text = " ".join(plain(raw[: LONGEST + 1]).split())
    if GIVE.search(text) or _TO.search(text):
        raise Misread(
            f'"{raw}": a choice is made among plain numbers.',
            f"Write {{ {_CHOICE} }}, say.",
        )
    term = spelt_term(_ABOUT.sub("", text, count=1), raw, measure)
    return replace(term, text=raw)

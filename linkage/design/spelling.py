"""How a number is spelt where it stands: the spot alone changes, its trimmings stay.

A guess stays a guess, a tolerance keeps its figure, a range keeps its ends; the unit of
the spot stays its unit. This module knows no file and no path.
"""

import re
import tomllib
from fractions import Fraction

from linkage.design.grammar import GIVE
from linkage.design.splice import Patch
from linkage.design.terms import PATTERN
from linkage.design.values import Value
from linkage.design.ways import turned
from linkage.units import BY_NAME, Unit, inches, into, plain, trim

_DIGITS = 6
_PLAIN_NUMBER = re.compile(r"[+-]?(?:0|[1-9]\d*)(?:\.\d+)?")
_NUMBER = re.compile(PATTERN)
_NEAR = re.compile(r"\bnear\s+", re.IGNORECASE)
_WORDS = re.compile(r"\b(?:to|near|about)\b", re.IGNORECASE)
_LAST_WORD = re.compile(r"([A-Za-z]+)(?=[\s\"']*$)")
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\t": "\\t", "\n": "\\n", "\r": "\\r"}


def quoted(text: str) -> str:
    r"""Return a text as TOML writes it on one line.

    >>> quoted('3/4"')
    '"3/4\\""'
    """
    signs = (_ESCAPES.get(sign, sign) for sign in text)
    return f'"{"".join(s if s >= " " else f"{chr(92)}u{ord(s):04x}" for s in signs)}"'


def bare(phrase: str) -> str:
    """Return what stands in a file for ``phrase``: a plain number without quotes."""
    return phrase if _PLAIN_NUMBER.fullmatch(phrase) else quoted(phrase)


def content(token: str) -> str:
    """Return the text that a token of the file stands for."""
    return str(tomllib.loads(f"v = {token}")["v"])


def put(text: str, value: Value, phrase: str) -> Patch:
    """Return how ``phrase`` is put in place of a value's own text.

    In a direction, "down, 5 to 12 deg back", the words round the number stay.
    """
    token = text[slice(*value.span)]
    if not in_words(token, value):
        return Patch(*value.span, bare(phrase))
    if value.text in token:
        return Patch(*value.span, token.replace(value.text, phrase, 1))
    said = plain(content(token)).replace(plain(value.text), phrase, 1)
    return Patch(*value.span, quoted(said))


def put_turned(text: str, value: Value, phrase: str) -> Patch:
    """Return the same for a direction that then turns the opposite way."""
    patch = put(text, value, phrase)
    word = _LAST_WORD.sub(lambda found: turned(found[0]), patch.put)
    return Patch(patch.start, patch.end, word)


def in_words(token: str, value: Value) -> bool:
    """Return True where a number stands among the words of a direction."""
    return plain(content(token)).strip() != plain(value.text).strip()


def renumber(text: str, value: Value, number: str) -> Patch:
    """Return how a number is written anew in the spot of a value.

    Parameters
    ----------
    text : str
        Of the file.
    value : Value
        As read from it; no choice.
    number : str
        In the unit of the value. For a free value it becomes its ``near``.
    """
    token = text[slice(*value.span)]
    if token[:1] not in ("'", '"'):
        return Patch(*value.span, bare(number))
    if value.kind == "fixed" and number.startswith("-") and in_words(token, value):
        return put_turned(text, value, _renumbered(value, number.removeprefix("-")))
    return put(text, value, _renumbered(value, number))


def _renumbered(value: Value, number: str) -> str:
    """Return the text of a value with its number, or its ``near``, written anew."""
    said = plain(value.text)
    if value.kind == "fixed":
        return _NUMBER.sub(lambda old: _lead(old[0]) + number, said, count=1)
    give = GIVE.search(said)
    head, tail = (said[: give.start()], said[give.start() :]) if give else (said, "")
    ends = _NEAR.split(head)[0].rstrip()
    return f"{ends} near {with_unit(value, number)}{tail}"


def _lead(text: str) -> str:
    return text[: len(text) - len(text.lstrip())]


def with_unit(value: Value, number: str) -> str:
    """Return a number with its unit, where the value spells one."""
    head = GIVE.split(value.text, maxsplit=1)[0]
    trimmed = _WORDS.sub("", plain(head))
    spells = any(sign.isalpha() or sign in "\"'°%" for sign in trimmed)
    return f"{number} {value.unit}" if spells else number


# ------------------------------------------------------------------------ rounding


def written(value: Value, number: float, step: Fraction) -> str:
    """Return the number to write, in the value's own unit and within its range.

    Parameters
    ----------
    value : Value
    number : float
        Internal units.
    step : Fraction
        In the unit of the value; finer ones are taken where the range asks for it.
    """
    unit = BY_NAME.get(value.unit)
    exact = in_unit(number, unit)
    for _ in range(_DIGITS):
        steps = round(exact / step)
        for count in (steps, steps - 1, steps + 1):
            text = trim(float(count * step), _DIGITS)
            if _inside(value, into(Fraction(text), unit)):
                return text
        step /= 10
    low, high = value.low or 0.0, value.high or 0.0
    end = low if abs(number - low) < abs(number - high) else high
    return trim(float(in_unit(end, unit)), 2 * _DIGITS)


def in_unit(number: float, unit: Unit | None) -> Fraction:
    """Return an internal number in a unit, exactly where the unit is exact."""
    if unit is None:
        return Fraction(number)
    if isinstance(unit.factor, Fraction):
        return Fraction(number) / unit.factor
    return Fraction(number / unit.factor)


def _inside(value: Value, number: float) -> bool:
    """Return True where a written number lies within the range of its value."""
    low = value.low is None or number >= value.low
    return low and (value.high is None or number <= value.high)


def on_tape(value: Value, text: str) -> str:
    """Return a decimal of inches as a tape has it, where the file spells it so.

    >>> on_tape(Value(unit="in", text="4 5/8"), "4.75")
    '4 3/4'
    """
    if value.unit != "in" or "." in value.text or "." not in text:
        return text
    sixtyfourths = Fraction(text) * 64
    if sixtyfourths.denominator != 1:
        return text
    return inches(float(sixtyfourths) / 64 * 25.4, 64).removesuffix(" in")


def numeral(text: str) -> Fraction:
    """Return the number that a decimal or mixed number stands for.

    >>> numeral("-1 3/4"), numeral("0.5")
    (Fraction(-7, 4), Fraction(1, 2))
    """
    size = sum(map(Fraction, text.removeprefix("-").split()), Fraction(0))
    return -size if text.startswith("-") else size

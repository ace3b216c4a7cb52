"""Fill a design file in: its free values and choices, and nothing else.

Each value knows where it stands in the text, so its spot alone is written anew and
every other character stays: comments, order, spelling, line ends. What is written is
what is judged: `rounded` gives the number that a reader finds in the filled text.
"""

import re
import tomllib
from collections.abc import Mapping
from fractions import Fraction

from msgspec import Struct

from linkage.design.grammar import GIVE
from linkage.design.records import Design
from linkage.design.splice import Patch, splice
from linkage.design.values import Value
from linkage.units import BY_NAME, Measure, Unit, into, plain, trim

#: The steps in which numbers are written, in mm or in the unit named.
FINEST_MM = Fraction(1, 100)
FINEST = {"in": Fraction(1, 2000), "deg": Fraction(1, 100)}
_DIGITS = 6
_WORDS = re.compile(r"\b(?:to|near|about)\b", re.IGNORECASE)
_PLAIN_NUMBER = re.compile(r"[+-]?(?:0|[1-9]\d*)(?:\.\d+)?")


class Filled(Struct, frozen=True, kw_only=True):
    """A filled-in file: its text, and the numbers of the lines that changed."""

    text: str
    lines: tuple[int, ...]


def fill(
    design: Design,
    values: Mapping[str, float],
    choices: Mapping[str, str],
    *,
    mark: float | None = None,
) -> Filled:
    """Fill free values and choices in.

    Parameters
    ----------
    design : Design
        As read; its text is filled in.
    values : mapping of str to float
        By path, internal units: free values, and choices among numbers. Values that
        the file fixes are left alone.
    choices : mapping of str to str
        By path: the chosen name, as the file writes it.
    mark : float, optional
        The step for lengths, mm.

    Raises
    ------
    ValueError
        For a choice that the file does not offer.
    """
    patches, lines = [], set()
    for path, value in design.values.items():
        if path in values and value.kind != "fixed":
            patches.append(_patch(design.text, value, values[path], mark))
            lines.add(value.line)
    for path, chosen in design.choices.items():
        if path in choices:
            if choices[path] not in chosen.names:
                raise ValueError(f"{path}: {choices[path]} is not offered")
            patches.append(Patch(*chosen.span, _quoted(choices[path])))
            lines.add(chosen.line)
    return Filled(text=splice(design.text, patches), lines=tuple(sorted(lines)))


def rounded(value: Value, number: float, mark: float | None = None) -> float:
    """Return ``number`` as it would be written for ``value``, internal units.

    A fixed value stays as it is; a choice gives its nearest member; a free value is
    rounded to the finest step, or for lengths to ``mark`` (mm), within its range.
    """
    if value.kind == "fixed":
        return value.nominal
    if value.kind == "choice":
        return value.options[_nearest(value, number)]
    return into(Fraction(_written(value, number, mark)), BY_NAME.get(value.unit))


def _nearest(value: Value, number: float) -> int:
    gaps = [abs(option - number) for option in value.options]
    if min(gaps) > 1e-9 * max(1.0, abs(number)):
        raise ValueError(f"{value.path}: {number} is not offered")
    return gaps.index(min(gaps))


def _patch(text: str, value: Value, number: float, mark: float | None) -> Patch:
    """Return how the spot of one value is written anew."""
    if value.kind == "choice":
        spelt = value.spelt[_nearest(value, number)]
        put = spelt if _PLAIN_NUMBER.fullmatch(spelt) else _quoted(spelt)
        return Patch(*value.span, put)
    token = text[slice(*value.span)]
    phrase = _phrase(value, _written(value, number, mark))
    content = str(tomllib.loads(f"v = {token}")["v"])
    if plain(content).strip() != plain(value.text).strip():
        put = _within(token, content, value.text, phrase)
    elif _PLAIN_NUMBER.fullmatch(phrase):
        put = phrase
    else:
        put = _quoted(phrase)
    return Patch(*value.span, put)


def _within(token: str, content: str, old: str, phrase: str) -> str:
    """Write a number anew inside words: "down, 5 to 12 deg back"."""
    if old in token:
        return token.replace(old, phrase, 1)
    return _quoted(plain(content).replace(old, phrase, 1))


def _phrase(value: Value, number: str) -> str:
    """Return a number with the unit that its range spells, and its tolerance."""
    head, *give = GIVE.split(value.text, maxsplit=1)
    bare = _WORDS.sub("", plain(head))
    spells_unit = any(sign.isalpha() or sign in "\"'°%" for sign in bare)
    phrase = f"{number} {value.unit}" if spells_unit else number
    return f"{phrase} +- {give[0]}" if give else phrase


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


# ------------------------------------------------------------------------ rounding


def _written(value: Value, number: float, mark: float | None) -> str:
    """Return the number to write for a free value, in its own unit."""
    unit = BY_NAME.get(value.unit)
    step = _step(value.unit, unit, mark)
    exact = _in_unit(number, unit)
    for _ in range(_DIGITS):
        steps = round(exact / step)
        for count in (steps, steps - 1, steps + 1):
            text = trim(float(count * step), _DIGITS)
            if _inside(value, text, unit):
                return text
        step /= 10
    low, high = value.low or 0.0, value.high or 0.0
    end = low if abs(number - low) < abs(number - high) else high
    return trim(float(_in_unit(end, unit)), 2 * _DIGITS)


def _step(name: str, unit: Unit | None, mark: float | None) -> Fraction:
    if unit is None or unit.measure is not Measure.LENGTH:
        return FINEST.get(name, FINEST_MM)
    factor = Fraction(unit.factor)
    if mark is not None:
        return Fraction(mark).limit_denominator(10**6) / factor
    return FINEST.get(name, FINEST_MM / factor)


def _in_unit(number: float, unit: Unit | None) -> Fraction:
    if unit is None:
        return Fraction(number)
    if isinstance(unit.factor, Fraction):
        return Fraction(number) / unit.factor
    return Fraction(number / unit.factor)


def _inside(value: Value, text: str, unit: Unit | None) -> bool:
    """Return True where a written number lies within the range of its value."""
    number = into(Fraction(text), unit)
    low = value.low is None or number >= value.low
    return low and (value.high is None or number <= value.high)

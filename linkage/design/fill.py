"""Fill a design file in: its free values and choices, and nothing else.

Each value knows where it stands in the text, so its spot alone is written anew and
every other character stays: comments, order, spelling, line ends. What is written is
what is judged: `rounded` gives the number that a reader finds in the filled text.
"""

from collections.abc import Mapping
from fractions import Fraction

from msgspec import Struct

from linkage.design.grammar import GIVE
from linkage.design.records import Design
from linkage.design.signs import rename, without_minus
from linkage.design.spelling import (
    bare,
    in_words,
    numeral,
    on_tape,
    put,
    put_turned,
    quoted,
    with_unit,
    written,
)
from linkage.design.splice import Patch, splice
from linkage.design.values import Value
from linkage.units import BY_NAME, Measure, into, plain

#: The steps in which numbers are written, in mm or in the unit named.
FINEST_MM = Fraction(1, 100)
FINEST = {"in": Fraction(1, 2000), "deg": Fraction(1, 100)}


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
            patches += _patches(design.text, value, values[path], mark)
            lines.add(value.line)
    for path, chosen in design.choices.items():
        if path in choices:
            if choices[path] not in chosen.names:
                raise ValueError(f"{path}: {choices[path]} is not offered")
            patches.append(Patch(*chosen.span, quoted(choices[path])))
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
    return into(numeral(_written(value, number, mark)), BY_NAME.get(value.unit))


def _nearest(value: Value, number: float) -> int:
    gaps = [abs(option - number) for option in value.options]
    if min(gaps) > 1e-9 * max(1.0, abs(number)):
        raise ValueError(f"{value.path}: {number} is not offered")
    return gaps.index(min(gaps))


def _patches(text: str, value: Value, number: float, mark: float | None) -> list[Patch]:
    """Return how the spot of one value is written anew, and the word before it.

    Words have no minus: what lies on the far side of nought takes the opposite word.
    """
    phrase, minus = _said(value, number, mark)
    if not minus:
        return [_put(text, value, phrase)]
    if name := rename(text, value):
        return [name, _put(text, value, without_minus(phrase))]
    if value.kind != "choice" and in_words(text[slice(*value.span)], value):
        return [put_turned(text, value, without_minus(phrase))]
    return [_put(text, value, phrase)]


def _put(text: str, value: Value, phrase: str) -> Patch:
    if value.kind == "choice":
        return Patch(*value.span, bare(phrase))
    return put(text, value, phrase)


def _said(value: Value, number: float, mark: float | None) -> tuple[str, bool]:
    """Return what is written for a value, and whether a minus stands in front."""
    if value.kind == "choice":
        chosen = _nearest(value, number)
        return value.spelt[chosen], value.options[chosen] < 0.0
    said = _written(value, number, mark)
    return _phrase(value, said), said.startswith("-")


def _phrase(value: Value, number: str) -> str:
    """Return a number with the unit that its range spells, and its tolerance."""
    phrase = with_unit(value, number)
    for text in (value.text, plain(value.text)):
        if give := GIVE.search(text):
            return phrase + text[give.start() :]
    return phrase


# ------------------------------------------------------------------------ rounding


def _written(value: Value, number: float, mark: float | None) -> str:
    """Return the number to write for a free value, in its own unit.

    What is marked out is written as a tape has it, where the file speaks so.
    """
    text = written(value, number, step(value.unit, mark))
    return text if mark is None else on_tape(value, text)


def step(name: str, mark: float | None = None) -> Fraction:
    """Return the step in which a number of a unit is written: ``mark``, else finest."""
    unit = BY_NAME.get(name)
    if unit is None or unit.measure is not Measure.LENGTH:
        return FINEST.get(name, FINEST_MM)
    factor = Fraction(unit.factor)
    if mark is not None:
        return Fraction(mark).limit_denominator(10**6) / factor
    return FINEST.get(name, FINEST_MM / factor)

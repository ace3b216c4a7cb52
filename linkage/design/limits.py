"""What a key allows of a value: which kinds of number, and how large.

Values and keys in, sentences out; where they stand is the reader's business.
"""

import re
from fractions import Fraction

from linkage.design.grammar import GIVE
from linkage.design.keys import Key
from linkage.design.spelling import bare
from linkage.design.terms import ASTRAY, LONGEST, NUMBER, Misread
from linkage.design.values import Value
from linkage.units import BY_NAME, Measure, out_of, plain, trim

#: Nothing in a car is farther from anything: 10 m.
FARTHEST = 10_000.0
#: A turn, in rad; no angle of a design is larger.
FULL_TURN = 6.283185307179586
#: How a choice is written.
CHOICE = '{ one_of = ["0.70 in", "3/4 in"] }'


def refusal(value: Value, key: Key) -> tuple[str, str] | None:
    """Return why a key does not take a value, and what would be right; None where it does."""
    return _forbidden(value, key) or _out_of_bounds(value, key)


def with_example(misread: Misread, example: str) -> str:
    """Return what would be right in place of what cannot be read, with an example."""
    if misread.right != ASTRAY or not example:
        return misread.right
    return f"{ASTRAY} Write {example}, say."


def _forbidden(value: Value, key: Key) -> tuple[str, str] | None:
    """Return why a key takes no such kind of value, None where it does."""
    free = value.kind == "free"
    if free and key.choice_only:
        return (
            f'"{value.text}": {key.name} cannot be anywhere in a range.',
            f"Write {key.name} = {CHOICE}.",
        )
    if key.placement or (value.kind == "fixed" and value.give is None):
        return None
    return (
        f'"{value.text}": {key.name} takes one number.',
        f"Write {key.example or 'one'}.",
    )


def no_tolerance(raw: object, key: Key) -> tuple[str, str] | None:
    """Return why a text with a tolerance is not for a key that takes a choice only."""
    if not key.choice_only or not isinstance(raw, str):
        return None
    head, *gives = GIVE.split(plain(raw))
    if not gives or " to " in head:
        return None
    unit = "" if _UNIT.search(head) else "".join(_UNIT.findall(gives[0])[:1])
    number = f"{head} {unit}".strip()
    return (
        f'"{raw[:LONGEST]}": {key.name} takes no tolerance.',
        f"Write {key.name} = {bare(number)}, or {key.name} = {CHOICE}.",
    )


_UNIT = re.compile(r"(?:[^\W\d_]|[\"'°%]).*")


def _out_of_bounds(value: Value, key: Key) -> tuple[str, str] | None:
    """Return what is wrong with the size of a value, None for nothing."""
    low, high = _bounds(key)
    sizes = value.options or (value.low, value.high, value.nominal)
    for size in (size for size in sizes if size is not None):
        if (key.positive and size <= 0.0) or not low <= size <= high:
            return _other_unit(value, key) or _too_far(value, size, key)
    return None


def _bounds(key: Key) -> tuple[float, float]:
    widest = {Measure.LENGTH: FARTHEST, Measure.ANGLE: FULL_TURN}
    wide = widest.get(key.measure, float("inf"))
    least = 0.0 if key.positive else -wide
    low = least if key.least is None else key.least
    return low, wide if key.most is None else key.most


def _other_unit(value: Value, key: Key) -> tuple[str, str] | None:
    """Return the sentence for a bare number that is right in the other system."""
    if not NUMBER.fullmatch(value.text) or key.least is None or value.unit not in _TWIN:
        return None
    other, system = _TWIN[value.unit]
    low, high = _bounds(key)
    there = value.nominal * float(
        Fraction(BY_NAME[other].factor) / Fraction(BY_NAME[value.unit].factor)
    )
    if key.measure is not Measure.LENGTH or not low <= there <= high:
        return None
    if key.usual and not key.usual[0] <= there <= key.usual[1]:
        return None
    same = trim(out_of(there, value.unit), 4)
    return (
        f"{value.text} would be {_article(value.text)} {value.text} {value.unit} "
        f"{key.name}, because this "
        f"file is in {system}.",
        f'Write {key.name} = "{value.text} {other}" ({same} {value.unit}).',
    )


def _article(number: str) -> str:
    """Return "an" before a number that is said with a vowel in front.

    >>> _article("8"), _article("11.5"), _article("110"), _article("0.8")
    ('an', 'an', 'a', 'a')
    """
    whole = number.lstrip("+-").partition(".")[0]
    return "an" if whole.startswith("8") or whole in ("11", "18") else "a"


#: What may have been meant by a bare length, and what the file's own unit is called.
_TWIN = {"mm": ("in", "mm"), "in": ("mm", "inches")}


def _too_far(value: Value, size: float, key: Key) -> tuple[str, str]:
    said = trim(out_of(size, value.unit), 4)
    if key.positive and size <= 0.0:
        return (
            f"{said} is not more than 0.",
            f"Write {key.example}, say." if key.example else "Write a greater number.",
        )
    low, high = (trim(out_of(end, value.unit), 2) for end in _bounds(key))
    unit = "" if value.unit == "1" else f" {value.unit}"
    much = "great" if size > _bounds(key)[1] else "small"
    for other in (10.0 * size, size / 10.0):
        if key.usual and key.usual[0] <= other <= key.usual[1]:
            return (
                f"{said}{unit} is too {much} for {key.says or key.name}.",
                f"Is a dot astray? {key.name} = {trim(out_of(other, value.unit), 4)} "
                "is usual.",
            )
    right = f"It may be {low} to {high}{unit}. Is a dot, a sign or a unit astray?"
    if value.unit == "in" and NUMBER.fullmatch(value.text) and abs(size) > FARTHEST:
        right = f'Write "{value.text} mm", if it is millimetres.'
    return f"{said}{unit} is too {much} for {key.says or key.name}.", right

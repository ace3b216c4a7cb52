"""Directions: degrees from forward, or words: "down, 9 deg back"."""

import math
import re
from typing import Any

from msgspec.structs import replace

from linkage.design.grammar import read_number
from linkage.design.keys import Form, Key
from linkage.design.reading import Node, Reading, one_of, shown
from linkage.design.records import Direction
from linkage.design.signs import no_minus, unsigned_text
from linkage.design.spelling import quoted
from linkage.design.terms import HOW, SEVERAL, Misread
from linkage.design.values import Value
from linkage.design.ways import ALIASES, WORDS, is_minus, quarter, turned
from linkage.units import Measure, plain, trim

_WORD = rf"(?:{'|'.join([*ALIASES, *WORDS])})"
_WORDS = re.compile(
    rf"\s*(?P<base>{_WORD})\b\s*,?\s*(?:(?P<number>\S.*?)\s*\b(?P<to>{_WORD})\s*)?",
    re.IGNORECASE,
)
_TAIL = re.compile(rf"(?P<number>.*?)\s+(?P<to>{_WORD})\s*", re.IGNORECASE)
_ANGLE = Key(name="angle", form=Form.NUMBER, measure=Measure.ANGLE, placement=True)
EXAMPLE = 'Write degrees, or words such as "forward", "down, 9 deg back".'


def read_direction(reading: Reading, node: Node, key: Key) -> Direction | None:
    """Read a direction; its number, where it has one, goes by the path of the node."""
    if node.broken or _is_choice_of_words(reading, node):
        return None
    found = _WORDS.fullmatch(plain(node.raw)) if isinstance(node.raw, str) else None
    if found is None:
        return _degrees(reading, node, key)
    base = quarter(found["base"])
    straight = Direction(base=base * math.pi / 2, text=str(node.raw))
    if found["number"] is None:
        return straight
    sign = _sense(base, quarter(found["to"]))
    if sign == 0:
        wrong = f"{shown(node.raw)} turns {found['base']} towards {found['to']}."
        square = ("up", "down") if base in (0, 2) else ("forward", "back")
        reading.fault(node.at, wrong, f'Turn it "{square[0]}" or "{square[1]}".')
        return None
    value: Value | None = _turn(reading, node, found["number"], key)
    if value is None:
        return None
    if is_minus(value):
        word = found["to"]
        right = quoted(f"{found['base']}, {unsigned_text(value)} {turned(word)}")
        reading.fault(node.at, *no_minus(word, value, right))
        return None
    return replace(straight, sign=float(sign), value=value)


def _is_choice_of_words(reading: Reading, node: Node) -> bool:
    """Say so where words stand in a choice: it is made among degrees."""
    members = node.raw.get("one_of") if isinstance(node.raw, dict) else None
    if not isinstance(members, list):
        return False
    words = [m for m in members if isinstance(m, str) and _WORDS.fullmatch(plain(m))]
    if not words:
        return False
    degrees = [_in_degrees(member) for member in members]
    listed = ", ".join(degrees) if all(degrees) else "2, 3"
    wrong = f"{shown(words[0])} is words, and a choice is made among degrees."
    right = f"Write {{ one_of = [{listed}] }}: degrees from forward, anticlockwise."
    reading.fault(node.at, wrong, right)
    return True


def _in_degrees(member: Any) -> str:
    """Return a direction as plain degrees; "" where it is none."""
    found = _WORDS.fullmatch(plain(member)) if isinstance(member, str) else None
    base = quarter(found["base"]) if found else 0
    number = found["number"] if found else member
    sign = 1
    if found and number is not None:
        sign = _sense(base, quarter(found["to"]))
    try:
        turn = 0.0 if number is None else read_number(number, Measure.ANGLE).nominal
    except Misread:
        return ""
    return trim(90.0 * base + sign * math.degrees(turn), 4) if sign else ""


def _sense(base: int, to: int) -> int:
    """Return 1 where turning from ``base`` to ``to`` is anticlockwise, 0 for neither."""
    return {1: 1, 3: -1}.get((to - base) % 4, 0)


def _degrees(reading: Reading, node: Node, key: Key) -> Direction | None:
    """Read plain degrees, anticlockwise from forward."""
    if isinstance(node.raw, str):
        tail = _TAIL.fullmatch(plain(node.raw))
        if tail or not any(sign.isdigit() for sign in plain(node.raw)):
            wrong = f"{shown(node.raw)} is no direction."
            right = f"{one_of(tuple(WORDS))} Then perhaps a turn: " + (
                f'"forward, {tail["number"]} {tail["to"]}".'
                if tail
                else '"forward, 2 deg up".'
            )
            reading.fault(node.at, wrong, right)
            return None
    value = _turn(reading, node, node.raw, key)
    return value and Direction(value=value, text=value.text)


def _turn(reading: Reading, node: Node, raw: Any, key: Key) -> Any:
    """Read the number of a direction."""
    try:
        value: Value = read_number(raw, Measure.ANGLE)
    except Misread as misread:
        plain_how = misread.right in (HOW, SEVERAL)
        wrong = f"{shown(node.raw)} is no direction." if plain_how else misread.wrong
        reading.fault(node.at, wrong, EXAMPLE if plain_how else misread.right)
        return None
    limits = replace(_ANGLE, name=key.name, placement=key.placement)
    return reading.accept(node, value, limits)

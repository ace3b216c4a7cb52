"""Every form of a point: two numbers, words, a reach, off a string, a name.

A form is told by its keys; `linkage.design.records` says what each means.
"""

import re
from collections.abc import Iterable
from typing import Any, Literal, get_args

from linkage.design.directions import read_direction
from linkage.design.forms import (
    EXAMPLE,
    EXAMPLES,
    FORMS,
    SIDES,
    WORDS,
    form_of,
    strange,
)
from linkage.design.keys import Form, Key
from linkage.design.lookup import Where, find
from linkage.design.reading import Node, Reading, shown
from linkage.design.records import (
    Cartesian,
    Chosen,
    Direction,
    OffString,
    Point,
    Polar,
    Same,
    SideReach,
    Word,
)
from linkage.design.signs import flipped, no_minus
from linkage.design.values import Value
from linkage.design.ways import OPPOSITE, is_minus

COORDINATE = Key(
    name="coordinate", form=Form.NUMBER, placement=True, says="a coordinate"
)
REACH = Key(name="reach", form=Form.NUMBER, placement=True, positive=True)
ANGLE = Key(name="angle", form=Form.DIRECTION, placement=True)


_PAIR = re.compile(
    r"[\[(]?\s*([+-]?\d+(?:\.\d+)?)\s*(?:,\s*|;\s*|\s)([+-]?\d+(?:\.\d+)?)\s*[\])]?"
)


def read_point(reading: Reading, node: Node, where: Where) -> Point | None:
    """Read a point in whatever form it is given, and note what it counts from."""
    point = None if node.broken else _read(reading, node, where)
    if point is not None:
        reading.points[node.path] = point
    return point


def _read(reading: Reading, node: Node, where: Where) -> Point | None:
    typed = node.raw
    if isinstance(typed, list) and len(typed) == 1:
        typed = typed[0]
    pair = _PAIR.fullmatch(typed) if isinstance(typed, str) else None
    if pair:
        wrong = f"{shown(typed)} is text, and a point is two numbers in brackets."
        reading.fault(node.at, wrong, f"Write {node.at[-1]} = [{pair[1]}, {pair[2]}].")
        return None
    if isinstance(node.raw, str):
        name = find(reading, node, where)
        return Same(base=name, line=reading.line(node.at)) if name else None
    if isinstance(node.raw, list):
        return _two_numbers(reading, node)
    if isinstance(node.raw, dict):
        return _table(reading, node, where)
    wrong = f"{shown(node.raw)} stands where a point belongs."
    reading.fault(node.at, wrong, EXAMPLE)
    return None


def number_behind(reading: Reading, node: Node, word: str, key: Key) -> Value | None:
    """Read the number behind a word of a table; no minus stands there."""
    value = reading.number(node.child(word), key)
    if value is None or word not in OPPOSITE or not is_minus(value):
        return value
    right = f"{{ {OPPOSITE[word]} = {flipped(value)} }}"
    reading.fault((*node.at, word), *no_minus(word, value, right))
    return None


# -------------------------------------------------------------------- two numbers


def _two_numbers(reading: Reading, node: Node) -> Cartesian | None:
    if len(node.raw) != 2:
        reading.fault(node.at, *_not_two(reading, node))
        return None
    x = reading.number(node.child(0, "x"), COORDINATE)
    z = reading.number(node.child(1, "z"), COORDINATE)
    if x is None or z is None:
        return None
    return Cartesian(x=x, z=z, line=reading.line(node.at))


def _not_two(reading: Reading, node: Node) -> tuple[str, str]:
    """Return the sentence for a point that has not two numbers."""
    names = {0: "none", 1: "one", 3: "three", 4: "four"}
    count = names.get(len(node.raw), str(len(node.raw)))
    listed = ", ".join(shown(item) for item in node.raw[:6])
    wrong = f"a point has two numbers and this has {count} ({listed})."
    spot = reading.spot(node.at)
    comma = re.search(r"(-?\d+),(\d+)", reading.text[spot.start : spot.end])
    if not comma or len(node.raw) < 3:
        return wrong, EXAMPLE
    whole, part = comma.groups()
    both = f"{whole} and a half" if part == "5" else f"{whole} and 0.{part}"
    return wrong, f"For {both} write {whole}.{part}, with a dot."


# ------------------------------------------------------------------------- tables


def _table(reading: Reading, node: Node, where: Where) -> Point | None:
    keys = [key for key in node.raw if key not in where.also]
    if "one_of" in keys:
        return _chosen(reading, node, where)
    form = form_of(keys)
    odd = [key for key in keys if key not in FORMS[form]]
    if odd and {"x", "y", "z"} >= set(odd):
        wrong = f"{' and '.join(odd)} cannot stand here."
        right = f"Signs are for [x, z], and words have none. {EXAMPLE}"
        reading.fault(node.at, wrong, right)
        return None
    for key in odd:
        reading.fault((*node.at, key), *strange(key, form))
    if odd:
        return None
    read = {"string": _off_string, "reach": _polar, "words": _words, "side": _side}
    return read[form](reading, node, where)


def _need(reading: Reading, node: Node, form: str, *keys: str) -> bool:
    """Say which keys a form lacks; return True where it has them all."""
    lacks = [key for key in keys if key not in node.raw]
    if lacks:
        wrong = (
            f"{' and '.join(lacks)} is missing."
            if len(lacks) == 1
            else (f"{' and '.join(lacks)} are missing.")
        )
        reading.fault(node.at, wrong, f"Write {EXAMPLES[form]}.")
    return not lacks


def _words(reading: Reading, node: Node, where: Where) -> Cartesian | None:
    """Read ``{ back = 118, up = 546 }``, perhaps counted from a point."""
    base, good = None, True
    if "from" in node.raw:
        base = find(reading, node.child("from"), where)
        good = base is not None
    axes: dict[str, tuple[Value, float]] = {}
    for word in (word for word in WORDS if word in node.raw):
        axis, sign = WORDS[word]
        value = number_behind(reading, node, word, COORDINATE)
        if axis in axes:
            pair = "ahead and back" if axis == "x" else "up and down"
            reading.fault(node.at, f"{pair} are both given.", "Keep one of them.")
            good = False
        good = good and value is not None
        axes[axis] = (value or Value(), sign)
    if not axes and not base:
        good = good and _need(reading, node, "words", "back", "up")
    if not good:
        return None
    if not base:
        _say_left_out(reading, node, axes)
    nought = (Value(line=reading.line(node.at)), 1.0)
    (x, x_sign), (z, z_sign) = axes.get("x", nought), axes.get("z", nought)
    return Cartesian(
        x=x, z=z, x_sign=x_sign, z_sign=z_sign, base=base, line=reading.line(node.at)
    )


def _say_left_out(reading: Reading, node: Node, given: Iterable[str]) -> None:
    """Say that a number which a point from the marks leaves out is read as 0."""
    for axis, word in {"x": "back", "z": "up"}.items():
        if axis not in given:
            wrong = f"{word} is missing, so it is read as 0, on the mark itself."
            reading.caution(
                node.at, wrong, f"Write {word} = 0 if it is, else its size."
            )


def _polar(reading: Reading, node: Node, where: Where) -> Polar | None:
    """Read ``{ from = "pivot", reach = 57, angle = "down, 9 deg back" }``."""
    if not _need(reading, node, "reach", "from", "reach", "angle"):
        return None
    base = find(reading, node.child("from"), where)
    reach = reading.number(node.child("reach"), REACH)
    angle = read_direction(reading, node.child("angle"), ANGLE)
    off = find(reading, node.child("off"), where) if "off" in node.raw else None
    if base is None or reach is None or angle is None:
        return None
    if "off" in node.raw and (off is None or not _is_number(reading, node, angle)):
        return None
    return Polar(
        base=base, reach=reach, angle=angle, off=off, line=reading.line(node.at)
    )


def _is_number(reading: Reading, node: Node, angle: Direction) -> bool:
    """Say so where an angle off a line is given in words."""
    if angle.value is not None and angle.text == angle.value.text:
        return True
    wrong = "with off the angle is a number, anticlockwise from the line."
    reading.fault((*node.at, "angle"), wrong, "Write angle = -9, say.")
    return False


def _off_string(reading: Reading, node: Node, where: Where) -> OffString | None:
    """Read ``{ line = ["pivot", "pad"], along = 56.2, ahead = 7.8 }``."""
    if not _need(reading, node, "string", "line", "along"):
        return None
    ends = _ends(reading, node.child("line"), where)
    along = reading.number(node.child("along"), COORDINATE)
    across, word, good = None, "ahead", True
    given = [word for word in WORDS if word in node.raw]
    if given:
        word = given[0]
        across = number_behind(reading, node, word, COORDINATE)
        good = across is not None
    if len(given) > 1:
        wrong = f"{' and '.join(given)}: only one way is square off a line."
        reading.fault(node.at, wrong, f"Write {EXAMPLES['string']}.")
        good = False
    if not good or ends is None or along is None:
        return None
    return OffString(
        start=ends[0],
        end=ends[1],
        along=along,
        across=across,
        word=_literal(word),
        line=reading.line(node.at),
    )


def _literal(word: str) -> Word:
    return next(known for known in get_args(Word) if known == word)


def _ends(reading: Reading, node: Node, where: Where) -> list[str] | None:
    if node.broken:
        return None
    if not isinstance(node.raw, list) or len(node.raw) != 2:
        wrong = "a line has two names of points."
        reading.fault(node.at, wrong, 'Write line = ["pivot", "pad"].')
        return None
    ends = [find(reading, node.child(i), where) for i in (0, 1)]
    if ends[0] is not None and ends[0] == ends[1]:
        wrong = "a line has two ends that differ."
        reading.fault(node.at, wrong, 'Write line = ["pivot", "pad"], say.')
        return None
    return [end for end in ends if end] if all(ends) else None


def _side(reading: Reading, node: Node, where: Where) -> SideReach | None:
    """Read ``{ from = "own pivot", reach = 46.5, side = "below" }``."""
    if not _need(reading, node, "side", "reach", "side"):
        return None
    if not where.driven or node.raw.get("from", "own pivot") != "own pivot":
        wrong = "a side is for the input of a part, from its own pivot."
        reading.fault(node.at, wrong, f"Write input = {EXAMPLES['side']}.")
        return None
    reach = reading.number(node.child("reach"), REACH)
    side: Any = reading.word(node.child("side"), SIDES)
    if reach is None or side is None:
        return None
    chosen: Literal["above", "below", "ahead", "back"] = side
    return SideReach(reach=reach, side=chosen, line=reading.line(node.at))


def _chosen(reading: Reading, node: Node, where: Where) -> Chosen | None:
    """Read ``{ one_of = ["lower", "upper"] }``."""
    names = node.raw["one_of"]
    if len(node.raw) > 1 or not reading.in_braces(node):
        wrong = "a choice of points stands alone, between braces."
        reading.fault(node.at, wrong, 'Write { one_of = ["lower", "upper"] }.')
        return None
    if not isinstance(names, list) or not names:
        wrong = "there is nothing to choose from."
        reading.fault(node.at, wrong, 'Write { one_of = ["lower", "upper"] }.')
        return None
    row = node.child("one_of")
    options = [find(reading, row.child(i), where) for i in range(len(names))]
    if not all(options):
        return None
    if len(set(options)) < len(options):
        reading.fault(node.at, "one point stands in it twice.", "Keep one of them.")
        return None
    spot = reading.spot(node.at)
    chosen = Chosen(
        path=node.path,
        names=tuple(names),
        options=tuple(option for option in options if option),
        line=spot.line,
        span=(spot.start, spot.end),
    )
    reading.choices[node.path] = chosen
    return chosen

"""No minus stands behind a word: what is said of one, and which word takes its place.

``{ back = -5 }`` is a fault, and so is "down, -5 deg back"; ``back = "-5 to 5"`` is a
range that crosses from behind to ahead, and ``back = "0 +- 2"`` a tolerance about 0.
"""

import re

from linkage.design.spelling import bare
from linkage.design.splice import Patch
from linkage.design.statements import Statements
from linkage.design.values import Value
from linkage.design.ways import OPPOSITE
from linkage.units import out_of, plain, trim

_MINUS = re.compile(r"-\s*")


def no_minus(word: str, value: Value, right: str) -> tuple[str, str]:
    """Return the sentence for a minus behind a word; ``right`` is what to write."""
    return (
        f"{value.text} has a minus, and words are there to forget about signs: "
        f'"{word}" says which way.',
        f"Write {right}.",
    )


def flipped(value: Value) -> str:
    """Return a value as the file would have it behind the opposite word.

    >>> flipped(Value(text="about -5 mm", nominal=-5.0))
    '"about 5 mm"'
    >>> flipped(Value(text="-5 to -2", low=-5.0, high=-2.0))
    '"2 to 5 mm"'
    """
    if value.options:
        members = ", ".join(bare(without_minus(text)) for text in value.spelt)
        return f"{{ one_of = [{members}] }}"
    return bare(unsigned_text(value))


def unsigned_text(value: Value) -> str:
    """Return the text of one number or range with its sign turned."""
    if value.low is None or value.high is None:
        return without_minus(value.text)
    low, high = _said(-value.high, value), _said(-value.low, value)
    near = "" if value.near is None else f" near {_said(-value.near, value)}"
    give = "" if value.give is None else f" +- {_said(value.give, value)} {value.unit}"
    return f"{low} to {high}{near} {value.unit}{give}"


def _said(size: float, value: Value) -> str:
    return trim(out_of(size, value.unit), 4)


def without_minus(text: str) -> str:
    """Return the text of a number without its sign, in plain signs.

    >>> without_minus("about -1-3/8 in")
    'about 1-3/8 in'
    """
    return _MINUS.sub("", plain(text), count=1)


def rename(text: str, value: Value) -> Patch | None:
    """Return how the word before a coordinate takes its opposite.

    None where no such word stands there, or its opposite stands beside it.
    """
    key = value.path.rpartition(".")[2]
    if key not in OPPOSITE:
        return None
    statements = Statements(text)
    at = statements.find(value.span)
    if at is None or (*at[:-1], OPPOSITE[key]) in statements.spots:
        return None
    return statements.rename(at, OPPOSITE[key])

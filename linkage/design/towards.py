"""A length off a middle, with the side that it goes to: "3 towards front"."""

import re

from msgspec.structs import replace

from linkage.design.keys import Form, Key
from linkage.design.reading import Node, Reading, shown
from linkage.design.records import Towards
from linkage.design.signs import no_minus, unsigned_text
from linkage.design.spelling import quoted
from linkage.design.ways import SIDES, is_minus
from linkage.units import plain

_SIDED = re.compile(
    r"(?P<number>\S.*?)\s+(?:towards?|to)\s+(?:the\s+)?(?P<side>front|rear)\s*",
    re.IGNORECASE,
)


def read_towards(reading: Reading, node: Node, key: Key) -> Towards | None:
    """Read a length and its side; a bare 0 needs none."""
    if node.broken:
        return None
    found = _SIDED.fullmatch(plain(node.raw)) if isinstance(node.raw, str) else None
    side = found["side"].lower() if found else ""
    bare = Node(found["number"] if found else node.raw, node.at, node.path)
    value = reading.number(bare, replace(key, form=Form.NUMBER))
    if value is None:
        return None
    spread = value.kind != "fixed" or value.give is not None
    if not side and (value.nominal or spread):
        wrong = f"{shown(node.raw)} does not say towards which side."
        reading.fault(node.at, wrong, f"Write {key.example}.")
        return None
    if side and is_minus(value):
        right = quoted(f"{unsigned_text(value)} towards {SIDES[side]}")
        reading.fault(node.at, *no_minus(f"towards {side}", value, right))
        return None
    sign = -1.0 if side == "rear" else 1.0
    return Towards(sign=sign, value=value, line=reading.line(node.at))

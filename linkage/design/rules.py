"""``[rules]``: the set of limits that a design is checked by, and limits of its own.

Every limit of one's own carries its reason, so that whoever reads the report can judge
it.
"""

from collections.abc import Iterator, Mapping
from itertools import pairwise

from linkage.design.keys import Form, Key
from linkage.design.known import LIMIT, RULES, check_keys
from linkage.design.limit_names import LIMITS
from linkage.design.names import Kinds
from linkage.design.nearest import nearest
from linkage.design.reading import Node, Reading, shown
from linkage.design.rule_records import ENDS, SETS, Anew, Rules
from linkage.design.values import Value
from linkage.units import Measure

#: How a number of each measure is written.
_EXAMPLES: Mapping[Measure, str] = {
    Measure.FORCE: '"450 N"',
    Measure.LENGTH: "20",
    Measure.ANGLE: "4",
    Measure.PERCENT: "12",
    Measure.PRESSURE: '"0.02 MPa"',
    Measure.TIME: '"1 s"',
    Measure.PURE: "1.5",
}


def read_rules(reading: Reading, node: Node, kinds: Kinds) -> Rules:
    """Read which rules a design is checked by."""
    table = reading.table(node, '[rules] above set = "road"')
    if table is None:
        return Rules()
    check_keys(reading, table, RULES, kinds)
    word = None
    if "set" in table.raw:
        word = reading.word(table.child("set"), SETS)
    rows = reading.tables(table.child("limit")) if "limit" in table.raw else []
    read = [anew for row in rows if (anew := _anew(reading, row, kinds)) is not None]
    _say_twice(reading, rows, read)
    return Rules(
        set=next((each for each in SETS if each == word), "road"),
        anew=tuple(read),
        line=reading.line(table.at),
    )


def _anew(reading: Reading, node: Node, kinds: Kinds) -> Anew | None:
    """Read one limit; None where something in it cannot be used."""
    before = reading.told
    check_keys(reading, node, LIMIT, kinds)
    of = _name(reading, node)
    reason = _reason(reading, node)
    if of is None:
        return None
    key = Key(
        name="limit",
        form=Form.NUMBER,
        measure=LIMITS[of],
        says=f'the limit "{of}"',
        example=f"most = {_EXAMPLES[LIMITS[of]]}",
    )
    ends = {
        end: value
        for end in ENDS
        if end in node.raw
        and (value := _end(reading, node.child(end), key)) is not None
    }
    if not any(end in node.raw for end in ENDS):
        right = f"Write {key.example} (ok up to there), least, fail_over, fail_under."
        reading.missing(node.at, "most", right)
        return None
    for end, wrong, right in _disorder(ends):
        reading.fault((*node.at, end), wrong, right)
    if reading.told > before or reason is None:
        return None
    return Anew(of=of, ends=ends, reason=reason, line=reading.line(node.at))


def _end(reading: Reading, node: Node, key: Key) -> Value | None:
    """Read an end of a band: it is no number of the car, and none of its values."""
    value = reading.number(node, key)
    reading.values.pop(node.path, None)
    return value


def _name(reading: Reading, node: Node) -> str | None:
    """Read which limit is meant."""
    if "of" not in node.raw:
        reading.missing(node.at, "of", 'Write of = "rod angle", say.')
        return None
    name = reading.plain_text(node.child("of"))
    if name is None or name in LIMITS:
        return name
    near = nearest(name, LIMITS)
    said = f'Nearest: "{near}".' if near else f"Known: {', '.join(LIMITS)}."
    reading.fault((*node.at, "of"), f"{shown(name)} is no limit.", said)
    return None


def _reason(reading: Reading, node: Node) -> str | None:
    """Read why a limit is set anew: nobody can judge one without."""
    example = 'Write reason = "the cylinder\'s maker allows 6 deg", say.'
    if "reason" not in node.raw:
        reading.missing(node.at, "reason", example)
        return None
    text = reading.plain_text(node.child("reason"))
    if text is not None and not text.strip():
        reading.fault((*node.at, "reason"), "an empty reason is none.", example)
        return None
    return text


def _disorder(ends: Mapping[str, Value]) -> Iterator[tuple[str, str, str]]:
    """Yield (key, wrong, right) for ends that are not in order."""
    for low, high in pairwise(end for end in ENDS if end in ends):
        if ends[low].nominal > ends[high].nominal:
            wrong = f"{low} is more than {high}."
            right = "In order they are fail_under, least, most, fail_over."
            yield low, wrong, right


def _say_twice(reading: Reading, rows: list[Node], read: list[Anew]) -> None:
    """Say which limit is set twice."""
    names = [row.raw.get("of") for row in rows]
    known = {anew.of for anew in read}
    for i, name in enumerate(names):
        if name in known and name in names[:i]:
            wrong = f"{shown(name)} is set twice."
            reading.fault((*rows[i].at, "of"), wrong, "Keep the one that holds.")

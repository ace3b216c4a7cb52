"""What belongs to the car: shared points, floor, bulkhead, fixed things, marks."""

from linkage.design.keys import Form, Key
from linkage.design.known import FOOTWELL, check_keys, is_stray
from linkage.design.lookup import Where
from linkage.design.names import NAME, Kinds
from linkage.design.points import read_point
from linkage.design.reading import Node, Reading, shown
from linkage.design.records import Footwell, Marks, Point
from linkage.design.room import read_fixed
from linkage.design.room_records import Fixed
from linkage.design.trains import NAME_RULE
from linkage.design.values import Value

LEVEL = Key(name="floor", form=Form.NUMBER)


def read_shared(reading: Reading, node: Node, kinds: Kinds) -> dict[str, Point]:
    """Read the points that several pedals share."""
    table = reading.table(node, "[point] above shaft = [120, 545]")
    points = {}
    for point in table.children() if table else ():
        if is_stray(reading, point, kinds):
            continue
        name = str(point.at[-1])
        if not NAME.fullmatch(name):
            reading.fault(point.at, f"{shown(name)} cannot name a point.", NAME_RULE)
        form = read_point(reading, point, Where())
        if form is not None:
            points[name] = form
    return points


def read_footwell(reading: Reading, node: Node, kinds: Kinds) -> Footwell:
    """Read floor, bulkhead, marks and all that stands fixed besides."""
    table = reading.table(node, "[footwell] above its keys")
    if table is None:
        return Footwell()
    check_keys(reading, table, FOOTWELL, kinds)
    marks = _marks(reading, table.child("marks")) if "marks" in table.raw else Marks()
    fixed: tuple[Fixed, ...] = ()
    if "fixed" in table.raw:
        fixed = read_fixed(reading, table.child("fixed"), kinds)
    return Footwell(
        fixed=fixed,
        floor=_line(reading, table, "floor"),
        bulkhead=_line(reading, table, "bulkhead"),
        marks=marks,
        line=reading.line(node.at),
    )


def _line(
    reading: Reading, table: Node, key: str
) -> Value | tuple[Point, Point] | None:
    """Read a level or upright line as a number, any other as two points."""
    if key not in table.raw or table.child(key).broken:
        return None
    node = table.child(key)
    if not isinstance(node.raw, list):
        return reading.number(node, LEVEL)
    if len(node.raw) != 2 or any(isinstance(end, int | float) for end in node.raw):
        wrong = f"{key} is one number, or a list of two points."
        reading.fault(node.at, wrong, f"Write {key} = 0, or [[0, 20], [300, 60]].")
        return None
    ends = [read_point(reading, node.child(i, str(i + 1)), Where()) for i in (0, 1)]
    if ends[0] is None or ends[1] is None:
        return None
    return ends[0], ends[1]


def _marks(reading: Reading, node: Node) -> Marks:
    """Read what the builder measures from, in words."""
    table = reading.table(node, 'marks = { back = "the string", up = "the floor" }')
    words: dict[str, str] = {}
    for mark in table.children() if table else ():
        if mark.at[-1] not in ("back", "up"):
            wrong = f"{str(mark.at[-1])[:40]} is no mark."
            reading.fault(mark.at, wrong, "Marks are back and up.")
            continue
        words[str(mark.at[-1])] = reading.plain_text(mark) or ""
    return Marks(back=words.get("back", ""), up=words.get("up", ""))

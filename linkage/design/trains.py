"""The train of a pedal: its parts in order, each read from the keys it declares."""

from typing import Any

from linkage.design.bars import check_bar
from linkage.design.directions import read_direction
from linkage.design.keys import Form, Key
from linkage.design.known import PART, check_keys
from linkage.design.lookup import Where
from linkage.design.names import NAME, TAKEN, Kinds
from linkage.design.nearest import nearest
from linkage.design.points import read_point
from linkage.design.reading import Node, Reading, one_of, shown
from linkage.design.records import Part, SideReach
from linkage.design.spans import At
from linkage.design.towards import read_towards


def read_train(
    reading: Reading, node: Node, pedal: str, kinds: Kinds
) -> tuple[tuple[Part, ...], Part | None]:
    """Read all parts of a train, in order from the arm, and the bar that ends it.

    The cylinders of a bar stand in the train in its place.
    """
    rows = reading.tables(node)
    parts = [
        _part(reading, row, pedal, number, kinds) for number, row in enumerate(rows, 1)
    ]
    _check_order(reading, rows, parts)
    train: list[Part] = []
    bar = None
    inner: list[Node] = []
    for row, part in zip(rows, parts, strict=True):
        if part is None or not part.BRANCHES:
            train += [part] if part else []
            continue
        bar, ends = part, _branches(reading, row, part, kinds)
        train += [each for _, each in ends if each]
        inner += [end for end, _ in ends]
        check_bar(reading, row, part, [each for _, each in ends])
    _check_names(reading, [*rows, *inner])
    return tuple(train), bar


def part_at(part: Part) -> At:
    """Return where in the file a part stands."""
    words = part.path.split(".")[1:]
    steps = (int(word) - 1 if word.isdecimal() else word for word in words)
    return ("pedal", part.pedal, *steps)


def _branches(
    reading: Reading, node: Node, bar: Part, kinds: Kinds
) -> list[tuple[Node, Part | None]]:
    """Read the one cylinder of each side of a bar."""
    found = []
    for number, side in enumerate(bar.BRANCHES, bar.number):
        if side not in node.raw:
            right = f"Write [[pedal.{bar.pedal}.train.{side}]] and its cylinder below."
            reading.missing(node.at, side, right)
            continue
        rows = reading.tables(node.child(side))
        if [row.raw.get("part") for row in rows] != ["cylinder"]:
            wrong = f"a bar drives one cylinder in {side}, and nothing else."
            right = 'Write part = "cylinder" there, once.'
            reading.fault((*node.at, side), wrong, right)
            continue
        part = _part(reading, rows[0], bar.pedal, number, kinds, (side, bar.number))
        found.append((rows[0], part))
    return found


def _part(
    reading: Reading,
    node: Node,
    pedal: str,
    number: int,
    kinds: Kinds,
    branch: tuple[str, int] = ("", 0),
) -> Part | None:
    """Read one part; None where anything in it cannot be used."""
    before = reading.told
    cls = _kind(reading, node, kinds)
    if cls is None:
        return None
    known = (*PART, *(key.name for key in cls.KEYS), *cls.BRANCHES)
    check_keys(reading, node, known, kinds, what=cls.KIND)
    side, within = branch
    place = f"{within}.{side}.1" if side else number
    where = Where(pedal=pedal, part=place)
    fields = read_fields(reading, node, cls.KEYS, where)
    words = {
        word: reading.plain_text(node.child(word))
        for word in ("name", "thread", "adjusts")
        if word in node.raw
    }
    if reading.told > before or _lacks(node, cls.KEYS):
        return None
    part = cls(
        pedal=pedal,
        number=number,
        line=reading.line(node.at),
        lines={key: reading.line((*node.at, key)) for key in node.raw},
        branch=side,
        within=within,
        **words,
        **fields,
    )
    _check_rules(reading, node, part)
    return part


def _kind(reading: Reading, node: Node, kinds: Kinds) -> type[Part] | None:
    """Return the class of the part that a table describes."""
    if "part" not in node.raw:
        reading.missing(node.at, "part", one_of(tuple(kinds)))
        return None
    word = node.child("part")
    if word.broken:
        return None
    if isinstance(word.raw, str) and word.raw in kinds:
        return kinds[word.raw]
    near = nearest(str(word.raw), kinds)
    said = f'Nearest: "{near}". ' if near else ""
    wrong = f"{shown(word.raw)} is not a part that is known."
    reading.fault(word.at, wrong, f"{said}{one_of(tuple(kinds))}")
    return None


def read_fields(
    reading: Reading, node: Node, keys: tuple[Key, ...], where: Where
) -> dict[str, Any]:
    """Read every key of a table that declares its keys; absent ones are None."""
    fields: dict[str, Any] = {}
    for key in keys:
        if key.name in node.raw:
            fields[key.name] = _field(reading, node.child(key.name), key, where)
        else:
            fields[key.name] = None
            if key.required:
                reading.missing(node.at, key.name, f"Write {key.example}.")
    return fields


def _field(reading: Reading, node: Node, key: Key, where: Where) -> Any:
    if key.form is Form.POINT:
        driven = key.name == "input"
        place = Where(pedal=where.pedal, part=where.part, driven=driven)
        return read_point(reading, node, place)
    if key.form is Form.TABLE:
        return _inner(reading, node, key, where)
    if key.form is Form.TOWARDS:
        return read_towards(reading, node, key)
    if key.form is Form.WORD:
        return reading.word(node, key.words)
    read: Any = {
        Form.NUMBER: lambda: reading.number(node, key),
        Form.DIRECTION: lambda: read_direction(reading, node, key),
        Form.TEXT: lambda: reading.plain_text(node),
        Form.FLAG: lambda: reading.flag(node),
        Form.NAMES: lambda: _names(reading, node),
    }[key.form]
    return read()


def _names(reading: Reading, node: Node) -> tuple[str, ...] | None:
    """Read one name, or a list of them."""
    if node.broken:
        return None
    raw = [node.raw] if isinstance(node.raw, str) else node.raw
    if isinstance(raw, list) and raw and all(isinstance(name, str) for name in raw):
        return tuple(raw)
    wrong = f"{shown(node.raw)} stands where names belong."
    reading.fault(node.at, wrong, f'Write {node.at[-1]} = ["front", "rear"].')
    return None


def _inner(reading: Reading, node: Node, key: Key, where: Where) -> Any:
    """Read a table of its own within a part."""
    table = reading.table(node, key.example)
    if table is None or key.record is None:
        return None
    before = reading.told
    check_keys(reading, table, tuple(kid.name for kid in key.table), {}, key.name)
    fields = read_fields(reading, table, key.table, where)
    if reading.told > before or _lacks(table, key.table):
        return None
    return key.record(line=reading.line(node.at), **fields)


def _lacks(node: Node, keys: tuple[Key, ...]) -> bool:
    """Return True where a required key is absent or broken."""
    here = [key for key in keys if key.name in node.raw]
    needed = [key for key in keys if key.required]
    return any(key not in here for key in needed) or any(
        node.child(key.name).broken for key in here
    )


def _check_rules(reading: Reading, node: Node, part: Part) -> None:
    """Say which keys of a part do not go together."""
    for key, wrong, right in part.rules():
        reading.fault((*node.at, key), wrong, right, key=key)
    sided = isinstance(getattr(part, "input", None), SideReach)
    if sided and getattr(part, "rod", None) is None:
        wrong = "a side says where the input is only with the length of its rod."
        reading.fault((*node.at, "input"), wrong, "Write rod = 146 (hole to hole).")


def _check_names(reading: Reading, rows: list[Node]) -> None:
    """Say which names of parts cannot be used."""
    first: dict[str, int] = {}
    for row in (row for row in rows if isinstance(row.raw.get("name"), str)):
        node = row.child("name")
        if node.broken:
            continue
        if not NAME.fullmatch(node.raw) or node.raw in TAKEN:
            wrong = f"{shown(node.raw)} cannot be a name."
            reading.fault(node.at, wrong, NAME_RULE)
        elif node.raw in first:
            wrong = f'"{node.raw}" is also the name on line {first[node.raw]}.'
            reading.fault(node.at, wrong, "Names of parts differ.")
        first.setdefault(node.raw, reading.line(node.at))


NAME_RULE = (
    f"A name has letters, digits, _ and - only, and is none of {', '.join(TAKEN)}."
)


def _check_order(reading: Reading, rows: list[Node], parts: list[Part | None]) -> None:
    """Say where a train goes on behind its end, or stops short of one."""
    for row, part, after in zip(rows, parts, rows[1:], strict=False):
        if part is None or not part.ends:
            continue
        if hasattr(part, "output"):
            wrong = "the train goes on, and this lever has no output to drive it."
            reading.fault(row.at, wrong, "Write output = [x, z], or take the rest out.")
        else:
            wrong = f"stands behind a {part.KIND}, which ends the train."
            reading.fault(after.at, wrong, "Take one of them out, or change the order.")
    last = parts[-1] if parts else None
    if last is not None and not last.ends:
        wrong = "nothing stands behind it in the train for it to drive."
        right = "Leave output out, or add the part that it drives."
        reading.fault((*rows[-1].at, "output"), wrong, right)

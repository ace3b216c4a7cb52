"""Which key belongs under which heading, and what to say of one that does not."""

from collections.abc import Iterator

from msgspec import Struct

from linkage.design.names import PATIENCE, TAKEN, Kinds
from linkage.design.nearest import nearest
from linkage.design.reading import Node, Reading, label
from linkage.design.spans import At

TOP = (
    *("format", "title", "units", "scatter", "pedal", "point", "footwell", "driver"),
    *("vehicle", "circuit", "rules"),
)
PEDAL = (
    *("duty", "pivot", "pad", "clevis", "travel", "full", "press", "holes"),
    *("train", "target", "arm", "spring", "friction", "across", "locked"),
)
PART = ("part", "name", "thread", "adjusts")
TARGET = (
    *("of", "at", "case", "is", "within", "least", "most", "prefer"),
    *("which", "between"),
)
ARM = ("plate", "material", "process", "mass", "bores")
SPRING = (
    *("kind", "on_arm", "fixed", "rate", "preload"),
    *("free_length", "initial_tension", "solid"),
)
FRICTION = ("pivot", "pins", "pivot_pin", "pin", "seal", "seal_share")
DRIVER = ("hip", "heel", "shoe")
SHOE = ("length", "width", "sole", "height")
FOOTWELL = ("floor", "bulkhead", "fixed", "marks")
FIXED = (
    *("name", "line", "arc", "polygon", "circle", "outline"),
    *("thick", "at", "unit", "across"),
)
VEHICLE = (
    *("mass", "wheelbase", "front_weight", "cg_back", "cg_height"),
    *("grip", "tyre", "rear_tyre"),
)
CIRCUIT = ("axle", "brake", "hose", "fluid", "bulk", "air", "residual", "valve")
VALVE = ("knee", "slope")
BRAKE = (
    *("kind", "axle", "count", "piston", "pistons", "radius", "friction"),
    *("clearance", "squash", "leading", "trailing", "shoe_springs"),
)
HOSE = ("length", "count", "kind", "bore", "swell", "at")
RULES = ("set", "limit")
LIMIT = ("of", "least", "most", "fail_under", "fail_over", "reason")


#: Words of other trades for keys of this file.
MEANT = {
    "min": "least",
    "minimum": "least",
    "max": "most",
    "maximum": "most",
    "equals": "is",
    "value": "is",
    "tolerance": "within",
}
#: So near to a key of its own table a word belongs to no other.
_HARDLY_OFF = 0.85
#: A key of another table is named for a word that is as like it as this.
_FAR = 0.8


class Home(Struct, frozen=True):
    """A table that keys belong to: where it stands, and what people call it."""

    at: At
    name: str
    keys: tuple[str, ...]
    what: str = ""


def homes(at: At, kinds: Kinds, pedal: str) -> Iterator[Home]:
    """Return the tables of a design file, the nearest to ``at`` first.

    ``pedal`` stands for the pedal where ``at`` lies in none.
    """
    if at[:1] == ("pedal",) and len(at) > 1:
        pedal = str(at[1])
    name = f"pedal.{pedal}"
    yield Home(("pedal", pedal), f"[{name}]", PEDAL)
    yield Home((), "the top of the file", TOP)
    for kind, cls in kinds.items():
        keys = (*PART, *(key.name for key in cls.KEYS))
        where = ("pedal", pedal, "train")
        yield Home(where, f"[[{name}.train]]", keys, kind)
    yield Home(("pedal", pedal, "target"), f"[[{name}.target]]", TARGET)
    yield Home(("pedal", pedal, "arm"), f"[{name}.arm]", ARM)
    yield Home(("pedal", pedal, "spring"), f"[{name}.spring]", SPRING)
    yield Home(("pedal", pedal, "friction"), f"[{name}.friction]", FRICTION)
    yield Home(("driver",), "[driver]", DRIVER)
    yield Home(("footwell",), "[footwell]", FOOTWELL)
    yield Home(("footwell", "fixed"), "[[footwell.fixed]]", FIXED)
    yield Home(("driver", "shoe"), "[driver.shoe]", SHOE)
    yield Home(("vehicle",), "[vehicle]", VEHICLE)
    circuit = str(at[1]) if at[:1] == ("circuit",) and len(at) > 1 else "front"
    name = f"circuit.{circuit}"
    yield Home(("circuit", circuit), f"[{name}]", CIRCUIT)
    yield Home(("circuit", circuit, "brake"), f"[[{name}.brake]]", BRAKE)
    yield Home(("circuit", circuit, "hose"), f"[[{name}.hose]]", HOSE)
    yield Home(("rules",), "[rules]", RULES)
    yield Home(("rules", "limit"), "[[rules.limit]]", LIMIT)


def check_keys(
    reading: Reading, node: Node, keys: tuple[str, ...], kinds: Kinds, what: str = ""
) -> None:
    """Say of every key of a table that is not known there where it would fit."""
    for key in node.raw:
        if key not in keys:
            _tell(reading, node, str(key), keys, kinds, what)


def _tell(
    reading: Reading,
    node: Node,
    key: str,
    keys: tuple[str, ...],
    kinds: Kinds,
    what: str,
) -> None:
    at = (*node.at, key)
    first = next(iter(reading.names.pedals), "X")
    all_homes = list(homes(node.at, kinds, first))
    lost = _lost_heading(reading, node, key, kinds, first)
    if lost:
        reading.fault(at, *lost, key=key[:40])
        return
    slip = nearest(key, keys, _HARDLY_OFF)
    for home in all_homes:
        if key in home.keys and not slip:
            reading.misplaced.add((*home.at, key))
            reading.fault(at, *_elsewhere(reading, node.at, home, what), key=key)
            return
    wrong = "is not a key that is known here."
    reading.fault(at, wrong, _nearest(reading, node, key, keys, all_homes), key[:40])


def _lost_heading(
    reading: Reading, node: Node, key: str, kinds: Kinds, pedal: str
) -> tuple[str, str] | None:
    """Return the sentence for a heading that lacks a word in front, None for no such."""
    raw = node.raw[key]
    several = isinstance(raw, list)
    if not isinstance(raw[0] if several and raw else raw, dict):
        return None
    if not node.at and (key in reading.names.pedals or key in _DUTIES):
        reading.misplaced.add(("pedal", key))
        wrong = f"the heading of a pedal has pedal. before its name, {key}."
        return wrong, f"Write [pedal.{key}]."
    if not node.at and key in PEDAL:
        reading.misplaced.add(("pedal", pedal, key))
        wrong = f"{key} belongs to a pedal, and its heading does not say which."
        name = f"[pedal.{pedal}.{key}]"
        return wrong, f"Write {f'[{name}]' if several else name}."
    if node.at[:1] == ("pedal",) and len(node.at) == 2 and key in kinds:
        wrong = f"{key} is a part of the train."
        right = f'Write [[{label(node.at)}.train]], and under it part = "{key}".'
        return wrong, right
    return None


#: Names that a pedal has when nothing else is said.
_DUTIES = ("brake", "clutch", "throttle")


def is_stray(reading: Reading, node: Node, kinds: Kinds) -> bool:
    """Say so where a key of a pedal or the file stands among names of points.

    Where a point follows it is a name, whatever keys there are elsewhere.
    """
    key = str(node.at[-1])
    if isinstance(node.raw, dict | list) or key not in (*PEDAL, *TOP):
        return False
    pedal = str(node.at[1]) if node.at[0] == "pedal" else ""
    points = reading.names
    if isinstance(node.raw, str) and key not in TAKEN and points.find(node.raw, pedal):
        return False
    table = Node({key: node.raw}, node.at[:-1], "")
    check_keys(reading, table, (), kinds)
    return True


def heading(at: At) -> str:
    """Return the heading that a table stands under.

    >>> heading(("pedal", "brake", "target", 0)), heading(())
    ('[[pedal.brake.target]]', 'the top of the file')
    """
    name = ".".join(str(word) for word in at if not isinstance(word, int))
    if not name:
        return "the top of the file"
    return f"[[{name}]]" if isinstance(at[-1], int) else f"[{name}]"


def _elsewhere(reading: Reading, at: At, home: Home, what: str) -> tuple[str, str]:
    """Return the sentence for a key that stands under the wrong heading."""
    here = heading(at)
    started = f"it stands under {here}, which starts at line {reading.line(at)}"
    if not at:
        return (
            f"belongs to {home.name}, but it stands at the top of the file.",
            f"Move it down, under {home.name}.",
        )
    if not home.at:
        return (
            f"belongs to {home.name}, but {started}.",
            "Move it up, before the first [...].",
        )
    if home.what and what:
        return f"belongs to a {home.what}, and this part is a {what}.", "Take it out."
    if home.at == at[: len(home.at)]:
        return (
            f"belongs to {home.name}, but {started}.",
            f"Move it up, straight under {home.name}, before its first [[...]].",
        )
    owner = f"a {home.what}, {home.name}" if home.what else home.name
    return f"belongs to {owner}, but {started}.", f"Move it under {home.name}."


def _nearest(
    reading: Reading, node: Node, key: str, keys: tuple[str, ...], all_homes: list[Home]
) -> str:
    """Return what may have been meant by a key that is known nowhere."""
    if reading.told > PATIENCE:
        return "See the first of these faults."
    near = MEANT.get(key) if MEANT.get(key) in keys else nearest(key, keys)
    if near:
        reading.misplaced.add((*node.at, near))
        return f"Nearest: {near}."
    owners = {known: home.name for home in all_homes for known in home.keys}
    near = nearest(key, owners, _FAR)
    if near:
        return f"Nearest: {near}, of {owners[near]}."
    return f"Known here: {', '.join(keys)}."

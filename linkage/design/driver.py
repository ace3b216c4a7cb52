"""Who pushes: hip, heel and shoe; and the plate of a pad that the shoe pushes on.

What a shoe leaves out is a guess: 310 x 125 is a large man's foot, 285 x 110 bare (the
template of student-racing rules), with 25 and 15 for the shoe (from memory); 12 of sole
and 70 over the toes are from memory too. A pad of 64 x 60 is common practice, no
source.
"""

from linkage.design.keys import Form, Key, Measure
from linkage.design.known import DRIVER, SHOE, check_keys
from linkage.design.lookup import Where
from linkage.design.names import Kinds
from linkage.design.points import read_point
from linkage.design.reading import Node, Reading
from linkage.design.records import Driver
from linkage.design.room_records import Shoe
from linkage.design.stock import SHOE_SIZES
from linkage.design.values import Value

SHOE_KEYS = tuple(
    Key(
        name=name,
        form=Form.NUMBER,
        positive=True,
        least=least,
        most=most,
        says=f"the {name} of a shoe",
        example=f"{name} = {SHOE_SIZES[name]:g}",
    )
    for name, least, most in (
        ("length", 100.0, 500.0),
        ("width", 40.0, 250.0),
        ("sole", 1.0, 80.0),
        ("height", 20.0, 250.0),
    )
)
PLATE_KEYS = (
    Key(
        name="wide",
        form=Form.NUMBER,
        positive=True,
        least=10.0,
        most=400.0,
        says="the width of a pad across the car",
        example="wide = 60",
    ),
    Key(
        name="high",
        form=Form.NUMBER,
        positive=True,
        least=10.0,
        most=400.0,
        says="the height of a pad along its face",
        example="high = 64",
    ),
    Key(
        name="lean",
        form=Form.NUMBER,
        measure=Measure.ANGLE,
        least=-1.6,
        most=1.6,
        says="the lean of a pad's face",
        example="lean = 20",
    ),
)


def read_driver(reading: Reading, node: Node, kinds: Kinds) -> Driver:
    """Read who pushes: where the leg pushes from, where the heel stands, the shoe."""
    table = reading.table(node, "[driver] above its keys")
    if table is None:
        return Driver()
    check_keys(reading, table, DRIVER, kinds)
    points = {
        key: read_point(reading, table.child(key), Where())
        for key in ("hip", "heel")
        if key in table.raw
    }
    shoe = _shoe(reading, table.child("shoe"), kinds) if "shoe" in table.raw else None
    return Driver(
        hip=points.get("hip"),
        heel=points.get("heel"),
        shoe=shoe,
        line=reading.line(node.at),
    )


def _shoe(reading: Reading, node: Node, kinds: Kinds) -> Shoe | None:
    table = reading.table(node, "shoe = { length = 310, width = 125 }")
    if table is None:
        return None
    check_keys(reading, table, SHOE, kinds)
    sizes = {key.name: _or_guess(reading, table, key) for key in SHOE_KEYS}
    sole, height = sizes["sole"], sizes["height"]
    if height.nominal <= sole.nominal:
        at = (*table.at, "sole" if "sole" in table.raw else "height")
        wrong = "the sole is as thick as the whole shoe is high."
        reading.fault(at, wrong, "height counts from under the sole to over the toes.")
    return Shoe(**sizes, line=reading.line(node.at))


def _or_guess(reading: Reading, table: Node, key: Key) -> Value:
    given = None
    if key.name in table.raw:
        given = reading.number(table.child(key.name), key)
    path = f"{table.path}.{key.name}"
    return given or Value(path=path, nominal=SHOE_SIZES[key.name], guess=True)


def read_plate(reading: Reading, pad: Node) -> dict[str, Value]:
    """Read width, height and lean of a pad's plate, where they are given."""
    if not isinstance(pad.raw, dict):
        return {}
    found = {}
    for key in PLATE_KEYS:
        value = (
            reading.number(pad.child(key.name), key) if key.name in pad.raw else None
        )
        if value is not None:
            found[f"pad_{key.name}"] = value
    return found

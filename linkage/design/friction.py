"""What rubs in a pedal: its pivots, its pins, the seals of its cylinder."""

from linkage.design import stock
from linkage.design.keys import Form, Key
from linkage.design.known import FRICTION, check_keys
from linkage.design.lookup import Where
from linkage.design.names import Kinds
from linkage.design.reading import Node, Reading
from linkage.design.records import Friction
from linkage.design.trains import read_fields
from linkage.design.values import Value
from linkage.units import Measure


def _coefficient(name: str, says: str) -> Key:
    return Key(
        name=name,
        form=Form.NUMBER,
        measure=Measure.PURE,
        least=0.0,
        most=1.0,
        says=f"the coefficient of friction {says}",
        example=f"{name} = 0.15",
    )


def _diameter(name: str, says: str, example: int) -> Key:
    return Key(
        name=name,
        form=Form.NUMBER,
        positive=True,
        least=1.0,
        most=80.0,
        says=f"diameter of {says}",
        example=f"{name} = {example}",
    )


KEYS = (
    _coefficient("pivot", "in the bush of the arm and of each lever"),
    _coefficient("pins", "at the pins of rods"),
    _diameter("pivot_pin", "what the arm and each lever turn on", 16),
    _diameter("pin", "the pins of rods", 8),
    Key(
        name="seal",
        form=Form.NUMBER,
        measure=Measure.FORCE,
        least=0.0,
        most=5000.0,
        says="what the piston's seals hold back whatever the pressure",
        example='seal = "30 N"',
    ),
    Key(
        name="seal_share",
        form=Form.NUMBER,
        measure=Measure.PERCENT,
        least=0.0,
        most=50.0,
        says="what the seals hold back of the piston's force",
        example='seal_share = "2 %"',
    ),
)
#: What is taken where the table leaves it out.
GUESSES = {
    "pivot": (stock.RUBBING, "1"),
    "pins": (stock.RUBBING, "1"),
    "pivot_pin": (stock.PIVOT_PIN, "mm"),
    "pin": (stock.HOLE_BORE, "mm"),
}


def read_friction(reading: Reading, pedal: Node, kinds: Kinds) -> Friction | None:
    """Read what rubs; None where the file has no such table: then nothing does."""
    if "friction" not in pedal.raw:
        return None
    table = reading.table(pedal.child("friction"), "[pedal.brake.friction]")
    if table is None:
        return None
    check_keys(reading, table, FRICTION, kinds)
    given = read_fields(reading, table, KEYS, Where(pedal=str(pedal.at[-1])))
    for name, (size, unit) in GUESSES.items():
        if given[name] is None:
            path = f"{table.path}.{name}"
            given[name] = Value(path=path, nominal=size, unit=unit, guess=True)
    return Friction(line=reading.line(table.at), **given)

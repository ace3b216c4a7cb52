"""``[vehicle]``: what the car weighs, where, and how well its tyres hold."""

from linkage.design.brake_records import Vehicle
from linkage.design.keys import Form, Key
from linkage.design.known import VEHICLE, check_keys
from linkage.design.lookup import Where
from linkage.design.names import Kinds
from linkage.design.reading import Node, Reading
from linkage.design.trains import read_fields
from linkage.units import Measure, say

KEYS = (
    Key(
        name="mass",
        form=Form.NUMBER,
        measure=Measure.MASS,
        required=True,
        positive=True,
        least=20.0,
        most=20_000.0,
        says="the mass of the car as it is driven",
        example='mass = "820 kg"',
    ),
    Key(
        name="wheelbase",
        form=Form.NUMBER,
        required=True,
        positive=True,
        least=300.0,
        most=10_000.0,
        says="the distance from axle to axle",
        example="wheelbase = 2350",
    ),
    Key(
        name="cg_height",
        form=Form.NUMBER,
        required=True,
        positive=True,
        least=50.0,
        most=3000.0,
        says="the height of the centre of gravity",
        example="cg_height = 460",
    ),
    Key(
        name="front_weight",
        form=Form.NUMBER,
        measure=Measure.PERCENT,
        positive=True,
        most=100.0,
        says="the front axle's share of the weight",
        example='front_weight = "52 %"',
    ),
    Key(
        name="cg_back",
        form=Form.NUMBER,
        says="how far the centre of gravity lies behind the front axle",
        example="cg_back = 1130",
    ),
    Key(
        name="grip",
        form=Form.NUMBER,
        measure=Measure.PURE,
        positive=True,
        least=0.05,
        most=3.0,
        says="what a tyre holds of what it carries",
        example="grip = 0.9",
    ),
    Key(
        name="tyre",
        form=Form.NUMBER,
        positive=True,
        least=50.0,
        most=1200.0,
        says="the rolling radius of the tyres",
        example="tyre = 290",
    ),
    Key(
        name="rear_tyre",
        form=Form.NUMBER,
        positive=True,
        least=50.0,
        most=1200.0,
        says="the rolling radius of the rear tyres",
        example="rear_tyre = 300",
    ),
)


def read_vehicle(reading: Reading, node: Node, kinds: Kinds) -> Vehicle | None:
    """Read the car; None where something in it cannot be used."""
    table = reading.table(node, "[vehicle] above its keys")
    if table is None:
        return None
    before = reading.told
    check_keys(reading, table, VEHICLE, kinds)
    fields = read_fields(reading, table, KEYS, Where())
    needed = [key.name for key in KEYS if key.required]
    if reading.told > before or any(fields[name] is None for name in needed):
        return None
    vehicle = Vehicle(
        line=reading.line(table.at),
        lines={key: reading.line((*table.at, key)) for key in table.raw},
        **fields,
    )
    for key, wrong, right in _rules(vehicle):
        reading.fault((*table.at, key), wrong, right)
    return vehicle


def _rules(vehicle: Vehicle) -> list[tuple[str, str, str]]:
    """Return what does not go together."""
    share, back = vehicle.front_weight, vehicle.cg_back
    if (share is None) == (back is None):
        right = 'Give one of: front_weight = "52 %" (off scales); cg_back = 1130.'
        if share is None:
            return [("", "nothing says where the weight lies.", right)]
        return [
            ("cg_back", "cg_back and front_weight say the same thing twice.", right)
        ]
    base = vehicle.wheelbase
    if back is not None and not 0.0 < back.nominal < base.nominal:
        said = say(back.nominal, back.unit, 2)
        wrong = f"{said} behind the front axle is outside the wheelbase."
        whole = say(base.nominal, base.unit, 2)
        return [
            ("cg_back", wrong, f"It lies between 0 and {whole}, car on its wheels.")
        ]
    if share is not None and share.nominal >= 100.0:
        wrong = "all of the weight on one axle: the other carries nothing."
        return [("front_weight", wrong, "Weigh both axles, car level.")]
    return []

"""What the arm of a pedal is cut from: its plate, metal, process, weight and bores.

What the file leaves out is a guess, and listed as such.
"""

from collections.abc import Iterator, Mapping
from typing import Any

from linkage.design import stock
from linkage.design.keys import Form, Key
from linkage.design.known import ARM, check_keys
from linkage.design.metals import is_known, unknown
from linkage.design.names import Kinds
from linkage.design.reading import Node, Reading
from linkage.design.records import Arm, Chosen, Point, Same
from linkage.design.values import Value
from linkage.units import Measure

PLATE = Key(
    name="plate",
    form=Form.NUMBER,
    positive=True,
    least=1.0,
    most=50.0,
    usual=(3.0, 16.0),
    says="the thickness of the arm's plate",
    example="plate = 8",
)
MASS = Key(
    name="mass",
    form=Form.NUMBER,
    measure=Measure.MASS,
    positive=True,
    most=20.0,
    example='mass = "0.7 kg"',
)
BORE = Key(
    name="bore",
    form=Form.NUMBER,
    positive=True,
    least=2.0,
    most=80.0,
    says="a bore in the arm",
    example="pivot = 20",
)


def read_arm(
    reading: Reading, node: Node, points: Mapping[str, Point], kinds: Kinds
) -> Arm:
    """Read what the arm is cut from; what is left out is a guess."""
    holes = [
        key.removeprefix("holes.")
        for key, point in points.items()
        if key != "pad" and not (key == "clevis" and isinstance(point, Same | Chosen))
    ]
    path = f"{node.path}.arm"
    guess = Value(path=f"{path}.plate", nominal=stock.PLATE, guess=True)
    bores = {hole: _guessed_bore(f"{path}.bores", hole) for hole in holes}
    table = None
    if "arm" in node.raw:
        table = reading.table(node.child("arm"), "[pedal.brake.arm] above its keys")
    if table is None:
        return Arm(plate=guess, material=stock.MATERIAL, bores=bores)
    check_keys(reading, table, ARM, kinds)
    raw, given = table.raw, table.child
    plate = reading.number(given("plate"), PLATE) if "plate" in raw else None
    material = _material(reading, given("material")) if "material" in raw else None
    process = None
    if "process" in raw:
        process = reading.word(given("process"), stock.PROCESSES)
    mass = reading.number(given("mass"), MASS) if "mass" in raw else None
    if "bores" in raw:
        unread = {*_declared(node.raw)} - {k.removeprefix("holes.") for k in points}
        bores |= _bores(reading, given("bores"), holes, unread)
    return Arm(
        plate=plate or guess,
        material=material or stock.MATERIAL,
        material_guess=material is None,
        process=process or stock.PROCESSES[0],
        mass=mass,
        bores=bores,
        line=reading.line(table.at),
    )


def _material(reading: Reading, node: Node) -> str | None:
    """Read a metal by its name."""
    name = reading.plain_text(node)
    if name is None or is_known(name):
        return name
    reading.fault(node.at, *unknown(name))
    return None


def _guessed_bore(path: str, hole: str) -> Value:
    size = stock.PIVOT_BORE if hole == "pivot" else stock.HOLE_BORE
    return Value(path=f"{path}.{hole}", nominal=size, guess=True)


def _declared(raw: Mapping[str, Any]) -> Iterator[str]:
    """Return the names of holes that a pedal's table holds, good or not."""
    yield from (key for key in ("pivot", "clevis") if key in raw)
    if isinstance(raw.get("holes"), dict):
        yield from raw["holes"]


def _bores(
    reading: Reading, node: Node, holes: list[str], unread: set[str]
) -> dict[str, Value]:
    """Read the bores of the arm by the names of their holes.

    Of a hole that is there and could not be read, the fault is told already.
    """
    table = reading.table(node, "bores = { pivot = 20, clevis = 8 }")
    bores = {}
    for bore in table.children() if table else ():
        hole = str(bore.at[-1])
        if hole in unread:
            continue
        if hole not in holes:
            _no_hole(reading, bore, hole, holes)
            continue
        value = reading.number(bore, BORE)
        if value is not None:
            bores[hole] = value
    return bores


def _no_hole(reading: Reading, bore: Node, hole: str, holes: list[str]) -> None:
    """Say so of a bore without its hole, unless that hole is told to be missing."""
    known = f"Known: {', '.join(holes)}." if holes else "Take it out."
    wrong = f'there is no hole "{hole[:40]}" in this arm.'
    reading.hanging(bore.at, (*bore.at[:2], hole), wrong, known)

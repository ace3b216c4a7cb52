"""The springs of a pedal: their kinds, what each needs, what does not go together."""

from typing import Any

from linkage.design.keys import Form, Key
from linkage.design.known import SPRING, check_keys
from linkage.design.lookup import Where
from linkage.design.names import Kinds
from linkage.design.reading import Node, Reading
from linkage.design.records import Spring
from linkage.design.trains import read_fields
from linkage.units import Measure, say

KINDS = ("extension", "compression", "torsion")


def _end(name: str, says: str, example: str) -> Key:
    return Key(
        name=name,
        form=Form.POINT,
        required=True,
        says=f"where the spring holds on to {says}",
        example=f"{name} = {example}",
    )


def _force(name: str, says: str, example: str) -> Key:
    return Key(
        name=name,
        form=Form.NUMBER,
        measure=Measure.FORCE,
        least=0.0,
        most=10_000.0,
        says=says,
        example=f'{name} = "{example}"',
    )


def _coils(name: str, says: str, example: int) -> Key:
    return Key(
        name=name,
        form=Form.NUMBER,
        positive=True,
        most=1000.0,
        says=says,
        example=f"{name} = {example}",
    )


_ON_ARM = _end("on_arm", "the arm", "[106, 484.5]")
_FIXED = _end("fixed", "the car", "[200, 560]")
_PRELOAD = _force("preload", "the spring's force with the pedal at rest", "40 N")
_INITIAL = _force(
    "initial_tension", "the force at which closed coils begin to open", "8 N"
)
_FREE_LENGTH = _coils("free_length", "the spring's length with nothing on it", 80)
_SOLID = _coils("solid", "the length at which its coils touch", 32)
_RATE = Key(
    name="rate",
    form=Form.NUMBER,
    measure=Measure.RATE,
    required=True,
    positive=True,
    most=1000.0,
    says="force for each mm of length",
    example='rate = "1.2 N/mm"',
)
_TURN_RATE = Key(
    name="rate",
    form=Form.NUMBER,
    measure=Measure.TURN_RATE,
    required=True,
    positive=True,
    most=1e7,
    says="torque for each degree of turn",
    example='rate = "0.05 N m/deg"',
)
_TORQUE = Key(
    name="preload",
    form=Form.NUMBER,
    measure=Measure.TORQUE,
    least=0.0,
    most=1e6,
    says="the spring's torque with the pedal at rest",
    example='preload = "2 N m"',
)
#: What each kind has, in order.
KEYS: dict[str, tuple[Key, ...]] = {
    "extension": (_ON_ARM, _FIXED, _RATE, _PRELOAD, _FREE_LENGTH, _INITIAL),
    "compression": (_ON_ARM, _FIXED, _RATE, _PRELOAD, _FREE_LENGTH, _SOLID),
    "torsion": (_TURN_RATE, _TORQUE),
}


def read_springs(reading: Reading, pedal: Node, kinds: Kinds) -> tuple[Spring, ...]:
    """Read the springs of a pedal, counted from 1."""
    if "spring" not in pedal.raw:
        return ()
    rows = reading.tables(pedal.child("spring"))
    springs = [_spring(reading, row, n, pedal, kinds) for n, row in enumerate(rows, 1)]
    return tuple(spring for spring in springs if spring is not None)


def _spring(
    reading: Reading, node: Node, number: int, pedal: Node, kinds: Kinds
) -> Spring | None:
    """Read one spring; None where anything in it cannot be used."""
    before = reading.told
    check_keys(reading, node, SPRING, kinds)
    if "kind" not in node.raw:
        reading.missing(node.at, "kind", 'Write kind = "extension", say.')
        return None
    kind: Any = reading.word(node.child("kind"), KINDS)
    if kind is None:
        return None
    keys = KEYS[kind]
    _check_kind(reading, node, kind)
    fields = read_fields(reading, node, keys, Where(pedal=str(pedal.at[-1])))
    lacks = any(fields[key.name] is None for key in keys if key.required)
    if reading.told > before or lacks:
        return None
    spring = Spring(
        kind=kind,
        number=number,
        line=reading.line(node.at),
        lines={key: reading.line((*node.at, key)) for key in node.raw},
        **fields,
    )
    for key, wrong, right in _rules(spring):
        reading.fault((*node.at, key), wrong, right, key=f"spring {number}")
    return spring


def _check_kind(reading: Reading, node: Node, kind: str) -> None:
    """Say which keys belong to a spring of another kind."""
    mine = ("kind", *(key.name for key in KEYS[kind]))
    for key in node.raw:
        if key in SPRING and key not in mine:
            other = next(k for k in KINDS if key in (each.name for each in KEYS[k]))
            article = "an" if other[0] in "aeiou" else "a"
            wrong = f"belongs to {article} {other} spring, and this is one of {kind}."
            reading.fault((*node.at, key), wrong, "Take it out.")


def _rules(spring: Spring) -> list[tuple[str, str, str]]:
    """Return what does not go together."""
    if spring.kind == "torsion":
        return []
    free, solid = spring.free_length, spring.solid
    if (spring.preload is None) == (free is None):
        both = free is not None
        return [
            (
                "free_length" if both else "kind",
                "preload and free_length say the same thing twice."
                if both
                else "nothing says how hard it pulls or pushes at rest.",
                'Give one of: preload = "40 N" (its force at rest); free_length = 80.',
            )
        ]
    if free is not None and solid is not None and solid.nominal >= free.nominal:
        size = say(free.nominal, free.unit, 2)
        wrong = f"it is solid at its free length of {size} or above."
        return [("solid", wrong, "Give its length with all coils touching.")]
    return []

"""``[circuit.NAME]``: wheel brakes, hoses, valves and fluid behind a cylinder's outlet."""

import difflib
from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any, get_args

from linkage.design.brake_records import (
    Axle,
    BrakeKind,
    Circuit,
    Hose,
    HoseKind,
    Valve,
    WheelBrake,
)
from linkage.design.circuit_keys import (
    BRAKE_KEYS,
    CIRCUIT_KEYS,
    HOSE_KEYS,
    PRESSED,
    TAKEN_UP,
    VALVE_KEYS,
)
from linkage.design.known import BRAKE, CIRCUIT, HOSE, VALVE, check_keys
from linkage.design.lookup import Where
from linkage.design.names import NAME, Kinds
from linkage.design.reading import Node, Reading, one_of, shown
from linkage.design.records import Pedal
from linkage.design.trains import part_at, read_fields
from linkage.design.values import Value

AXLES: tuple[Axle, ...] = get_args(Axle)
BRAKES: tuple[BrakeKind, ...] = get_args(BrakeKind)
HOSES: tuple[HoseKind, ...] = get_args(HoseKind)
#: What only drums have, and only discs.
_DRUM_ONLY, _DISC_ONLY = ("leading", "trailing", "shoe_springs"), ("friction",)
_SQUASH = 'squash = "0.1 cc/MPa", or [["2 MPa", "0.4 cc"], ["7 MPa", "0.9 cc"]]'


def read_circuits(reading: Reading, node: Node, kinds: Kinds) -> dict[str, Circuit]:
    """Read every circuit by its name."""
    table = reading.table(node, "[circuit.front]")
    found = {}
    for each in table.children() if table else ():
        name = str(each.at[-1])
        if not NAME.fullmatch(name):
            right = "A name has letters, digits, _ and - only."
            reading.fault(each.at, f"{shown(name)} cannot name a circuit.", right)
            continue
        inner = reading.table(each, f"[circuit.{name[:40]}]")
        circuit = _circuit(reading, inner, name, kinds) if inner else None
        if circuit is not None:
            found[name] = circuit
    return found


def _circuit(reading: Reading, node: Node, name: str, kinds: Kinds) -> Circuit | None:
    before = reading.told
    check_keys(reading, node, CIRCUIT, kinds)
    fields = read_fields(reading, node, CIRCUIT_KEYS, Where())
    axle = _axle(reading, node, name if name in AXLES else None)
    brakes = [
        _brake(reading, row, number, axle, kinds)
        for number, row in enumerate(_rows(reading, node, "brake"), 1)
    ]
    hoses = [
        _hose(reading, row, number, kinds)
        for number, row in enumerate(_rows(reading, node, "hose"), 1)
    ]
    valve = _valve(reading, node.child("valve"), kinds) if "valve" in node.raw else None
    if "brake" not in node.raw:
        right = f"Write [circuit.{name}.brake] and its keys below."
        reading.missing(node.at, "brake", right)
    if reading.told > before:
        return None
    return Circuit(
        name=name,
        brakes=tuple(brake for brake in brakes if brake),
        hoses=tuple(hose for hose in hoses if hose),
        valve=valve,
        line=reading.line(node.at),
        **fields,
    )


def _rows(reading: Reading, node: Node, key: str) -> list[Node]:
    return reading.tables(node.child(key)) if key in node.raw else []


def _axle(reading: Reading, node: Node, otherwise: str | None) -> Axle | None:
    word = otherwise
    if "axle" in node.raw:
        word = reading.word(node.child("axle"), AXLES)
    return next((axle for axle in AXLES if axle == word), None)


# ------------------------------------------------------------------------ brakes


def _brake(
    reading: Reading, node: Node, number: int, axle: Axle | None, kinds: Kinds
) -> WheelBrake | None:
    before = reading.told
    check_keys(reading, node, BRAKE, kinds)
    kind = _kind(reading, node)
    axle = _axle(reading, node, axle)
    if axle is None and "axle" not in node.raw:
        right = 'Write axle = "front" or axle = "rear".'
        reading.missing(node.at, "axle", right)
    fields = read_fields(reading, node, BRAKE_KEYS, Where())
    squash = _squash(reading, node.child("squash")) if "squash" in node.raw else None
    needed = [fields[key.name] for key in BRAKE_KEYS if key.required]
    if reading.told > before or None in (kind, axle, *needed):
        return None
    brake = WheelBrake(
        kind=next(each for each in BRAKES if each == kind),
        number=number,
        path=node.path,
        axle=next(each for each in AXLES if each == axle),
        squash=squash,
        line=reading.line(node.at),
        **fields,
    )
    for key, wrong, right in _rules(brake, node.raw):
        reading.fault((*node.at, key), wrong, right)
    return brake


def _kind(reading: Reading, node: Node) -> str | None:
    if "kind" not in node.raw:
        reading.missing(node.at, "kind", one_of(BRAKES))
        return None
    return reading.word(node.child("kind"), BRAKES)


def _rules(brake: WheelBrake, raw: Mapping[str, Any]) -> Iterator[tuple[str, str, str]]:
    """Say what does not go together."""
    others = _DISC_ONLY if brake.kind == "drum" else _DRUM_ONLY
    owner = "disc" if brake.kind == "drum" else "drum"
    for key in others:
        if key in raw:
            wrong = f"belongs to a {owner}, and this brake is a {brake.kind}."
            yield key, wrong, "Take it out."
    yield from _whole("count", brake.count)
    yield from _whole("pistons", brake.pistons)
    if brake.kind != "fixed disc":
        return
    if brake.pistons is None:
        wrong = "a fixed disc says how many pistons a caliper has, on both sides."
        yield "kind", wrong, "Write pistons = 4, say."
    elif brake.pistons.nominal % 2.0:
        wrong = "a fixed caliper has as many pistons on one side as on the other."
        yield "pistons", wrong, "Write pistons = 4, say."


def _whole(key: str, value: Value | None) -> Iterator[tuple[str, str, str]]:
    if value is not None and value.nominal % 1.0:
        yield key, f"{value.text} is no whole number.", f"Write {key} = 2, say."


def _squash(
    reading: Reading, node: Node
) -> Value | tuple[tuple[Value, Value], ...] | None:
    """Read one rate, or a table of pressures and volumes that both rise."""
    if node.broken:
        return None
    if not isinstance(node.raw, list):
        return reading.number(node, TAKEN_UP[0])
    rows = [node.child(i, str(i + 1)) for i in range(len(node.raw))]
    if not rows or any(
        not isinstance(row.raw, list) or len(row.raw) != 2 for row in rows
    ):
        wrong = "a table of squash holds pairs of a pressure and a volume."
        reading.fault(node.at, wrong, f"Write {_SQUASH}.")
        return None
    pairs = [
        (
            reading.number(row.child(0, "pressure"), PRESSED),
            reading.number(row.child(1, "volume"), TAKEN_UP[1]),
        )
        for row in rows
    ]
    good = tuple((p, v) for p, v in pairs if p is not None and v is not None)
    if len(good) < len(pairs):
        return None
    for row, (low, high) in zip(rows[1:], pairwise(good), strict=True):
        if any(b.nominal <= a.nominal for a, b in zip(low, high, strict=True)):
            wrong = "pressure and volume have to rise from each pair to the next."
            reading.fault(
                row.at, wrong, "Put them in order; a caliper never gives back."
            )
            return None
    return good


# ---------------------------------------------------------------- hoses and valves


def _hose(reading: Reading, node: Node, number: int, kinds: Kinds) -> Hose | None:
    before = reading.told
    check_keys(reading, node, HOSE, kinds)
    kind = reading.word(node.child("kind"), HOSES) if "kind" in node.raw else None
    fields = read_fields(reading, node, HOSE_KEYS, Where())
    if reading.told > before or fields["length"] is None:
        return None
    hose = Hose(
        number=number,
        path=node.path,
        kind=next((each for each in HOSES if each == kind), None),
        line=reading.line(node.at),
        **fields,
    )
    for key, wrong, right in _hose_rules(hose):
        reading.fault((*node.at, key), wrong, right)
    return hose


def _hose_rules(hose: Hose) -> Iterator[tuple[str, str, str]]:
    yield from _whole("count", hose.count)
    if hose.swell is not None and hose.at is None:
        wrong = "nothing says at what pressure a hose swells by that much."
        yield "swell", wrong, 'Write at = "1000 psi" beside it.'
    if hose.at is not None and hose.swell is None:
        yield "at", "it stands without a swell.", 'Write swell = "0.3 cc/ft" beside it.'
    for key in ("kind", "bore"):
        if hose.swell is not None and getattr(hose, key) is not None:
            yield key, f"with a swell of its own a hose needs no {key}.", "Take it out."


def _valve(reading: Reading, node: Node, kinds: Kinds) -> Valve | None:
    table = reading.table(node, 'valve = { knee = "300 psi", slope = 0.43 }')
    if table is None:
        return None
    check_keys(reading, table, VALVE, kinds)
    fields = read_fields(reading, table, VALVE_KEYS, Where())
    if None in fields.values():
        return None
    return Valve(line=reading.line(table.at), **fields)


# ------------------------------------------------------------------ who fills them


def check_circuits(
    reading: Reading, pedals: Mapping[str, Pedal], circuits: Mapping[str, Circuit]
) -> None:
    """Say which circuits a cylinder fills that the file does not have."""
    known = ", ".join(circuits)
    for part in (part for pedal in pedals.values() for part in pedal.train):
        for name in getattr(part, "circuits", None) or ():
            if name in circuits:
                continue
            near = difflib.get_close_matches(name[:40], list(circuits), n=1)
            nearest = f'Nearest: "{near[0]}". ' if near else ""
            right = (
                f"{nearest}Known: {known}."
                if known
                else f"Write [circuit.{name[:40]}]."
            )
            at = (*part_at(part), "circuits")
            reading.fault(at, f"there is no circuit {shown(name)} in this file.", right)

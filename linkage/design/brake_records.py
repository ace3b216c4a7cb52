"""What the file says of the car's brakes: frozen records, numbers as written.

A number that is left out is None here; what is then taken, and how good that guess is,
knows `linkage.car.guesses`.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal

from msgspec import Struct, field

from linkage.design.values import Value

Axle = Literal["front", "rear"]
BrakeKind = Literal["fixed disc", "floating disc", "drum"]
HoseKind = Literal["regular", "low", "braided"]
_EMPTY: Mapping[str, int] = MappingProxyType({})


class Vehicle(Struct, frozen=True, kw_only=True):
    """``[vehicle]``: the car as it is driven, with who is in it."""

    mass: Value
    wheelbase: Value
    cg_height: Value
    front_weight: Value | None = None
    cg_back: Value | None = None
    grip: Value | None = None
    tyre: Value | None = None
    rear_tyre: Value | None = None
    line: int = 0
    lines: Mapping[str, int] = field(default_factory=lambda: _EMPTY)


class WheelBrake(Struct, frozen=True, kw_only=True):
    """``[circuit.NAME.brake]``: the brakes of an axle that are alike."""

    kind: BrakeKind
    number: int
    path: str
    piston: Value
    radius: Value
    axle: Axle
    pistons: Value | None = None
    count: Value | None = None
    friction: Value | None = None
    clearance: Value | None = None
    squash: Value | tuple[tuple[Value, Value], ...] | None = None
    leading: Value | None = None
    trailing: Value | None = None
    shoe_springs: Value | None = None
    line: int = 0


class Hose(Struct, frozen=True, kw_only=True):
    """``[circuit.NAME.hose]``: hoses that are alike."""

    number: int
    path: str
    length: Value
    count: Value | None = None
    kind: HoseKind | None = None
    bore: Value | None = None
    swell: Value | None = None
    at: Value | None = None
    line: int = 0


class Valve(Struct, frozen=True, kw_only=True):
    """``valve = { knee, slope }``: a proportioning valve."""

    knee: Value
    slope: Value
    line: int = 0


class Circuit(Struct, frozen=True, kw_only=True):
    """``[circuit.NAME]``: all that one outlet of a cylinder fills."""

    name: str
    brakes: tuple[WheelBrake, ...] = ()
    hoses: tuple[Hose, ...] = ()
    fluid: Value | None = None
    bulk: Value | None = None
    air: Value | None = None
    residual: Value | None = None
    valve: Valve | None = None
    line: int = 0


class Booster(Struct, frozen=True, kw_only=True):
    """``[pedal.NAME.train.booster]``: what stands between the rod and its cylinder."""

    gain: Value | None = None
    diaphragm: Value | None = None
    diaphragms: Value | None = None
    effective: Value | None = None
    vacuum: Value | None = None
    assist: Value | None = None
    threshold: Value | None = None
    jump_in: Value | None = None
    dead_travel: Value | None = None
    gap: Value | None = None
    return_spring: Value | None = None
    front_room: Value | None = None
    rear_room: Value | None = None
    line: int = 0

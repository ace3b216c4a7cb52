"""What is rehearsed: each failure as other numbers, a dead booster or a lost circuit.

Data and where it comes from; nothing here is worked out but the numbers to put in.
"""

from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import Struct

from linkage.car.drive import circuits_of, cylinders
from linkage.car.guesses import GUESSES
from linkage.design.brake_records import Circuit
from linkage.design.records import Design, Pedal
from linkage.design.values import Value
from linkage.parts.balance_bar import BalanceBar
from linkage.places import NOTHING
from linkage.units import trim

_MEMORY, _COMMON = "from memory", "common practice, no source"
_STATED = "as stated"
#: mm that a pad is knocked back by besides its own clearance: from memory, 0.5 to 1.
KNOCKED = 0.5
#: What is left of the bulk modulus of fluid near boiling; from memory.
HOT = 0.6
#: mm3 of free air in each circuit.
AIR = 1000.0
#: A bar gives 2:1 at most, which is a sixth of its spacing off its middle.
WOUND = 1.0 / 6.0


class Case(Struct, frozen=True, kw_only=True):
    """One failure.

    Attributes
    ----------
    name : str
        "front circuit lost".
    assumed : str
        What that is taken to be, in words, with its source.
    rule : str
        Which of `linkage.car.stopping.RULES` is asked of what is left.
    dead : bool
    lost : str
        The circuit that holds nothing; empty for none.
    values : mapping
        Numbers to use in place of the file's, by path, in internal units.
    """

    name: str
    assumed: str
    rule: str = "cold"
    dead: bool = False
    lost: str = ""
    values: Mapping[str, Any] = NOTHING


def cases_of(
    design: Design, pedal: Pedal, *, knocked: float = KNOCKED, air: float = AIR
) -> Iterator[Case]:
    """Yield what can go wrong with a brake of this kind; all well comes first.

    Parameters
    ----------
    knocked : float
        What each disc's pistons are knocked back by, mm, besides their clearance.
    air : float
        Free in each circuit, mm3, besides what the file says.
    """
    circuits = [design.circuits[name] for name in circuits_of(pedal)]
    yield Case(name="all well", assumed="nothing has failed")
    if any(end.booster is not None for end in cylinders(pedal)):
        yield Case(
            name="booster dead",
            assumed="no vacuum or pressure is left",
            rule="booster dead",
            dead=True,
        )
    for each in circuits:
        yield Case(
            name=f"{each.name} circuit lost",
            assumed="a hose has burst: its piston holds nothing up to its end",
            rule="circuit lost",
            lost=each.name,
        )
    yield from _fluid(circuits, knocked, air)
    if isinstance(pedal.bar, BalanceBar):
        yield from _wound(pedal.bar)


def _fluid(circuits: list[Circuit], knocked: float, air: float) -> Iterator[Case]:
    """Yield what is longer to press, with all brakes still there."""
    clearances = dict(_clearances(circuits, knocked))
    if clearances:
        by = f"{_MEMORY}: 0.5 to 1" if knocked == KNOCKED else _STATED
        yield Case(
            name="pads knocked back",
            assumed=f"each disc's pistons by {trim(knocked, 3)} mm more ({by})",
            values=clearances,
        )
    yield Case(
        name="fluid hot",
        assumed=f"its bulk modulus {HOT:g} of what it is cold ({_MEMORY}); not boiling",
        values={
            f"circuit.{each.name}.bulk": HOT * _now(each.bulk, "bulk")
            for each in circuits
        },
    )
    yield Case(
        name="air in the fluid",
        assumed=f"{trim(air / 1000.0, 3)} cc of it in each circuit "
        f"({_COMMON if air == AIR else _STATED})",
        values={
            f"circuit.{each.name}.air": air + _now(each.air, "air") for each in circuits
        },
    )


def _clearances(circuits: list[Circuit], knocked: float) -> Iterator[tuple[str, float]]:
    for circuit in circuits:
        for brake in circuit.brakes:
            if brake.kind != "drum":
                now = _now(brake.clearance, "disc clearance")
                yield f"{brake.path}.clearance", now + knocked


def _now(value: Value | None, guess: str) -> float:
    return GUESSES[guess].nominal if value is None else value.nominal


def _wound(bar: BalanceBar) -> Iterator[Case]:
    now = 0.0 if bar.shift is None else bar.shift_sign * bar.shift.value.nominal
    for side, way in (("front", 1.0), ("rear", -1.0)):
        most, where = WOUND * bar.spacing.nominal, f"2:1 ({_COMMON})"
        if way * now > most:
            most, where = way * now, "where it stands"
        yield Case(
            name=f"bar wound to the {side}",
            assumed=f"its bearing {most:.1f} mm off the middle, {where}",
            values={bar.shift_path: way * most * bar.shift_sign},
        )

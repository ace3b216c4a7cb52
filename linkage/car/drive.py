"""From the file's cylinder to what its rod drives, in numbers; and the car likewise."""

import math
from collections.abc import Iterator, Mapping
from typing import Literal

from linkage.car.axles import Vehicle
from linkage.car.bar import Bar
from linkage.car.booster import Air, Booster, assist_of, diaphragm_area
from linkage.car.guesses import Guess, Ledger, known
from linkage.car.lines import line_of
from linkage.car.master import Master
from linkage.car.pistons import Piston
from linkage.car.stopping import GRAVITY
from linkage.car.twin import Driven, Twin
from linkage.design import brake_records as records
from linkage.design.records import Design, Part, Pedal
from linkage.faults import Fault
from linkage.loads.burden import area_of, rubbing_of
from linkage.parts.balance_bar import BalanceBar, bar_rest
from linkage.parts.cylinder import Cylinder


def vehicle_of(ledger: Ledger, vehicle: records.Vehicle) -> Vehicle:
    """Return the car in numbers."""
    base = ledger.given(vehicle.wheelbase)
    if vehicle.cg_back is not None:
        front = 1.0 - ledger.given(vehicle.cg_back) / base
    else:
        front = known(ledger, vehicle.front_weight, 50.0) / 100.0
    return Vehicle(
        weight=ledger.given(vehicle.mass) * GRAVITY,
        front=front,
        rise=ledger.given(vehicle.cg_height) / base,
        grip=ledger.number(vehicle, "vehicle", "grip"),
    )


def road_faults(design: Design, vehicle: Vehicle) -> Iterator[Fault]:
    """Say where the tyres would lift the rear wheels off the road."""
    if vehicle.grip < vehicle.lifts or design.vehicle is None:
        return
    yield Fault(
        file=design.file,
        line=design.vehicle.lines.get("grip", design.vehicle.line),
        key="vehicle.grip",
        wrong=f"at a deceleration of {vehicle.lifts:.2f} g0 the rear wheels leave the "
        "road, and the tyres hold more than that.",
        right="Is cg_height measured to the centre of gravity? Else give less grip.",
    )


def driven_of(
    ledger: Ledger, pedal: Pedal, *, dead: bool = False, lost: str = ""
) -> Driven:
    """Return what a pedal drives, in numbers.

    Parameters
    ----------
    pedal : Pedal
        One that `drive_faults` finds nothing wrong with.
    dead : bool
        True for a booster without assist.
    lost : str
        The circuit of a tandem or on a bar that holds nothing; empty for none.
    """
    ends = cylinders(pedal)
    if not isinstance(pedal.bar, BalanceBar):
        return piston_of(ledger, pedal, ends[0], dead=dead, lost=lost)
    front, rear = (piston_of(ledger, pedal, end) for end in ends)
    twin = Twin(bar=_bar(ledger, pedal.bar), front=front, rear=rear)
    if not lost:
        return twin
    return twin.without("front" if lost in (ends[0].circuits or ()) else "rear")


def _bar(ledger: Ledger, part: BalanceBar) -> Bar:
    held = bar_rest(part, ledger.places)
    ledger.given(part.spacing)
    if part.shift is not None:
        ledger.given(part.shift.value)
    return Bar(
        spacing=held.spacing,
        shift=held.shift,
        tilt=ledger.number(part, part.path, "tilt"),
        longer=ledger.number(part, part.path, "front_longer"),
    )


def piston_of(
    ledger: Ledger, pedal: Pedal, part: Cylinder, *, dead: bool = False, lost: str = ""
) -> Piston:
    """Return one of a pedal's cylinders in numbers."""
    design = ledger.places.design
    rubbing = rubbing_of(pedal.friction)
    return Piston(
        master=_master(ledger, part),
        lines=tuple(
            line_of(ledger, design.circuits[name]) for name in part.circuits or ()
        ),
        play=known(ledger, part.free_play, 0.0),
        mount=known(ledger, part.mount, math.inf),
        seal=rubbing.seal,
        seal_share=rubbing.seal_share,
        booster=_booster(ledger, part),
        dead=dead,
        lost=(part.circuits or ()).index(lost) + 1 if lost else 0,
    )


def cylinders(pedal: Pedal) -> tuple[Cylinder, ...]:
    """Return the cylinders that end a pedal's train: one, or a bar's two."""
    return tuple(end for end in _ends(pedal) if isinstance(end, Cylinder))


def circuits_of(pedal: Pedal) -> tuple[str, ...]:
    """Return the circuits that a pedal fills, nearer the pedal or front first."""
    return tuple(name for end in cylinders(pedal) for name in end.circuits or ())


def _master(ledger: Ledger, part: Cylinder) -> Master:
    bore = known(ledger, part.bore, 0.0)
    stroke = known(ledger, part.stroke, math.inf)
    tandem = len(part.circuits or ()) == 2
    return Master(
        first=area_of(bore, known(ledger, part.gland, 0.0)),
        second=area_of(known(ledger, part.second_bore, bore)) if tandem else 0.0,
        cut_off=ledger.number(part, part.path, "cut_off"),
        stroke=stroke,
        first_stroke=_first_stroke(ledger, part, stroke) if tandem else stroke,
        spring=known(ledger, part.cylinder_spring, 0.0),
    )


def _first_stroke(ledger: Ledger, part: Cylinder, stroke: float) -> float:
    """Return what the first chamber can close up by; half of all is a guess."""
    if part.first_stroke is not None:
        return ledger.given(part.first_stroke)
    if math.isinf(stroke):
        return stroke
    guess = Guess(0.5 * stroke, "mm", 0.4 * stroke, 0.6 * stroke)
    return ledger.stand_in(f"{part.path}.first_stroke", guess)


def _booster(ledger: Ledger, part: Cylinder) -> Booster | None:
    given = part.booster
    if given is None or given.diaphragm is None:
        return None
    path = f"{part.path}.booster"
    area = diaphragm_area(
        ledger.given(given.diaphragm),
        int(known(ledger, given.diaphragms, 1.0)),
        ledger.number(given, path, "effective") / 100.0,
    )
    held = ledger.number(given, path, "return_spring")
    pressure = known(ledger, given.vacuum or given.assist, 0.0)
    return Booster(
        assist=assist_of(area, pressure, held),
        gain=ledger.number(given, path, "gain"),
        threshold=ledger.number(given, path, "threshold"),
        jump=ledger.number(given, path, "jump_in"),
        dead_travel=ledger.number(given, path, "dead_travel"),
        gap=ledger.number(given, path, "gap"),
        held=held,
        air=_air(ledger, given, float(area)),
    )


def _air(ledger: Ledger, given: records.Booster, area: float) -> Air | None:
    """Return the air of a vacuum booster whose rooms are given."""
    if given.vacuum is None or given.front_room is None or given.rear_room is None:
        return None
    return Air(
        area=area,
        vacuum=ledger.given(given.vacuum),
        front=ledger.given(given.front_room),
        rear=ledger.given(given.rear_room),
    )


#: What keeps a pedal from having fluid: the key that is missing, or its cylinder.
Missing = Literal["cylinder", "bore", "circuits"]
_LACKS: Mapping[Missing, tuple[str, str]] = {
    "cylinder": (
        "no cylinder stands at the end of its train, so it has no fluid.",
        "Ask about a pedal that drives one.",
    ),
    "bore": ("nothing says how large its bore is.", 'Write bore = "3/4 in", say.'),
    "circuits": (
        "nothing says which circuits its cylinder fills.",
        'Write circuits = ["front", "rear"] and [circuit.front] ..., as '
        "examples/brake-manual.toml does.",
    ),
}


def drive_faults(design: Design, pedal: Pedal) -> Iterator[Fault]:
    """Say why nothing can be told of a pedal's fluid."""
    for end in _ends(pedal):
        missing = _missing(end)
        if missing is not None:
            wrong, right = _LACKS[missing]
            line = pedal.line if end is None else end.line
            key = f"{pedal.name} {end.branch if end else ''}".strip()
            if missing == "circuits" and end is not None and end.branch:
                name = end.branch
                right = f'Write circuits = ["{name}"] and [circuit.{name}] ..., say.'
            yield Fault(file=design.file, line=line, key=key, wrong=wrong, right=right)


def missing_of(pedal: Pedal) -> Missing | None:
    """Return what is missing before anything can be told of a pedal's fluid."""
    return next((missing for end in _ends(pedal) if (missing := _missing(end))), None)


def _ends(pedal: Pedal) -> tuple[Part | None, ...]:
    """Return the parts that end a train: a bar's are two; None without a train."""
    return pedal.train[-1 if pedal.bar is None else -2 :] or (None,)


def _missing(end: Part | None) -> Missing | None:
    if not isinstance(end, Cylinder):
        return "cylinder"
    if end.bore is None:
        return "bore"
    return None if end.circuits else "circuits"


def lost_faults(design: Design, pedal: Pedal, lost: str) -> Iterator[Fault]:
    """Say why nothing can be told of a lost circuit."""
    ends, circuits, right = cylinders(pedal), circuits_of(pedal), ""
    part = next((end for end in ends if lost in (end.circuits or ())), ends[-1])
    if lost not in circuits:
        what = "its cylinder fills" if pedal.bar is None else "its bar fills"
        wrong = f'{what} no circuit "{lost[:40]}".'
        right = f"It fills {' and '.join(circuits)}."
    elif len(circuits) < 2:
        wrong, right = "without its one circuit nothing is left.", "A tandem has two."
    elif part.stroke is None and pedal.bar is None:
        wrong = "a lost circuit uses up its stroke, and nothing says how long that is."
        right = "Write stroke = 36, say."
    if right:
        yield Fault(
            file=design.file, line=part.line, key=pedal.name, wrong=wrong, right=right
        )

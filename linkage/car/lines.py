"""The circuits of a file in numbers: what each takes up, and what its brakes do.

*Line pressure* is that at the cylinder; behind a valve the wheels may have less.
"""

from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import Struct

from linkage.car.brakes import Disc, Drum, pistons_area
from linkage.car.fluid import Circuit
from linkage.car.guesses import Guess, Ledger, known
from linkage.car.hoses import REFERENCE, stated_swell, swell_of, swell_range
from linkage.car.valves import Proportioning
from linkage.design import brake_records as records
from linkage.design.brake_records import Axle
from solvers.monotone import Broken

#: Pistons of one brake where the file does not say.
_PISTONS = {"floating disc": 1.0, "drum": 2.0}


class Wheels(Struct, frozen=True, kw_only=True, eq=False):
    """Brakes that are alike on one axle."""

    axle: Axle
    count: float
    brake: Disc | Drum


class Line(Struct, frozen=True, kw_only=True, eq=False):
    """A circuit in numbers."""

    name: str
    circuit: Circuit
    valve: Proportioning
    wheels: tuple[Wheels, ...]

    def demands(self, pressure: Any) -> Mapping[str, Any]:
        """Return what each cause has taken at a line pressure, mm3."""
        return self.circuit.demands(self.valve.out(pressure))

    def taken(self, pressure: Any) -> Any:
        """Return all that it has taken at a line pressure, mm3."""
        return self.circuit.taken(self.valve.out(pressure))

    def torque(self, pressure: Any, axle: Axle) -> Any:
        """Return what its brakes hold an axle with at a line pressure, N mm."""
        at_wheels = self.valve.out(pressure)
        mine = (each for each in self.wheels if each.axle == axle)
        return sum(
            (each.count * each.brake.torque(at_wheels) for each in mine),
            0.0 * at_wheels,
        )

    def knees(self) -> Iterator[float]:
        """Yield the line pressures at which something begins or bends, MPa."""
        yield 0.0
        yield self.valve.knee
        for each in self.wheels:
            yield float(self.valve.into(each.brake.starts))


def line_of(ledger: Ledger, circuit: records.Circuit) -> Line:
    """Return a circuit in numbers."""
    path = f"circuit.{circuit.name}"
    return Line(
        name=circuit.name,
        circuit=Circuit(
            clearance=sum(_clearance(ledger, each) for each in circuit.brakes),
            squash=tuple(_squash(ledger, each) for each in circuit.brakes),
            hoses=tuple(_hose(ledger, each) for each in circuit.hoses),
            fluid=ledger.number(circuit, path, "fluid"),
            bulk=ledger.number(circuit, path, "bulk"),
            air=ledger.number(circuit, path, "air"),
            held=known(ledger, circuit.residual, 0.0),
        ),
        valve=_valve(ledger, circuit.valve),
        wheels=tuple(_wheels(ledger, each) for each in circuit.brakes),
    )


def _valve(ledger: Ledger, valve: records.Valve | None) -> Proportioning:
    if valve is None:
        return Proportioning()
    return Proportioning(knee=ledger.given(valve.knee), slope=ledger.given(valve.slope))


def _count(ledger: Ledger, owner: records.WheelBrake | records.Hose) -> float:
    return known(ledger, owner.count, 2.0)


def _area(ledger: Ledger, brake: records.WheelBrake) -> Any:
    """Return the area of all pistons of one brake, mm2."""
    pistons = known(ledger, brake.pistons, _PISTONS.get(brake.kind, 2.0))
    return pistons_area(ledger.given(brake.piston), pistons)


def _sort(brake: records.WheelBrake) -> str:
    return "drum" if brake.kind == "drum" else "disc"


def _clearance(ledger: Ledger, brake: records.WheelBrake) -> Any:
    guess = f"{_sort(brake)} clearance"
    each = ledger.number(brake, brake.path, "clearance", guess)
    return _count(ledger, brake) * _area(ledger, brake) * each


def _squash(ledger: Ledger, brake: records.WheelBrake) -> tuple[float, Broken]:
    count, squash = _count(ledger, brake), brake.squash
    if isinstance(squash, tuple):
        pairs = [(ledger.given(p), ledger.given(v)) for p, v in squash]
        return count, Broken(*zip(*pairs, strict=True))
    rate = ledger.number(brake, brake.path, "squash", f"{_sort(brake)} squash")
    return count, Broken((1.0,), (rate,))


def _hose(ledger: Ledger, hose: records.Hose) -> tuple[float, Broken]:
    length = _count(ledger, hose) * ledger.given(hose.length)
    if hose.swell is not None and hose.at is not None:
        return length, stated_swell(ledger.given(hose.swell), ledger.given(hose.at))
    return length, _table_swell(ledger, hose)


def _table_swell(ledger: Ledger, hose: records.Hose) -> Broken:
    """Return what each mm of a hose swells by, from its kind and bore: a guess."""
    kind = hose.kind or "regular"
    bore = 0.0 if kind == "braided" else ledger.number(hose, hose.path, "bore")
    swell = swell_of(kind, bore)
    low, high, source = swell_range(kind if hose.kind else None, swell)
    guess = Guess(swell.at(REFERENCE), "cc/ft", low, high, source)
    key = "swell" if hose.kind else "kind"
    share = ledger.stand_in(f"{hose.path}.{key}", guess) / guess.nominal
    return Broken(swell.x, tuple(share * each for each in swell.y))


def _wheels(ledger: Ledger, brake: records.WheelBrake) -> Wheels:
    area, radius = _area(ledger, brake), ledger.given(brake.radius)
    held: Disc | Drum
    if brake.kind == "drum":
        shoes = (ledger.number(brake, brake.path, k) for k in ("leading", "trailing"))
        pistons = known(ledger, brake.pistons, _PISTONS["drum"])
        held = Drum(
            area=area / pistons,
            factor=sum(shoes),
            radius=radius,
            starts=ledger.number(brake, brake.path, "shoe_springs"),
        )
    else:
        held = Disc(
            clamping=area * (0.5 if brake.kind == "fixed disc" else 1.0),
            friction=ledger.number(brake, brake.path, "friction"),
            radius=radius,
        )
    return Wheels(axle=brake.axle, count=_count(ledger, brake), brake=held)


class Tyres(Struct, frozen=True, kw_only=True):
    """Rolling radii, mm."""

    front: float
    rear: float


def tyres_of(ledger: Ledger, vehicle: records.Vehicle) -> Tyres:
    """Return the rolling radii; the rear tyres are as in front where nothing is said."""
    front = ledger.number(vehicle, "vehicle", "tyre")
    return Tyres(front=front, rear=known(ledger, vehicle.rear_tyre, front))

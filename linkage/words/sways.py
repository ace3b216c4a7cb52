"""What each number of a design sways: exact derivatives, times how far it may be out.

The pedal is carried through rest, half way and full once, with every length and angle
of the file as a parameter. A *sway* is the greatest change of one quantity over those
three places, to first order.
"""

from collections.abc import Collection, Mapping
from types import MappingProxyType
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.design.records import Cartesian, Design
from linkage.design.values import Value
from linkage.motion.ends import find_limit
from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import Run, move
from linkage.parts.cylinder import CylinderRest
from linkage.parts.lever import LeverRest
from linkage.places import Places
from linkage.quantities import laws
from linkage.quantities.register import ends_in, is_cabled
from linkage.units import BY_NAME, Measure
from linkage.words.names import part_name
from solvers.jet import Jet, lift, seed, value

#: How far an angle may be out that was read off a gauge. Common practice, no source.
GAUGE = np.radians(1.0)
#: What is called no change: mm, deg or of the ratio.
NOTHING = 0.1


class Doubt(Struct, frozen=True, kw_only=True):
    """How far lengths may be out where the file does not say, mm.

    Attributes
    ----------
    tape : float
        Read off a tape in the car.
    metal : float
        Read off a rule on metal.
    guess : float
        Said to be a guess; of a small one a half.
    """

    tape: float
    metal: float
    guess: float


#: In millimetres and in marks of an inch tape. Common practice, no source.
DOUBTS: Mapping[str, Doubt] = MappingProxyType(
    {
        "mm": Doubt(tape=2.0, metal=0.5, guess=5.0),
        "in": Doubt(tape=25.4 / 16, metal=25.4 / 64, guess=25.4 * 3 / 16),
    }
)
#: Places of the travel, in parts of the whole.
_SHARES = np.array([0.0, 0.5, 1.0])
#: The last words of a path that are read off a tape in the car.
_CAR = ("x", "z", "back", "ahead", "up", "down", "tape")
_METAL = ("reach", "along", "rod", "radius", "drum", "depth", "proud")

Array = NDArray[np.float64]


class Sway(Struct, frozen=True, kw_only=True, eq=False):
    """How one quantity follows one number, for what the number may be out.

    Attributes
    ----------
    of : str
        "ratio", "rod angle", "stroke", "rod length", ...
    unit : str
        "1", "mm" or "deg".
    change : float
        The size of its greatest change.
    size : float
        The quantity itself at that place.
    """

    of: str
    unit: str
    change: float
    size: float


class Swayed(Struct, frozen=True, kw_only=True, eq=False):
    """One number, how far it may be out (mm or rad), and what follows."""

    value: Value
    out: float
    sways: tuple[Sway, ...]

    @property
    def felt(self) -> tuple[Sway, ...]:
        """Return what moves by more than nothing, the greatest first."""
        moved = [sway for sway in self.sways if sway.change >= 0.5 * NOTHING]
        return tuple(sorted(moved, key=lambda sway: -sway.change))

    @property
    def weight(self) -> float:
        """How much it matters: 1 is a degree of rod, or 2 % of ratio or stroke.

        A rod's length is left out: it is set on its thread.
        """
        return max((_weight(sway) for sway in self.sways), default=0.0)


def _weight(sway: Sway) -> float:
    if sway.of == "rod angle":
        return sway.change
    if "rod length" in sway.of or not sway.size:
        return 0.0
    return 50.0 * sway.change / abs(sway.size)


def sways(design: Design, pedal: str) -> Mapping[str, Swayed]:
    """Return what every length and angle of a design sways in one pedal, by path.

    Raises
    ------
    DesignError
        As `linkage.motion.rest.at_rest`.
    """
    values = [each for each in design.values.values() if _is_placed(each)]
    slopes = _slopes(design, pedal, values)
    metal = on_metal(design)
    found = {}
    for i, each in enumerate(values):
        out = likely(each, metal, design.units)
        found[each.path] = Swayed(
            value=each,
            out=out,
            sways=tuple(slope.sway(i, out) for slope in slopes),
        )
    return found


def _is_placed(each: Value) -> bool:
    unit = BY_NAME.get(each.unit)
    return unit is not None and unit.measure in (Measure.LENGTH, Measure.ANGLE)


def on_metal(design: Design) -> frozenset[str]:
    """Return the paths of lengths that count from a point of the metal itself."""
    points = list(design.points.values())
    for pedal in design.pedals.values():
        points += pedal.points.values()
        for part in pedal.train:
            points += [getattr(part, name) for name in part.__struct_fields__]
    return frozenset(
        each.path
        for point in points
        if isinstance(point, Cartesian) and point.base is not None
        for each in (point.x, point.z)
    )


def likely(each: Value, metal: Collection[str] = (), units: str = "mm") -> float:
    """Return how far a number may be out, in mm or rad.

    Parameters
    ----------
    each : Value
    metal : collection of str
        Paths of what was measured with a rule on metal; see `on_metal`.
    units : {"mm", "in"}
        Of the file: which tape was laid on.
    """
    if each.give is not None:
        return each.give
    if BY_NAME[each.unit].measure is Measure.ANGLE:
        return float((5.0 if each.guess else 1.0) * GAUGE)
    doubt = DOUBTS[units]
    if each.guess:
        return min(doubt.guess, 0.5 * abs(each.nominal))
    in_car = each.path.rpartition(".")[2] in _CAR and each.path not in metal
    return doubt.tape if in_car else doubt.metal


def readings(found: Mapping[str, Swayed]) -> list[Swayed]:
    """Return what was read off tape, rule or gauge, the weightiest first."""
    read = [
        each
        for path, each in found.items()
        if each.value.line
        and each.value.kind == "fixed"
        and not each.value.guess
        and path.rpartition(".")[2] in (*_CAR, *_METAL, "angle", "axis")
        and ".holes." not in path
    ]
    return sorted(read, key=lambda each: -each.weight)


def on_tape(each: Swayed) -> bool:
    """Return True for a reading off a tape in the car."""
    return each.value.path.rpartition(".")[2] in _CAR


# ------------------------------------------------------------------------- slopes


class Slope(Struct, frozen=True, kw_only=True, eq=False):
    """One quantity at its places: values (n,) and derivatives (k, n)."""

    of: str
    unit: str
    at: Array
    by: Array

    def sway(self, i: int, out: float) -> Sway:
        """Return the sway by parameter ``i``."""
        changes = np.where(np.isnan(self.by[i]), 0.0, np.abs(self.by[i])) * out
        place = int(np.argmax(changes))
        return Sway(
            of=self.of,
            unit=self.unit,
            change=float(changes[place]),
            size=float(np.nan_to_num(self.at[place])),
        )


@np.errstate(divide="ignore", invalid="ignore")  # parts of jets come late
def _slopes(design: Design, pedal: str, values: list[Value]) -> list[Slope]:
    count = len(values)
    seeds = {each.path: seed(each.nominal, i, count) for i, each in enumerate(values)}
    rest = at_rest(Places(design, seeds), design.pedals[pedal])
    along = lift(rest.travel) * (_SHARES * _part(design, pedal))
    run = move(rest, Jet(along.v, 1.0, along.g))
    slopes = [
        _slope(of, unit, jet, count)
        for of, unit, jet in (*_of_motion(rest, run), *_of_rods(rest))
    ]
    return [slope for slope in slopes if slope.by.any()]


def _part(design: Design, pedal: str) -> float:
    """Return how much of the travel there is before a limit."""
    plain = at_rest(Places(design), design.pedals[pedal])
    whole = float(np.ravel(value(plain.travel))[0])
    limit = find_limit(plain, whole)
    return 1.0 if limit is None else 0.9 * limit.travel / whole


def _slope(of: str, unit: str, jet: Jet, count: int) -> Slope:
    factor = 180.0 / np.pi if unit == "deg" else 1.0
    v = np.atleast_1d(np.asarray(jet.v, float)).reshape(-1)
    g: Any = 0.0 if jet.g is None else jet.g
    by = np.broadcast_to(np.asarray(g, float), (count, 1, len(v)))
    return Slope(of=of, unit=unit, at=factor * v, by=factor * by[:, 0, :])


def _of_motion(rest: PedalRest, run: Run) -> list[tuple[str, str, Jet]]:
    end = ends_in(rest.pedal)
    if not end:
        return []
    found: list[tuple[str, str, Jet]] = []
    if end == "cylinder" or is_cabled(rest.pedal.train[-1]):
        found.append(("ratio", "1", laws.ratio(run)))
    if end == "cylinder":
        for part in rest.pedal.train[-1 if rest.bar is None else -2 :]:
            name = f"{part.branch} " if part.branch else ""
            angle, stroke = (
                law(run, part.number) for law in (laws.rod_angle, laws.stroke)
            )
            found.append((f"{name}rod angle", "deg", angle))
            found.append((f"{name}stroke", "mm", stroke))
    elif end == "cable":
        found.append(("cable pull", "mm", laws.cable_pull(run)))
    else:
        name = part_name(rest.pedal, rest.pedal.train[-1])
        found.append((f"{name} turn", "deg", laws.lever_turn(run)))
    return found


def _of_rods(rest: PedalRest) -> list[tuple[str, str, Jet]]:
    rods = []
    for record, part in zip(rest.pedal.train, rest.parts, strict=True):
        if isinstance(part, CylinderRest):
            rods.append((record.branch, lift(part.rod)))
        elif isinstance(part, LeverRest) and part.run is None:
            rods.append(("", lift(part.link)))
    if len(rods) == 1:
        return [("rod length", "mm", rods[0][1])]
    return [
        (f"{branch} rod length" if branch else f"rod length {n}", "mm", rod)
        for n, (branch, rod) in enumerate(rods, 1)
    ]

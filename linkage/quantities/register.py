"""The register of quantities: what a target may name, and what it takes."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from msgspec import Struct

from linkage.design.quantity_names import LOADED, NAMES
from linkage.design.records import Design, Part, Pedal, Target
from linkage.motion.run import Run
from linkage.quantities import laws
from linkage.quantities.branches import branched, of_ends
from linkage.units import Measure
from solvers.jet import Jet


class Quantity(Struct, frozen=True, kw_only=True, eq=False):
    """One quantity.

    Attributes
    ----------
    name : str
        As a target names it: "rod angle".
    by_size : bool
        True where ``least``, ``most`` and ``prefer`` act on the size.
    farthest : bool
        True where over a stretch it is one number: the one farthest from 0, signed.
    law : callable
        (run, target) -> Jet.
    lacks : callable
        (pedal, which) -> why this train has no such quantity, or None.
    wants : callable
        design -> what of the footwell it would need, or None.
    """

    name: str
    law: Callable[[Run, Target], Jet]
    lacks: Callable[[Pedal, str | int | None], str | None]
    by_size: bool = False
    farthest: bool = False
    wants: Callable[[Design], str | None] = lambda _: None

    def missing(self, design: Design, pedal: Pedal, target: Target) -> str | None:
        """Return why a bare pedal of a design has no such quantity, or None."""
        return self.lacks(pedal, target.which) or self.wants(design)

    @property
    def measure(self) -> Measure:
        """What it measures; angles are rad inside, degrees for people."""
        return NAMES[self.name]

    @property
    def unit(self) -> str:
        """Its unit in JSON."""
        return UNITS[self.measure]


UNITS = {
    Measure.LENGTH: "mm",
    Measure.ANGLE: "deg",
    Measure.PURE: "1",
    Measure.PERCENT: "%",
    Measure.FORCE: "N",
    Measure.PRESSURE: "MPa",
    Measure.ACCELERATION: "g0",
}


def is_loaded(target: Target) -> bool:
    """Return True where a target is about a pressed brake, or about such a state."""
    return target.of in LOADED or target.at.state is not None


def ends_in(pedal: Pedal) -> str:
    """Return the kind of the part that ends a train, "" without one."""
    return pedal.train[-1].KIND if pedal.train else ""


def is_cabled(part: Part) -> bool:
    """Return True for a part that a cable drives, or that is one."""
    return part.KIND == "cable" or getattr(part, "cable", None) is not None


def has_drum(part: Part) -> bool:
    """Return True where the cable leaves a drum instead of a hole."""
    run = part if part.KIND == "cable" else getattr(part, "cable", None)
    return getattr(run, "drum", None) is not None


def rod_into_lever(part: Part) -> bool:
    """Return True for a lever that a rod drives."""
    return part.KIND == "lever" and not is_cabled(part)


def _stray(pedal: Pedal, which: str | int | None) -> str | None:
    """Return why ``which`` names no rod or cable, or None."""
    if which is None or branched(pedal, which):
        return None
    if isinstance(which, str):
        return f'it has no branch "{which}"'
    count = len(pedal.train)
    return None if 1 <= which <= count else _has_links(count)


def _has_links(count: int) -> str:
    return "it has 1 rod or cable" if count == 1 else f"it has {count} rods and cables"


def _lacks_cylinder(pedal: Pedal, which: str | int | None) -> str | None:
    if pedal.bar is not None:
        return None if which is None or branched(pedal, which) else _stray(pedal, which)
    if which is not None and which != len(pedal.train):
        return _stray(pedal, which) or "only the cylinder's own rod has one"
    return None if ends_in(pedal) == "cylinder" else "its train ends in no cylinder"


def _lacks_ratio(pedal: Pedal, which: str | int | None) -> str | None:
    if not pedal.train:
        return "it has no train"
    if branched(pedal, which):
        return None
    if which is not None and which != len(pedal.train):
        return _stray(pedal, which) or "the ratio is that of the whole train"
    if rod_into_lever(pedal.train[-1]):
        return "its train ends in a lever: ask for lever turn"
    return None


def _lacks_link(pedal: Pedal, which: str | int | None) -> str | None:
    if not pedal.train:
        return "it has no train"
    part = _counted(pedal.train, branched(pedal, which) or which)
    if part is None:
        return _has_links(len(pedal.train))
    return "its cable leaves a drum, not a hole" if has_drum(part) else None


def _lacks_transmission(pedal: Pedal, which: str | int | None) -> str | None:
    if which is not None:
        part = _counted(pedal.train, which)
        if part is not None and rod_into_lever(part):
            return None
        return f"number {which} is no rod into a lever"
    if any(rod_into_lever(part) for part in pedal.train):
        return None
    return "no rod drives a lever in it"


def _lacks_lever(pedal: Pedal, which: str | int | None) -> str | None:
    levers = tuple(p for p in pedal.train if p.KIND in laws.LEVERS)
    if not levers:
        return "it has no lever"
    has = "1 lever" if len(levers) == 1 else f"{len(levers)} levers"
    return None if _counted(levers, which) else f"it has {has}"


def _lacks_cable(pedal: Pedal, which: str | int | None) -> str | None:
    stray = _stray(pedal, which)
    if stray:
        return stray
    return None if any(map(is_cabled, pedal.train)) else "it has no cable"


def _lacks_nothing(pedal: Pedal, which: str | int | None) -> str | None:
    return _stray(pedal, which)


def _lacks_none(_: Pedal, __: str | int | None) -> None:
    """Of a pressed brake the file as a whole tells: see `linkage.quantities.loaded`."""


def _wants_floor(design: Design) -> str | None:
    if design.footwell.floor is not None:
        return None
    return "the file has no floor: write [footwell] and floor = 0, say"


def _wants_surroundings(design: Design) -> str | None:
    footwell = design.footwell
    if footwell.floor is not None or footwell.bulkhead is not None or footwell.fixed:
        return None
    return "the file has nothing to keep clear of: no floor, bulkhead or fixed thing"


def _counted(parts: tuple[Part, ...], which: str | int | None) -> Part | None:
    if which is None:
        return parts[-1]
    if isinstance(which, int) and 1 <= which <= len(parts):
        return parts[which - 1]
    return None


def _crank(run: Run, target: Target) -> Jet:
    """Return the angle at a hole; of a bar's own two rods as of its ends."""
    if target.which is None and run.rest.bar is not None:
        return of_ends(laws.crank_angle)(run, target)
    return laws.crank_angle(run, _number(run, target))


def _number(run: Run, target: Target) -> int | None:
    """Return the number of the link that a target is about; None for the last."""
    if isinstance(target.which, int):
        return target.which
    return branched(run.rest.pedal, target.which) if target.which else None


QUANTITIES: Mapping[str, Quantity] = MappingProxyType(
    {
        quantity.name: quantity
        for quantity in (
            Quantity(
                name="stroke",
                law=of_ends(laws.stroke),
                lacks=_lacks_cylinder,
            ),
            Quantity(
                name="ratio",
                law=of_ends(laws.ratio),
                lacks=_lacks_ratio,
            ),
            Quantity(
                name="mean ratio",
                law=of_ends(laws.mean_ratio),
                lacks=_lacks_ratio,
            ),
            Quantity(
                name="ratio change",
                farthest=True,
                law=of_ends(laws.ratio_change),
                lacks=_lacks_ratio,
            ),
            Quantity(
                name="rod angle",
                by_size=True,
                law=of_ends(laws.rod_angle, by_size=True),
                lacks=_lacks_cylinder,
            ),
            Quantity(
                name="crank angle",
                law=_crank,
                lacks=_lacks_link,
            ),
            Quantity(
                name="transmission angle",
                law=lambda run, target: laws.transmission_angle(
                    run, _number(run, target)
                ),
                lacks=_lacks_transmission,
            ),
            Quantity(
                name="lever turn",
                law=lambda run, target: laws.lever_turn(run, _number(run, target)),
                lacks=_lacks_lever,
            ),
            Quantity(
                name="cable pull",
                law=lambda run, _: laws.cable_pull(run),
                lacks=_lacks_cable,
            ),
            Quantity(
                name="distance",
                law=lambda run, target: laws.distance(run, target.between),
                lacks=_lacks_nothing,
            ),
            Quantity(
                name="angle",
                law=lambda run, target: laws.corner(run, target.between),
                lacks=_lacks_nothing,
            ),
            Quantity(
                name="clearance",
                law=lambda run, _: laws.clearance(run),
                lacks=_lacks_nothing,
                wants=_wants_surroundings,
            ),
            Quantity(
                name="pad height",
                law=lambda run, _: laws.pad_height(run),
                lacks=_lacks_nothing,
                wants=_wants_floor,
            ),
            *(
                Quantity(name=name, law=laws.untold, lacks=_lacks_none)
                for name in LOADED
            ),
        )
    }
)


class Column(Struct, frozen=True, kw_only=True, eq=False):
    """One column of a sweep: name, JSON unit, and what fills it (rad for deg).

    ``from_rest`` is True for what counts from rest: it is 0 there by its definition,
    whatever a turn worked out from two places leaves of it.
    """

    name: str
    unit: str
    law: Callable[[Run], Jet]
    from_rest: bool = False


def columns(pedal: Pedal) -> tuple[Column, ...]:
    """Return the columns that a pedal's train has, in order."""
    found = [
        Column(name="travel", unit="mm", law=lambda run: run.travel),
        Column(name="arm_angle", unit="deg", law=laws.arm_angle),
    ]
    if not pedal.train:
        return tuple(found)
    return tuple(found + _end_columns(pedal) + _link_columns(pedal) + _turns(pedal))


def _end_columns(pedal: Pedal) -> list[Column]:
    last = pedal.train[-1]
    ratio = Column(name="ratio", unit="1", law=laws.ratio)
    if pedal.bar is not None:
        return [ratio, *(each for p in pedal.train[-2:] for each in _of_branch(p))]
    if last.KIND == "cylinder":
        found = [
            Column(name="stroke", unit="mm", law=laws.stroke),
            ratio,
            Column(name="rod_angle", unit="deg", law=laws.rod_angle),
        ]
    elif is_cabled(last):
        found = [Column(name="cable_pull", unit="mm", law=laws.cable_pull), ratio]
    else:
        found = [
            Column(name="lever_turn", unit="deg", law=laws.lever_turn, from_rest=True),
            Column(name="lever_rate", unit="deg/mm", law=laws.lever_rate),
        ]
    if not has_drum(last):
        found.append(Column(name="crank_angle", unit="deg", law=laws.crank_angle))
    return found


def _of_branch(part: Part) -> list[Column]:
    """Return the columns of one cylinder on a bar."""
    n = part.number
    laws_of: tuple[tuple[str, str, Callable[[Run, int], Jet]], ...] = (
        ("stroke", "mm", laws.stroke),
        ("ratio", "1", laws.ratio),
        ("rod_angle", "deg", laws.rod_angle),
        ("crank_angle", "deg", laws.crank_angle),
    )
    return [
        Column(
            name=f"{part.branch}_{name}",
            unit=unit,
            law=lambda run, law=law: law(run, n),  # type: ignore[misc]
        )
        for name, unit, law in laws_of
    ]


def _link_columns(pedal: Pedal) -> list[Column]:
    found = []
    for n, part in enumerate(pedal.train, 1):
        if part.branch:
            continue
        if n < len(pedal.train) and not has_drum(part):
            found.append(
                Column(
                    name=f"crank_{n}_angle",
                    unit="deg",
                    law=lambda run, n=n: laws.crank_angle(run, n),  # type: ignore[misc]
                )
            )
        if rod_into_lever(part):
            found.append(
                Column(
                    name=f"transmission_{n}_angle",
                    unit="deg",
                    law=lambda run, n=n: laws.transmission_angle(run, n),  # type: ignore[misc]
                )
            )
    return found


def _turns(pedal: Pedal) -> list[Column]:
    kinds = [part.KIND for part in pedal.train]
    found = []
    for index, kind in enumerate(kinds):
        if kind not in laws.LEVERS:
            continue
        count = kinds[: index + 1].count(kind)
        number = f"_{count}" if kinds.count(kind) > 1 else ""
        name = f"{kind}{number}_turn"
        if name == "lever_turn" and rod_into_lever(pedal.train[-1]):
            continue  # already there: it ends the train
        found.append(
            Column(
                name=name,
                unit="deg",
                law=lambda run, index=index: laws.turn_of(run, index),  # type: ignore[misc]
                from_rest=True,
            )
        )
    return found

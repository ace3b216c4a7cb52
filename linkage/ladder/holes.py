"""Holes of an arm that may drive the rod: those of the file, or steps along the arm.

A hole is told by its distance from the pivot. Steps and stated distances lie on the line
from the pivot through the present hole, so a hole nearer the pivot gives a higher ratio.
"""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from linkage.design.grammar import read_number
from linkage.design.records import Chosen, Design, Pedal, Same
from linkage.design.terms import Misread
from linkage.faults import DesignError, Fault
from linkage.motion.rest import PedalRest
from linkage.units import INCH, Measure
from solvers.jet import value

#: mm between holes that nobody stated, in a file in mm and in one in inches (common
#: practice, no source: nearer ones would leave no metal between them); how many each way.
STEPS, EACH_WAY = {"mm": 3.0, "in": float(INCH / 8)}, 2
#: mm; holes nearer than this are the same.
SAME = 1e-6
#: mm; no hole lies nearer the pivot than two bores leave metal for.
NEAREST = 12.0


class Hole(Struct, frozen=True, kw_only=True, eq=False):
    """One hole: its name in the file or "", its place and distance from the pivot, mm."""

    name: str
    at: complex
    reach: float
    present: bool


def holes_of(
    design: Design, rest: PedalRest, stated: Sequence[str] = ()
) -> tuple[Hole, ...]:
    """Return the holes of a pedal, the nearest to its pivot first.

    Parameters
    ----------
    stated : sequence of str
        Names of the file's holes, or distances from the pivot ("57", "2 1/4 in"); none:
        the file's holes where it names several, else steps along the arm each way. The
        present one is always among them.

    Raises
    ------
    DesignError
        What is neither a name nor a distance that an arm can have.
    """
    pedal = rest.pedal
    pivot = complex(value(rest.pivot))
    here = complex(value(rest.places.point(f"{pedal.name}.clevis")))
    names = _names(pedal)
    found = [_hole(_present_name(rest, names), here, pivot, here)]
    if stated:
        found += _stated(design, rest, stated, here)
    elif len(names) > 1:
        found += [_named(rest, name, here) for name in names]
    else:
        found += _steps(design, pivot, here)
    kept: list[Hole] = []
    for each in found:
        if all(abs(each.at - other.at) > SAME for other in kept):
            kept.append(each)
    return tuple(sorted(kept, key=lambda each: each.reach))


def _names(pedal: Pedal) -> list[str]:
    """Return the names of holes, and not of what lies on the pivot."""
    heads = (key.partition("holes.") for key in pedal.points)
    return [name for _, head, name in heads if head]


def _present_name(rest: PedalRest, names: Sequence[str]) -> str:
    """Return the name of the hole that drives the rod, where it has one."""
    point = rest.pedal.points["clevis"]
    base = ""
    if isinstance(point, Same):
        base = point.base
    elif isinstance(point, Chosen):
        base = rest.places.chosen(point)
    name = base.partition(".holes.")[2]
    return name if name in names else ""


def _hole(name: str, at: complex, pivot: complex, here: complex) -> Hole:
    return Hole(name=name, at=at, reach=abs(at - pivot), present=abs(at - here) <= SAME)


def _named(rest: PedalRest, name: str, here: complex) -> Hole:
    at = complex(value(rest.places.point(f"{rest.pedal.name}.holes.{name}")))
    return _hole(name, at, complex(value(rest.pivot)), here)


def _steps(design: Design, pivot: complex, here: complex) -> Iterator[Hole]:
    along = (here - pivot) / abs(here - pivot)
    for n in range(-EACH_WAY, EACH_WAY + 1):
        at = here + n * STEPS[design.units] * along
        if abs(here - pivot) + n * STEPS[design.units] >= NEAREST:
            yield _hole("", at, pivot, here)


def _stated(
    design: Design, rest: PedalRest, stated: Sequence[str], here: complex
) -> list[Hole]:
    pivot, names = complex(value(rest.pivot)), _names(rest.pedal)
    along = (here - pivot) / abs(here - pivot)
    longest = abs(complex(value(rest.pad)) - pivot)
    found, faults = [], []
    for text in stated:
        if text in names:
            found.append(_named(rest, text, here))
            continue
        try:
            reach = read_number(text, Measure.LENGTH, design.units)
        except Misread as misread:
            right = f"Write {', '.join(names)}, or " if names else "Write "
            right += "a distance from the pivot: --hole 57."
            faults.append(_fault(design, f'"{text[:40]}": {misread.wrong}', right))
            continue
        if reach.kind != "fixed" or not NEAREST <= reach.nominal <= longest:
            wrong = f'"{text[:40]}" is no distance of a hole from this pivot.'
            right = f"Write one from {NEAREST:g} to {longest:.0f} mm (the pad's)."
            faults.append(_fault(design, wrong, right))
            continue
        found.append(_hole("", pivot + reach.nominal * along, pivot, here))
    if faults:
        raise DesignError(faults)
    return found


def _fault(design: Design, wrong: str, right: str) -> Fault:
    return Fault(file=design.file, key="--hole", wrong=wrong, right=right)

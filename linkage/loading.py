"""Load a design file with every part that this program knows."""

import math
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import numpy as np

from linkage.design.read import read_file, read_text
from linkage.design.records import Design, Pedal
from linkage.design.targets import beyond_stop
from linkage.faults import DesignError, Fault
from linkage.motion.lie import APART, line_faults
from linkage.motion.rest import arc_to_stop
from linkage.parts import KINDS
from linkage.places import Places, sense_of
from linkage.units import BY_NAME, into, out_of
from solvers.jet import value


def load(path: str | Path) -> Design:
    """Read a design file.

    Raises
    ------
    DesignError
        With every fault of the file.
    """
    return _with_lines(read_file(path, KINDS))


def load_text(text: str, file: str = "text") -> Design:
    """Read a design from its text; ``file`` names it in messages.

    Raises
    ------
    DesignError
        With every fault of the text.
    """
    return _with_lines(read_text(text, file, KINDS))


def _with_lines(design: Design) -> Design:
    """Return a design whose lines have a length, and whose springs can be.

    Raises
    ------
    DesignError
    """
    if faults := list(line_faults(design)):
        raise DesignError([*faults, *_points_not_lines(design)])
    faults = [
        *_points_not_lines(design),
        *_no_springs(design),
        *_beyond_stops(design),
    ]
    if faults:
        raise DesignError(faults)
    return design


def _no_springs(design: Design) -> Iterator[Fault]:
    """Say which springs cannot be, as the pedals rest."""
    if not any(pedal.springs for pedal in design.pedals.values()):
        return
    from linkage.loads.springs import spring_faults

    places = Places(design)
    for pedal in design.pedals.values():
        yield from spring_faults(places, pedal)


def _beyond_stops(design: Design) -> Iterator[Fault]:
    """Say which targets lie beyond a full stop that was measured across its arc.

    What is still free may put it farther off: then it is for the search to say.
    """
    if design.choices or any(each.kind != "fixed" for each in design.values.values()):
        return
    places = Places(design)
    for pedal in design.pedals.values():
        for target in pedal.targets:
            if pedal.full.how == "travel" or target.at.share:
                continue
            travel = _travel(places, pedal)
            if not target.at.is_beyond(travel):
                continue
            unit = pedal.full.value.unit
            hundredths = math.floor(100.0 * out_of(travel, unit))
            most = into(Fraction(hundredths, 100), BY_NAME[unit])
            wrong, right = beyond_stop(target.at.text, most, unit)
            yield Fault(
                file=design.file, line=target.line, key="at", wrong=wrong, right=right
            )


def _travel(places: Places, pedal: Pedal) -> float:
    """Return the arc of a pedal's pad to its full stop, mm; nan where there is none."""
    pivot = complex(value(places.point(f"{pedal.name}.pivot")))
    reach = complex(value(places.point(f"{pedal.name}.pad"))) - pivot
    sense = sense_of(pedal, reach)
    with np.errstate(divide="ignore", invalid="ignore"):
        arc = arc_to_stop(places, pedal.full, pivot, reach, abs(reach), sense)
    return float(value(arc))


def _points_not_lines(design: Design) -> Iterator[Fault]:
    places = Places(design)
    for key, example in (
        ("floor", "[[0, 20], [300, 60]]"),
        ("bulkhead", "[[400, 0], [380, 600]]"),
    ):
        ends = getattr(design.footwell, key)
        if not isinstance(ends, tuple):
            continue
        a, b = (complex(value(places.form(end))) for end in ends)
        if abs(a - b) < APART:
            yield Fault(
                file=design.file,
                line=ends[0].line,
                key=f"footwell.{key}",
                wrong="its two points are one, and one point gives no line.",
                right=f"Write {key} = {example}, say, or one number.",
            )

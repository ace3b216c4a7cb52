"""Load a design file with every part that this program knows."""

from collections.abc import Iterator
from pathlib import Path

from linkage.design.read import read_file, read_text
from linkage.design.records import Design
from linkage.faults import DesignError, Fault
from linkage.parts import KINDS
from linkage.places import Places
from solvers.jet import value

#: mm; points that lie nearer to each other give no line between them.
_APART = 1e-6


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
    """Return a design whose floor and bulkhead are lines, and whose springs can be.

    Raises
    ------
    DesignError
    """
    faults = [*_points_not_lines(design), *_no_springs(design)]
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
        if abs(a - b) < _APART:
            yield Fault(
                file=design.file,
                line=ends[0].line,
                key=f"footwell.{key}",
                wrong="its two points are one, and one point gives no line.",
                right=f"Write {key} = {example}, say, or one number.",
            )

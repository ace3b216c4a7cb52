"""What the places of a design leave unsaid: lines of no length, sides that do not fit.

A line between two named points has to have a length, and the word for a side of it has
to fit how it lies: above or below (up, down) where it is nearer level, ahead or back
where it is steeper. Near 45 degrees either will do. It is looked at as the file is
read, each free number at its near or its middle.
"""

from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from linkage.design.circles import points_of
from linkage.design.records import (
    Design,
    OffString,
    Part,
    Point,
    Polar,
    SideReach,
)
from linkage.faults import Fault
from linkage.places import Places, driving_hole
from linkage.units import trim
from solvers.jet import value

#: mm; points that lie nearer to each other give no line between them.
APART = 1e-6
#: A line nearer to 45 degrees than this takes either pair of words, deg.
EITHER = 15.0


class _Named(Struct, frozen=True, kw_only=True, eq=False):
    """One point of a design: its canonical name, its form, and its part, if any."""

    name: str
    point: Point
    part: Part | None = None

    @property
    def key(self) -> str:
        """What people call it: "clevis", "holes.lower", "train 2: input"."""
        head, _, rest = self.name.partition(".")
        if self.part is None:
            return self.name if head == "point" else rest
        label = self.part.label
        return f"{label.replace('.', ' ')}: {rest.removeprefix(f'{label}.')}"


def line_faults(design: Design) -> Iterator[Fault]:
    """Yield a fault for each line without a length, or with its input upon it."""
    with np.errstate(divide="ignore", invalid="ignore"):
        places = Places(design)
        for each in _every(design):
            for names, line in _lines(places, each):
                yield from _no_line(places, each, line, *names)
            yield from _on_line(places, each)


def side_faults(design: Design) -> Iterator[Fault]:
    """Yield a fault for each word that does not fit how its line lies."""
    with np.errstate(divide="ignore", invalid="ignore"):
        places = Places(design)
        for each in _every(design):
            word, upright = _word(each)
            for _, line in _lines(places, each):
                yield from _no_side(places, each, line, word, upright)


def _every(design: Design) -> Iterator[_Named]:
    for name, point in design.points.items():
        yield _Named(name=f"point.{name}", point=point)
    for pedal in design.pedals.values():
        for name, point in pedal.points.items():
            yield _Named(name=f"{pedal.name}.{name}", point=point)
        for part in pedal.train:
            for key, point in points_of(part).items():
                yield _Named(name=f"{part.path}.{key}", point=point, part=part)


Ends = tuple[str, str]


def _lines(places: Places, each: _Named) -> Iterator[tuple[Ends, complex]]:
    """Yield each line that a point is given by: its ends, and from one to the other."""
    for ends in _ends(each):
        yield ends, _between(places, *ends)


def _ends(each: _Named) -> Iterator[Ends]:
    match each.point:
        case OffString(start=start, end=end):
            yield start, end
        case Polar(base=base, off=str(off)):
            yield base, off
    if _has_rod(each) and each.part is not None:
        yield f"{each.part.path}.pivot", driving_hole(each.part)


def _has_rod(each: _Named) -> bool:
    """Return True for an input that a rod of known length drives: it lies to a side."""
    part = each.part
    own = part is not None and each.name == f"{part.path}.input"
    return own and getattr(part, "rod", None) is not None


def _word(each: _Named) -> tuple[str, Ends]:
    """Return the word for a side that a point is given by, "" for none."""
    match each.point:
        case OffString(across=across, word=word) if across is not None:
            return word, _UPRIGHT
        case SideReach(side=side):
            return side, _ABOVE
    return "", _UPRIGHT


def _on_line(places: Places, each: _Named) -> Iterator[Fault]:
    """Say so of a typed input on the line that it should lie to one side of."""
    if not _has_rod(each) or each.part is None or isinstance(each.point, SideReach):
        return
    own = f"{each.part.path}.pivot"
    line = _between(places, own, driving_hole(each.part))
    arm = complex(np.ravel(value(places.form(each.point) - places.point(own)))[0])
    if not min(abs(line), abs(arm)) >= APART:
        return
    if abs((arm * line.conjugate()).imag) < APART * abs(line):
        reach = trim(abs(arm), 2)
        fit = _ABOVE if abs(line.imag) <= abs(line.real) else _LEVEL
        yield _fault(
            places,
            each,
            "it lies on the line from its own pivot to the driving hole, so the point "
            "does not say which side is meant.",
            f'Write side: {{ from = "own pivot", reach = {reach}, side = "{fit[1]}" }} '
            f'or "{fit[0]}".',
        )


def _between(places: Places, start: str, end: str) -> complex:
    return complex(np.ravel(value(places.point(end)) - value(places.point(start)))[0])


def _no_line(
    places: Places, each: _Named, line: complex, start: str, end: str
) -> Iterator[Fault]:
    if not abs(line) < APART:
        return
    names = " and ".join(_short(name, each) for name in (start, end))
    wrong = f"{names} are the same place, and give no line."
    yield _fault(places, each, wrong, "Name two points that lie apart.")


#: The words for the sides of a line nearer level; the others are for a steeper one.
_UPRIGHT, _ABOVE = ("up", "down"), ("above", "below")
_LEVEL = ("ahead", "back")


def _no_side(
    places: Places, each: _Named, line: complex, word: str, upright: Ends
) -> Iterator[Fault]:
    steep = float(np.degrees(np.arctan2(abs(line.imag), abs(line.real))))
    if not word or not abs(line) >= APART or abs(steep - 45.0) <= EITHER:
        return
    fit = upright if steep < 45.0 else _LEVEL
    if word in fit:
        return
    lies = "nearer level" if steep < 45.0 else "nearer upright"
    wrong = f"the line lies {lies}, so {word} does not say which side of it is meant."
    yield _fault(places, each, wrong, f"Write {fit[0]} or {fit[1]}.")


def _short(name: str, each: _Named) -> str:
    """Return a canonical name as the file may write it beside a point."""
    if name.startswith("point."):
        return name.removeprefix("point.")
    own = "" if each.part is None else f"{each.part.path}."
    if own and name.startswith(own):
        return f"own {name.removeprefix(own)}"
    pedal = each.name.partition(".")[0]
    return name.removeprefix(f"{pedal}.").removeprefix("holes.")


def _fault(places: Places, each: _Named, wrong: str, right: str) -> Fault:
    return Fault(
        file=places.design.file,
        line=each.point.line,
        key=each.key,
        wrong=wrong,
        right=right,
    )

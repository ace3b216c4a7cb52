"""From the records of a design to places in numbers, with the pedal at rest.

A point is complex, x + iz, in mm. Every number may be a plain float, an array over
layouts (shape (n, 1)) or a jet, so that one pedal and a hundred thousand candidates,
with or without derivatives, come through the same lines.
"""

from collections.abc import Mapping
from typing import Any

import numpy as np

from linkage.design.records import (
    Cartesian,
    Chosen,
    Design,
    Direction,
    OffString,
    Part,
    Pedal,
    Point,
    Polar,
    Same,
    SideReach,
)
from linkage.design.values import Value
from linkage.faults import DesignError, Fault
from solvers.jet import Jet, Num, value
from solvers.planar import length, unit
from solvers.swing import swing

NOTHING: Mapping[str, Any] = {}


class Places:
    """Where everything is at rest, for one assignment of the free values.

    Parameters
    ----------
    design : Design
        What was read.
    values : mapping of str to number, array or jet
        By path of the value, in internal units; what is missing has its nominal.
    choices : mapping of str to str
        By path of a choice of names: the name chosen, as written.
    """

    def __init__(
        self,
        design: Design,
        values: Mapping[str, Num] = NOTHING,
        choices: Mapping[str, str] = NOTHING,
    ) -> None:
        self.design = design
        self._values = values
        self._choices = choices
        self._known: dict[str, Num] = {}
        self._open: list[str] = []

    @property
    def many(self) -> bool:
        """Return True where some numbers are arrays: more layouts than one."""
        return any(np.ndim(value(each)) for each in self._values.values())

    def moved(self, values: Mapping[str, Num]) -> "Places":
        """Return the places with some values at other numbers."""
        return Places(self.design, {**self._values, **values}, self._choices)

    def number(self, number: Value | None, default: float = 0.0) -> Num:
        """Return the number that stands for ``number`` here."""
        if number is None:
            return default
        return self._values.get(number.path, number.nominal)

    def heading(self, direction: Direction) -> Num:
        """Return the unit vector of a direction."""
        if direction.value is None:
            return _right_angle(direction.base)
        return unit(direction.base + direction.sign * self.number(direction.value))

    def knows(self, name: str) -> bool:
        """Return whether a point was worked out already."""
        return name in self._known

    def point(self, name: str) -> Num:
        """Return the point of a canonical name.

        Raises
        ------
        DesignError
            Where a point is counted from itself, by whatever way round.
        """
        if name not in self._known:
            if name in self._open:
                round_trip = " -> ".join([*self._open[self._open.index(name) :], name])
                raise DesignError(
                    [
                        Fault(
                            file=self.design.file,
                            key=name,
                            wrong=f"is counted from itself: {round_trip}.",
                            right="Give one of them from a fixed mark.",
                        )
                    ]
                )
            self._open.append(name)
            try:
                self._known[name] = _plain(self._find(name))
            finally:
                self._open.pop()
        return self._known[name]

    def _find(self, name: str) -> Num:
        pedal, _, rest = name.partition(".")
        if pedal == "point":
            return self.form(self.design.points[rest])
        owner = self.design.pedals[pedal]
        if rest in owner.points:
            return self.form(owner.points[rest])
        part = owner.part_of(rest)
        return self._part_point(part, rest.removeprefix(f"{part.label}."))

    def _part_point(self, part: Part, key: str) -> Num:
        return part.place(self, key)

    def form(self, point: Point) -> Num:
        """Return where a form of a point lies (a driven input asks its part)."""
        match point:
            case Cartesian(x=x, z=z):
                here = point.x_sign * self.number(x) + (
                    1j * point.z_sign
                ) * self.number(z)
                return here if point.base is None else self.point(point.base) + here
            case Polar():
                return self._polar(point)
            case OffString():
                return self._off_string(point)
            case Same(base=base):
                return self.point(base)
            case Chosen():
                return self.point(self.chosen(point))
            case SideReach():
                raise TypeError("a side needs its own pivot and driving hole")

    def chosen(self, point: Chosen) -> str:
        """Return the canonical name of the point that a choice comes to here."""
        name = self._choices.get(point.path, point.names[0])
        return point.options[point.names.index(name)]

    def _polar(self, point: Polar) -> Num:
        base = self.point(point.base)
        heading = self.heading(point.angle)
        if point.off is not None:
            heading = heading * _along(self.point(point.off) - base)
        return base + heading * self.number(point.reach)

    def _off_string(self, point: OffString) -> Num:
        start = self.point(point.start)
        line = _along(self.point(point.end) - start)
        here = start + line * self.number(point.along)
        if point.across is None:
            return here
        return here + line * (1j * side(line, point.word)) * self.number(point.across)

    def driven(self, part: Part, given: Point, rod: Value | None) -> Num:
        """Return the input of a rod-driven part: the rod, where given, wins.

        ``given`` then says only how far the input is from its own pivot, and which of
        the two places is meant.
        """
        if rod is None:
            return self.form(given)
        pivot = self.point(f"{part.path}.pivot")
        line = self.point(driving_hole(part)) - pivot
        if isinstance(given, SideReach):
            word = {"above": "up", "below": "down"}.get(given.side, given.side)
            reach = self.number(given.reach)
            sign = side(line, word)
        else:
            arm = self.form(given) - pivot
            reach = length(arm)
            sign = left_of(arm, line)
        held = swing(line, reach, self.number(rod), sign)
        if not any(isinstance(each, Jet) for each in (line, reach, self.number(rod))):
            return pivot + held.arm
        # The arm's place is plain numbers; its derivatives are those of its turn.
        turned = unit(Jet.later(0.0, held.turn))
        return pivot + turned * (held.arm / value(reach)) * reach


@np.errstate(divide="ignore", invalid="ignore")
def _along(line: Num) -> Num:
    """Return the unit vector along a line; nan where it has no length."""
    return line / length(line)


def _plain(point: Num) -> Num:
    """Return a lone point so that dividing by zero gives nan, not an exception."""
    return np.complex128(point) if isinstance(point, complex) else point


def driving_hole(part: Part) -> str:
    """Return the canonical name of the hole that drives a part."""
    if part.behind == 0:
        return f"{part.pedal}.clevis"
    return f"{part.pedal}.train.{part.behind}.output"


def side(line: Num, word: str) -> Any:
    """Return +1 where the left of ``line`` is the side that ``word`` names, else -1."""
    left = 1j * value(line)
    if word in ("up", "down"):
        sign = np.where(left.imag >= 0.0, 1.0, -1.0)
    else:
        sign = np.where(left.real >= 0.0, 1.0, -1.0)
    return sign if word in ("ahead", "up") else -sign


def left_of(arm: Num, line: Num) -> Any:
    """Return +1 where ``arm`` lies to the left of ``line``, -1 to the right, 0 on it."""
    return np.sign((np.conj(value(line)) * value(arm)).imag)


def sense_of(pedal: Pedal, reach: Any) -> Any:
    """Return +1 where pressing turns the arm anticlockwise, -1 clockwise.

    Parameters
    ----------
    pedal : Pedal
    reach : complex or ndarray
        From the pivot to the pad.
    """
    motion = 1j * np.asarray(value(reach))
    if pedal.press == "up":
        return np.where(motion.imag >= 0.0, 1.0, -1.0)
    if pedal.press == "down":
        return np.where(motion.imag <= 0.0, 1.0, -1.0)
    return np.where(motion.real >= 0.0, 1.0, -1.0)


def _right_angle(base: float) -> complex:
    """Return exp(i base), exact for the four plain words."""
    quarter = base / (0.5 * np.pi)
    if quarter == round(quarter):
        return (1 + 0j, 1j, -1 + 0j, -1j)[round(quarter) % 4]
    return complex(np.cos(base), np.sin(base))

"""In which steps a moved number is written, and which round ones catch it.

Three steps for each unit: the one that catches, the one that is written where nothing
catches, and the finest, for places that are asked for exactly.
"""

from enum import Enum
from fractions import Fraction

from msgspec import Struct

from linkage.design.fill import step
from linkage.design.spelling import numeral, on_tape, written
from linkage.design.values import Value
from linkage.page.aims import Aim
from linkage.units import BY_NAME, Measure, into

#: mm: the catching and the coarse step of millimetres, and of inches.
_METRIC = (Fraction(1), Fraction(1, 10))
_INCH = (Fraction("25.4") / 16, Fraction("25.4") / 200)
_DEGREES = (Fraction(1), Fraction(1, 10))
_PURE = (Fraction(1, 10), Fraction(1, 100))
#: mm; on a longer arm a tenth of a degree is too coarse.
_LONG = 100.0
#: Numbers nearer than this are one.
_NOISE = 1e-9


class Fineness(Enum):
    """How closely a wanted number is kept to."""

    DRAGGED = "dragged"  # caught by round numbers, else in coarse steps
    EXACT = "exact"  # to the finest step


class Move(Struct, frozen=True, kw_only=True, eq=False):
    """A value and its new number.

    Attributes
    ----------
    value : Value
    text : str
        The number as it will be written, in the unit of the value.
    number : float
        What a reader will find there, internal units.
    """

    value: Value
    text: str
    number: float


def settle(aim: Aim, now: float, near: float, fineness: Fineness) -> Move | None:
    """Return the number that is written for an aim; None where it stays.

    Parameters
    ----------
    aim : Aim
    now : float
        Its number so far, internal units.
    near : float
        How far round numbers (and the number so far) catch, mm at the point.
    fineness : Fineness
    """
    value = aim.value
    if value.kind == "choice":
        return _picked(aim, now)
    wanted = aim.number
    if abs(wanted - now) <= _NOISE * max(1.0, abs(now)):
        return None
    if fineness is Fineness.EXACT:
        return _kept(value, wanted, now, step(value.unit))
    catching, coarse = _steps(value, aim.lever)
    caught = _move(value, written(value, wanted, catching))
    gaps = {
        far: each
        for each, number in ((caught, caught.number), (None, now))
        if (far := abs(number - wanted) * aim.lever) <= near
    }
    if gaps:
        return gaps[min(gaps)]
    return _kept(value, wanted, now, coarse)


def _kept(value: Value, wanted: float, now: float, size: Fraction) -> Move | None:
    """Return the number in steps of ``size``; None where that is no move at all."""
    half = into(size / 2, BY_NAME.get(value.unit))
    if abs(wanted - now) < half * (1.0 - _NOISE):
        return None
    move = _move(value, written(value, wanted, size))
    return None if abs(move.number - now) <= _NOISE else move


def _move(value: Value, text: str) -> Move:
    text = on_tape(value, text)
    number = into(numeral(text), BY_NAME.get(value.unit))
    return Move(value=value, text=text, number=number)


def _picked(aim: Aim, now: float) -> Move | None:
    """Return the nearest member of a choice."""
    options = aim.value.options
    nearest = min(options, key=lambda each: abs(each - aim.number))
    if nearest == now:
        return None
    text = aim.value.spelt[options.index(nearest)]
    return Move(value=aim.value, text=text, number=nearest)


def _steps(value: Value, lever: float) -> tuple[Fraction, Fraction]:
    """Return the catching and the coarse step, in the unit of the value."""
    unit = BY_NAME.get(value.unit)
    if unit is None:
        return _PURE
    if unit.measure is Measure.ANGLE:
        return (_DEGREES[0], step("deg")) if lever > _LONG else _DEGREES
    if unit.measure is not Measure.LENGTH:
        return _PURE
    catching, coarse = _INCH if value.unit in ("in", "ft") else _METRIC
    factor = Fraction(unit.factor)
    return catching / factor, coarse / factor

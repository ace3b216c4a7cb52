"""What a point at a wanted place asks of the numbers it is given by.

The reverse of `linkage.places`: an *aim* is a value and the number that would put the
point there, unrounded and unclamped. Where the form has less freedom than a plane (an
arm's length, a stop on an arc) the aim gives the nearest place that it can have.

A point is complex, x + 1j z, mm. Besides the points of the file there are some for
handles: ``brake.full``, the pad's place at the end of its travel;
``brake.train.1.axis``, a place on the axis ahead of the cylinder; ``footwell.floor``
and ``footwell.bulkhead``, a place on a level or upright line, below or before the pad,
and ``footwell.floor.1``, an end of one that is drawn from two points.
"""

import cmath
import math
from collections.abc import Iterator
from typing import Any

import numpy as np
from msgspec import Struct

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
from linkage.motion.rest import MOST_TRAVEL, WAYS, arc_to_stop
from linkage.places import Places, driving_hole, sense_of, side
from solvers.jet import value

#: mm; nearer than this to its base a point has no direction, and no reach is shorter.
LEAST_REACH = 1.0
#: mm; no pedal travels less.
LEAST_TRAVEL = 5.0
#: mm; from a cylinder to the handle that turns its axis.
AXIS_REACH = 80.0


class Aim(Struct, frozen=True, kw_only=True, eq=False):
    """A value and the number that is asked of it.

    Attributes
    ----------
    value : Value
    number : float
        Internal units.
    lever : float
        How far the point moves for one unit of it, mm.
    """

    value: Value
    number: float
    lever: float = 1.0


def resolve(places: Places, name: str) -> str:
    """Return the name of the point that really moves when ``name`` is moved.

    Raises
    ------
    KeyError
        For a name that there is not.
    """
    form = form_of(places, name)
    while isinstance(form, Same | Chosen):
        name = form.base if isinstance(form, Same) else places.chosen(form)
        form = form_of(places, name)
    return name


def form_of(places: Places, name: str) -> Point | None:
    """Return how a point is given; None where it follows from its part.

    Raises
    ------
    KeyError
    """
    head, _, rest = name.partition(".")
    if is_line(name):
        given = line_given(places.design, rest)
        return None if isinstance(given, Value) else given
    if head == "point":
        return places.design.points[rest]
    pedal = places.design.pedals[head]
    if rest in pedal.points:
        return pedal.points[rest]
    if rest == "full":
        return None
    part, key = part_of(pedal, rest)
    if key in ("axis", "seat") and hasattr(part, "axis"):
        return None if key == "axis" else getattr(part, key)
    holder: Any = part
    for word in key.split("."):
        holder = getattr(holder, word, None)
    if not isinstance(holder, Point):
        raise KeyError(name)
    return holder


def part_of(pedal: Pedal, rest: str) -> tuple[Part, str]:
    """Return the part and the key within it: ``train.2.cable.ferrule``.

    Raises
    ------
    KeyError
    """
    found = (each for each in pedal.train if rest.startswith(f"{each.label}."))
    part = next(found, None)
    if part is None:
        raise KeyError(rest)
    return part, rest.removeprefix(f"{part.label}.")


def place_of(places: Places, name: str) -> complex:
    """Return where a point lies, one that only a handle shows too."""
    head, _, rest = name.partition(".")
    if is_line(name):
        return _on_line(places, rest)
    if rest == "full":
        return _end(places, places.design.pedals[head])
    if rest.endswith(".axis"):
        part: Any = part_of(places.design.pedals[head], rest)[0]
        ahead = complex(value(places.heading(part.axis)))
        return anchor(places, part) + AXIS_REACH * ahead
    return at(places, name)


def at(places: Places, name: str) -> complex:
    """Return where a point of the file lies; nan where it has no place."""
    if not places.knows(name):
        with np.errstate(divide="ignore", invalid="ignore"):
            places.point(name)
    return complex(value(places.point(name)))


def plain(places: Places, number: Value) -> float:
    """Return the number that stands for a value."""
    return float(np.ravel(value(places.number(number)))[0])


def aims(places: Places, name: str, to: complex) -> tuple[Aim, ...]:
    """Return what putting a point at ``to`` asks of its numbers.

    Parameters
    ----------
    places : Places
        Of an opened design.
    name : str
        As `resolve` gives it.
    to : complex
        mm.
    """
    head, _, rest = name.partition(".")
    if is_line(name):
        return tuple(_of_line(places, name, to))
    if head == "point":
        return tuple(_of_form(places, name, to))
    pedal = places.design.pedals[head]
    if rest == "full":
        return (_of_stop(places, pedal, to),)
    if not rest.startswith("train."):
        return tuple(_of_form(places, name, to))
    part, key = part_of(pedal, rest)
    if key == "axis":
        return (_of_axis(places, part, to),)
    if key == "seat" and form_of(places, name) is None:
        return (_of_seat(places, part, to),)
    if key == "input" and getattr(part, "rod", None) is not None:
        return tuple(_of_driven(places, part, name, to))
    return tuple(_of_form(places, name, to))


# ------------------------------------------------------------------ forms of a point


def _of_form(places: Places, name: str, to: complex) -> Iterator[Aim]:
    form = form_of(places, name)
    match form:
        case Cartesian(x=x, z=z):
            away = to if form.base is None else to - at(places, form.base)
            yield Aim(value=x, number=form.x_sign * away.real)
            yield Aim(value=z, number=form.z_sign * away.imag)
        case Polar():
            yield from _of_polar(places, form, to)
        case OffString():
            yield from _of_string(places, form, to)
        case _:
            raise KeyError(name)


def _of_polar(places: Places, form: Polar, to: complex) -> Iterator[Aim]:
    base = at(places, form.base)
    away = to - base
    yield Aim(value=form.reach, number=max(abs(away), LEAST_REACH))
    if abs(away) >= LEAST_REACH:
        line = 1.0 if form.off is None else at(places, form.off) - base
        yield turned(places, form.angle, away / line, abs(away))


def turned(places: Places, angle: Direction, away: complex, reach: float) -> Aim:
    """Return what a direction along ``away`` asks of its number, the nearest turn."""
    if angle.value is None:
        raise TypeError("an opened direction has a number")
    now = plain(places, angle.value)
    number = angle.sign * (cmath.phase(away) - angle.base)
    number = now + math.remainder(number - now, math.tau)
    if abs(number) > math.tau:
        number = math.remainder(number, math.tau)
    return Aim(value=angle.value, number=number, lever=reach)


def _of_string(places: Places, form: OffString, to: complex) -> Iterator[Aim]:
    start = at(places, form.start)
    line = at(places, form.end) - start
    away = (to - start) / (line / abs(line))
    yield Aim(value=form.along, number=away.real)
    if form.across is not None:
        yield Aim(value=form.across, number=away.imag * float(side(line, form.word)))


def _of_driven(places: Places, part: Any, name: str, to: complex) -> Iterator[Aim]:
    """Return what a rod-driven input asks: its rod says where it is, but not how far."""
    pivot = at(places, f"{part.path}.pivot")
    reach = max(abs(to - pivot), LEAST_REACH)
    if isinstance(part.input, SideReach):
        yield Aim(value=part.input.reach, number=reach)
        return
    typed = complex(value(places.form(part.input))) - pivot
    yield from _of_form(places, name, pivot + reach * typed / abs(typed))


# ------------------------------------------------------------------ what follows


def anchor(places: Places, part: Any) -> complex:
    """Return the point of a cylinder that stays when its axis is turned."""
    key = next(k for k in ("face", "on", "seat") if getattr(part, k) is not None)
    return at(places, f"{part.path}.{key}")


def _of_axis(places: Places, part: Any, to: complex) -> Aim:
    away = to - anchor(places, part)
    away = (
        away if abs(away) >= LEAST_REACH else complex(value(places.heading(part.axis)))
    )
    return turned(places, part.axis, away, AXIS_REACH)


def _of_seat(places: Places, part: Any, to: complex) -> Aim:
    """Return what a seat asks that follows from a face or from the rod's length."""
    axis = complex(value(places.heading(part.axis)))
    foot = anchor(places, part)
    along = ((to - foot) * axis.conjugate()).real
    if part.depth is not None:
        return Aim(value=part.depth, number=part.sign * along)
    if part.proud is not None:
        return Aim(value=part.proud, number=-part.sign * along)
    hole = at(places, driving_hole(part))
    return Aim(value=part.rod, number=abs(foot + axis * along - hole))


# ------------------------------------------------------------------ floor, bulkhead


def is_line(name: str) -> bool:
    """Return True for the name of a place on the floor or the bulkhead."""
    return name.startswith(("footwell.floor", "footwell.bulkhead"))


def line_names(design: Design) -> Iterator[str]:
    """Yield the names of the places by which floor and bulkhead are moved."""
    for key in ("floor", "bulkhead"):
        given = getattr(design.footwell, key)
        if isinstance(given, tuple):
            yield from (f"footwell.{key}.{number}" for number in (1, 2))
        elif given is not None:
            yield f"footwell.{key}"


def line_given(design: Design, rest: str) -> Value | Point:
    """Return the number, or the end, that stands for ``floor`` or ``floor.1``.

    Raises
    ------
    KeyError
    """
    if f"footwell.{rest}" not in line_names(design):
        raise KeyError(rest)
    key, _, number = rest.partition(".")
    given = getattr(design.footwell, key)
    found: Value | Point = given[int(number) - 1] if number else given
    return found


def _on_line(places: Places, rest: str) -> complex:
    """Return the end of a line, or where it is nearest to the rearmost pad."""
    given = line_given(places.design, rest)
    if not isinstance(given, Value):
        return complex(value(places.form(given)))
    pads = [at(places, f"{pedal}.pad") for pedal in places.design.pedals]
    pad = min(pads, key=lambda pad: pad.real)
    number = plain(places, given)
    return complex(pad.real, number) if rest == "floor" else complex(number, pad.imag)


def _of_line(places: Places, name: str, to: complex) -> Iterator[Aim]:
    """Return what a floor asks: only its height; a bulkhead: only how far ahead."""
    given = line_given(places.design, name.partition(".")[2])
    if isinstance(given, Value):
        yield Aim(value=given, number=to.imag if name.endswith("floor") else to.real)
    else:
        yield from _of_form(places, name, to)


# ------------------------------------------------------------------ the full stop


def _end(places: Places, pedal: Pedal) -> complex:
    """Return where the pad ends; nan where it never gets to its stop."""
    pivot, pad = (at(places, f"{pedal.name}.{key}") for key in ("pivot", "pad"))
    reach, sense = pad - pivot, _sense(pedal, pad - pivot)
    if not abs(reach) > 0.0:
        return complex(math.nan, math.nan)
    with np.errstate(divide="ignore", invalid="ignore"):
        arc = arc_to_stop(places, pedal.full, pivot, reach, abs(reach), sense)
    turn = sense * float(np.ravel(value(arc))[0]) / abs(reach)
    return pivot + reach * cmath.exp(1j * turn)


def _of_stop(places: Places, pedal: Pedal, to: complex) -> Aim:
    pivot, pad = (at(places, f"{pedal.name}.{key}") for key in ("pivot", "pad"))
    reach, full = pad - pivot, pedal.full
    sense, radius = _sense(pedal, reach), abs(reach)
    turn = (sense * cmath.phase((to - pivot) / reach)) % math.tau
    turn = 0.0 if turn > 1.5 * math.pi else turn
    travel = min(max(turn * radius, LEAST_TRAVEL), MOST_TRAVEL)
    if full.how == "travel":
        return Aim(value=full.value, number=travel)
    if full.how == "tape":
        half = min(0.5 * travel / radius, 0.5 * math.pi)
        return Aim(value=full.value, number=2.0 * radius * math.sin(half))
    way, sign = WAYS[full.how]
    end = pivot + reach * cmath.exp(1j * sense * travel / radius)
    return Aim(value=full.value, number=sign * (end / way).real)


def _sense(pedal: Pedal, reach: complex) -> float:
    return float(sense_of(pedal, reach))

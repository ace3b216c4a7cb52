"""What room a handle has: ways, box or arc of free values, its ring, its band.

Points go out as [x, z] in mm, angles in deg, anticlockwise; None where there is none.
"""

import cmath
import math
from collections.abc import Sequence
from typing import Any

from linkage.design.records import Cartesian, FullStop, Polar
from linkage.design.values import Value
from linkage.page.aims import (
    AXIS_REACH,
    Aim,
    anchor,
    at,
    form_of,
    part_of,
    place_of,
    plain,
)
from linkage.page.catches import own_pivot
from linkage.places import Places, sense_of
from solvers.jet import value

Row = dict[str, Any]
#: mm or rad: a step that shows which way a number moves its point.
_STEP = 1e-5
#: Decimals of mm and deg that are sent.
_FINE = 4


def pair(z: complex) -> list[float]:
    """Return a point as it is sent."""
    return [round(z.real, _FINE) + 0.0, round(z.imag, _FINE) + 0.0]


def box(places: Places, name: str) -> list[float] | None:
    """Return the rectangle that a point's free coordinates span: x0, z0, x1, z1."""
    form = form_of(places, name)
    if not isinstance(form, Cartesian) or "free" not in (form.x.kind, form.z.kind):
        return None
    base = 0j if form.base is None else at(places, form.base)
    away = place_of(places, name) - base
    xs = _ends(form.x, form.x_sign, away.real)
    zs = _ends(form.z, form.z_sign, away.imag)
    low, high = (complex(xs[end], zs[end]) + base for end in (0, 1))
    return [*pair(low), *pair(high)]


def _ends(number: Value, sign: float, now: float) -> tuple[float, float]:
    if number.low is None or number.high is None:
        return now, now
    low, high = sorted((sign * number.low, sign * number.high))
    return low, high


def arc(places: Places, name: str) -> Row | None:
    """Return the arc that a free angle, axis or travel leaves a point."""
    head, _, rest = name.partition(".")
    if rest == "full":
        return _of_stop(places, head)
    if rest.endswith(".axis"):
        part: Any = part_of(places.design.pedals[head], rest)[0]
        return _of_turn(part.axis, anchor(places, part), AXIS_REACH, 1.0 + 0j)
    form = form_of(places, name)
    if not isinstance(form, Polar):
        return None
    base = at(places, form.base)
    line = 1.0 + 0j if form.off is None else at(places, form.off) - base
    return _of_turn(form.angle, base, abs(place_of(places, name) - base), line)


def _of_turn(angle: Any, centre: complex, r: float, line: complex) -> Row | None:
    number = angle.value
    if number is None or number.low is None or number.high is None:
        return None
    start = angle.base + cmath.phase(line)
    ends = (start + angle.sign * each for each in (number.low, number.high))
    return _arc(centre, r, *ends)


def _of_stop(places: Places, pedal: str) -> Row | None:
    full: FullStop = places.design.pedals[pedal].full
    low, high = full.value.low, full.value.high
    if full.how != "travel" or low is None or high is None:
        return None
    pivot, pad = at(places, f"{pedal}.pivot"), at(places, f"{pedal}.pad")
    turn = float(sense_of(places.design.pedals[pedal], pad - pivot)) / abs(pad - pivot)
    rest = cmath.phase(pad - pivot)
    return _arc(pivot, abs(pad - pivot), rest + turn * low, rest + turn * high)


def _arc(centre: complex, r: float, *ends: float) -> Row:
    low, high = (round(math.degrees(end), _FINE) for end in sorted(ends))
    return {"centre": pair(centre), "r": round(r, _FINE), "from": low, "to": high}


def ring(places: Places, name: str) -> Row | None:
    """Return the circle on which a point keeps the reach from its own pivot."""
    pivot = own_pivot(name)
    if pivot is None:
        return None
    centre = at(places, pivot)
    reach = abs(place_of(places, name) - centre)
    return {"centre": pair(centre), "r": round(reach, _FINE)}


def band(found: Sequence[Aim]) -> float | None:
    """Return how far the numbers of a point may be out as they were said, mm."""
    gives = [aim.value.give * aim.lever for aim in found if aim.value.give is not None]
    return round(max(gives), _FINE) if gives else None


def ways(places: Places, name: str, found: Sequence[Aim]) -> list[list[float]]:
    """Return the unit vectors along which the free numbers of a point move it."""
    here = place_of(places, name)
    steps = (
        place_of(places.moved({aim.value.path: plain(places, aim.value) + _STEP}), name)
        - here
        for aim in found
        if aim.value.kind == "free"
    )
    return [pair(step / abs(step)) for step in steps if 0.0 < abs(step) < math.inf]


def direction(places: Places, name: str) -> complex:
    """Return the unit vector of a cylinder's axis, by the name of its handle."""
    head, _, rest = name.partition(".")
    part: Any = part_of(places.design.pedals[head], rest)[0]
    return complex(value(places.heading(part.axis)))

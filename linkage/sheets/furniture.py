"""Fixed things of the footwell in a picture, and the least gap as a dimension."""

from collections.abc import Iterator, Sequence

import numpy as np

from linkage.design.records import Design
from linkage.faults import DesignError
from linkage.footwell.clearance import closest
from linkage.footwell.document import is_furnished
from linkage.footwell.moving import Moving, face_of, high, outline
from linkage.footwell.shapes import outline_points
from linkage.motion.rest import PedalRest
from linkage.sheets.scene import Fixture, Length
from linkage.words.speech import Speech, tidy
from solvers.jet import value


def fixtures_of(design: Design) -> tuple[Fixture, ...]:
    """Return every fixed thing as points round it, arcs in chords."""
    return tuple(
        Fixture(
            name=tidy(each.name, 30),
            outlines=tuple(outline_points(np.array(o)) for o in each.outlines),
        )
        for each in design.footwell.fixed
    )


def least_gap(rest: PedalRest, upto: float, speech: Speech) -> Iterator[Length]:
    """Return the least gap on the way as a dimension, where the footwell is furnished."""
    if not is_furnished(rest.places.design):
        return
    try:
        each = closest(rest, upto)
    except DesignError:
        return
    if each is not None:
        at, name = speech.short(each.travel), tidy(each.thing, 24)
        text = f"{name} {speech.short(each.gap)} off at {at}"
        if each.touch is not None:
            text = f"{name} {speech.short(-each.gap)} in the way at {at}"
        yield Length(a=each.on_part, b=each.on_thing, text=text, bold=True)


def plate_of(rest: PedalRest) -> tuple[float, complex]:
    """Return half a pad's height, and its face's turn off the line from the pivot."""
    pivot, pad = (complex(np.ravel(value(p))[0]) for p in (rest.pivot, rest.pad))
    face = complex(np.ravel(value(face_of(rest)))[0])
    sense = float(np.ravel(rest.sense)[0])
    line = (pad - pivot) / abs(pad - pivot)
    return 0.5 * high(rest.pedal), face * sense / line


def shoe_of(rest: PedalRest) -> tuple[complex, ...]:
    """Return points round the shoe at rest; none where the file has no shoe."""
    if rest.places.design.driver.shoe is None:
        return ()
    shoe = Moving(pedal=rest.pedal.name, kind="shoe")
    return outline_points(outline(shoe, rest))


def clipped(
    points: Sequence[complex], low: complex, high: complex
) -> tuple[complex, ...]:
    """Return what of a polygon lies in an upright box (Sutherland and Hodgman, 1974)."""
    found = list(points)
    for axis, limit, sign in (
        ("real", low.real, 1.0),
        ("imag", low.imag, 1.0),
        ("real", high.real, -1.0),
        ("imag", high.imag, -1.0),
    ):
        rows = [(p, sign * (getattr(p, axis) - limit)) for p in found]
        found = []
        for (a, off), (b, ahead) in zip(rows, rows[1:] + rows[:1], strict=True):
            if off >= 0.0:
                found.append(a)
            if (off >= 0.0) != (ahead >= 0.0):
                at = a + (b - a) * off / (off - ahead)
                on = (limit, at.imag) if axis == "real" else (at.real, limit)
                found.append(complex(*on))
    return tuple(found)


def edges_of(
    points: Sequence[complex], low: complex, high: complex
) -> Iterator[tuple[complex, complex]]:
    """Return the edges of a clipped polygon that are its own, not those of the box."""
    for a, b in zip(points, [*points[1:], points[0]], strict=True):
        if not any(
            a.real == x == b.real or a.imag == z == b.imag
            for x, z in ((low.real, low.imag), (high.real, high.imag))
        ):
            yield a, b

"""A design in which every number that a handle may move has a value of its own.

A file may say "forward" and mean no turn, or leave a coordinate out and mean 0. Such a
spot has no number to move; here it gets one, with the path that it would have, and no
place in the text yet (its span is empty). Nothing else changes, and nothing moves.
"""

from typing import Any

from msgspec.structs import replace

from linkage.design.keys import Form, Key
from linkage.design.records import (
    Cartesian,
    Design,
    Direction,
    Footwell,
    OffString,
    Part,
    Point,
    Polar,
)
from linkage.design.values import Value


def open_up(design: Design) -> Design:
    """Return ``design`` with a value in every spot that a handle may move."""
    pedals = {
        name: replace(
            pedal,
            points={
                k: _point(design, f"{name}.{k}", p) for k, p in pedal.points.items()
            },
            train=tuple(_part(design, part) for part in pedal.train),
        )
        for name, pedal in design.pedals.items()
    }
    shared = {k: _point(design, f"point.{k}", p) for k, p in design.points.items()}
    return replace(design, pedals=pedals, points=shared, footwell=_footwell(design))


def is_opened(value: Value) -> bool:
    """Return True for a value that the file does not hold yet."""
    return value.span == (0, 0)


def _footwell(design: Design) -> Footwell:
    """Return the car's lines with their ends opened."""
    opened = {
        key: tuple(
            _point(design, f"footwell.{key}.{number}", end)
            for number, end in enumerate(given, 1)
        )
        for key in ("floor", "bulkhead")
        if isinstance(given := getattr(design.footwell, key), tuple)
    }
    return replace(design.footwell, **opened)


def _part(design: Design, part: Part) -> Part:
    return replace(part, **_fields(design, part, part.path, part.KEYS))


def _fields(
    design: Design, record: Any, path: str, keys: tuple[Key, ...]
) -> dict[str, Any]:
    """Return the points and directions of a record, opened."""
    fields: dict[str, Any] = {}
    for key in keys:
        given, name = getattr(record, key.name), f"{path}.{key.name}"
        if given is None:
            continue
        if key.form is Form.POINT:
            fields[key.name] = _point(design, name, given)
        elif key.form is Form.DIRECTION:
            fields[key.name] = _direction(name, given)
        elif key.form is Form.TABLE:
            fields[key.name] = replace(given, **_fields(design, given, name, key.table))
    return fields


def _direction(path: str, direction: Direction) -> Direction:
    """Return a direction with a turn from its word, of 0 so far."""
    if direction.value is not None:
        return direction
    return replace(direction, value=Value(path=path, unit="deg"))


def _point(design: Design, name: str, point: Point) -> Point:
    match point:
        case Cartesian():
            return replace(
                point,
                x=_length(design, point.x, f"{name}.ahead"),
                z=_length(design, point.z, f"{name}.up"),
            )
        case Polar():
            return replace(point, angle=_direction(f"{name}.angle", point.angle))
        case OffString(across=None):
            return replace(
                point, across=_length(design, Value(), f"{name}.{point.word}")
            )
        case _:
            return point


def _length(design: Design, value: Value, path: str) -> Value:
    return value if value.path else Value(path=path, unit=design.units)

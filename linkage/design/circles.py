"""Which point is counted from which, and whether that ever comes round to itself."""

from collections.abc import Mapping
from graphlib import CycleError, TopologicalSorter

from linkage.design.keys import Form
from linkage.design.reading import Reading
from linkage.design.records import (
    Cartesian,
    Chosen,
    OffString,
    Part,
    Pedal,
    Point,
    Polar,
    Same,
    SideReach,
)

#: No chain of points counted from points is longer in a car.
LONGEST = 60


def counted_from(point: Point) -> tuple[str, ...]:
    """Return the canonical names that a form of a point counts from."""
    match point:
        case Cartesian(base=None) | SideReach():
            return ()
        case Cartesian(base=str(base)) | Same(base=base):
            return (base,)
        case Polar(base=base, off=off):
            return (base,) if off is None else (base, off)
        case OffString(start=start, end=end):
            return (start, end)
        case Chosen(options=options):
            return options
        case _:
            return ()


def graph(
    pedals: Mapping[str, Pedal], shared: Mapping[str, Point]
) -> dict[str, tuple[str, ...]]:
    """Return, for each point, the points that it is counted from."""
    edges = {f"point.{name}": counted_from(point) for name, point in shared.items()}
    for pedal in pedals.values():
        for name, point in pedal.points.items():
            edges[f"{pedal.name}.{name}"] = counted_from(point)
        for part in pedal.train:
            edges |= _of_part(part)
    return edges


def _of_part(part: Part) -> dict[str, tuple[str, ...]]:
    points = points_of(part)
    edges = {
        f"{part.path}.{name}": counted_from(point) for name, point in points.items()
    }
    hole = (
        f"{part.pedal}.clevis"
        if part.behind == 0
        else f"{part.pedal}.train.{part.behind}.output"
    )
    by_rod = (hole,) if getattr(part, "rod", None) is not None else ()
    if "input" in points and by_rod:
        edges[f"{part.path}.input"] += (f"{part.path}.pivot", *by_rod)
    for name in part.NAMED:
        if name not in points:
            edges[f"{part.path}.{name}"] = (
                *(f"{part.path}.{n}" for n in points),
                *by_rod,
            )
    return edges


def points_of(part: Part) -> dict[str, Point]:
    """Return the points of a part as the file gives them, by their keys."""
    points: dict[str, Point] = {}
    for key in part.KEYS:
        given = getattr(part, key.name)
        if given is None:
            continue
        if key.form is Form.POINT:
            points[key.name] = given
        elif key.form is Form.TABLE:
            inner = {
                kid.name: getattr(given, kid.name)
                for kid in key.table
                if kid.form is Form.POINT
            }
            points |= {f"{key.name}.{n}": p for n, p in inner.items() if p is not None}
    return points


def circles(edges: Mapping[str, tuple[str, ...]]) -> list[list[str]]:
    """Return every way round that ends where it starts; each name in one at most."""
    left = dict(edges)
    found: list[list[str]] = []
    while True:
        try:
            TopologicalSorter(left).prepare()
        except CycleError as error:
            ring = [str(name) for name in reversed(error.args[1])]
            found.append(ring)
            left = {name: to for name, to in left.items() if name not in ring}
        else:
            return found


def longest_chain(edges: Mapping[str, tuple[str, ...]]) -> list[str]:
    """Return the longest chain of points counted from points; no circles allowed."""
    best: dict[str, list[str]] = {}
    for name in TopologicalSorter(edges).static_order():
        tails = [best[other] for other in edges.get(name, ())]
        best[name] = [name, *max(tails, key=len, default=[])][: LONGEST + 1]
    return max(best.values(), key=len, default=[])


def check_circles(
    reading: Reading, pedals: dict[str, Pedal], shared: dict[str, Point]
) -> None:
    """Say which points are counted from themselves, also where others are at fault."""
    edges = {name: counted_from(point) for name, point in reading.points.items()}
    edges |= graph(pedals, shared)
    rings = circles(edges)
    for ring in rings:
        wrong = f"is counted from itself: {' -> '.join(ring)}."
        reading.fault(
            _at(ring[0]), wrong, "Give one of them from a fixed mark.", ring[0]
        )
    if not rings:
        chain = longest_chain(edges)
        if len(chain) > LONGEST:
            wrong = f"is counted from a point that is counted from ... {LONGEST} times."
            reading.fault(_at(chain[0]), wrong, "Give it from a fixed mark.", chain[0])


def _at(name: str) -> tuple[str | int, ...]:
    """Return the place in the file of a canonical name of a point."""
    words = name.split(".")
    head: tuple[str | int, ...] = () if words[0] == "point" else ("pedal",)
    row = words[1:2] == ["train"]
    return head + tuple(
        int(word) - 1 if row and word.isdecimal() else word for word in words
    )

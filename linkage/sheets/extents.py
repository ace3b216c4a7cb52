"""What a drawing must show of a scene, as points of the car."""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from linkage.sheets.draughting import unit
from linkage.sheets.furniture import clipped, edges_of
from linkage.sheets.mechanism import LEVER_BOSS, PIVOT_BOSS, pad_along, pad_back
from linkage.sheets.scene import Cylinder, Group, Pose, Scene

_BESIDE = 40.0  # how far floor and bulkhead run past the mechanism, mm of the car
_ROUND = 40.0  # how far round the mechanism fixed things are shown, mm of the car

Line = tuple[complex, complex]


def scene_points(scene: Scene) -> list[complex]:
    """Return points that a drawing of ``scene`` must show."""
    found = _moving_points(scene)
    if scene.back is not None:
        found.append(complex(scene.back.place, found[0].imag))
    if scene.up is not None:
        found.append(complex(found[0].real, scene.up.place))
    found += [p for item in shown_fixtures(scene) for area in item.areas for p in area]
    return [*found, *(floor_line(scene) or ()), *(bulkhead_line(scene) or ())]


def _moving_points(scene: Scene) -> list[complex]:
    return [
        *(p for group in scene.groups for p in group_points(group)),
        *(r.at for r in scene.readings),
        *(p for length in scene.lengths for p in (length.a, length.b)),
    ]


def floor_line(scene: Scene) -> Line | None:
    """Return the floor, no longer than it is given, cut to a little past the parts."""
    if scene.floor is None:
        return None
    along = [p.real for p in _moving_points(scene)]
    a, b = sorted(scene.floor, key=lambda p: p.real)
    ends = _clamped(along, a.real, b.real)
    return _between(a, b, ends, (b - a).real, a.real)


def bulkhead_line(scene: Scene) -> Line | None:
    """Return the bulkhead, likewise; it stands on the floor, where there is one."""
    if scene.bulkhead is None:
        return None
    heights = [p.imag for p in _moving_points(scene)]
    ground = floor_line(scene)
    if ground is not None:
        heights.append(min(p.imag for p in ground) + _BESIDE)
    a, b = sorted(scene.bulkhead, key=lambda p: p.imag)
    ends = _clamped(heights, a.imag, b.imag)
    return _between(a, b, ends, (b - a).imag, a.imag)


def _clamped(places: Sequence[float], low: float, high: float) -> tuple[float, float]:
    least, most = min(places) - _BESIDE, max(places) + _BESIDE
    return min(max(low, least), most), max(min(high, most), least)


def _between(
    a: complex, b: complex, ends: tuple[float, float], span: float, start: float
) -> Line:
    if span == 0.0:
        return a, b
    first, last = (a + (b - a) * ((end - start) / span) for end in ends)
    return first, last


class Shown(Struct, frozen=True, kw_only=True, eq=False):
    """What of a fixed thing a drawing shows: areas, and the edges that are its own."""

    name: str
    areas: tuple[tuple[complex, ...], ...]
    edges: tuple[Line, ...]


def shown_fixtures(scene: Scene) -> Iterator[Shown]:
    """Return the fixed things, cut to a little past the parts."""
    seen = _moving_points(scene)
    room = complex(_ROUND, _ROUND)
    low = complex(min(p.real for p in seen), min(p.imag for p in seen)) - room
    high = complex(max(p.real for p in seen), max(p.imag for p in seen)) + room
    for fixture in scene.fixtures:
        cut = [clipped(each, low, high) for each in fixture.outlines]
        areas = tuple(each for each in cut if len(each) > 1)
        edges = tuple(edge for each in areas for edge in edges_of(each, low, high))
        if areas:
            yield Shown(name=fixture.name, areas=areas, edges=edges)


def group_points(group: Group) -> Iterator[complex]:
    """Return points that a drawing of ``group`` must show."""
    for pose in group.poses:
        yield from _pose_points(pose, group)
    yield from group.arc
    for cylinder in group.cylinders:
        yield from _cylinder_points(cylinder)
    for ferrule in group.ferrules:
        out = unit(ferrule.inner)
        yield from (
            ferrule.at - 45.0 * out,
            ferrule.at + 22j * out,
            ferrule.at - 22j * out,
        )


def _pose_points(pose: Pose, group: Group) -> Iterator[complex]:
    if pose.arm is not None:
        arm = pose.arm
        along = pad_along(arm, group)
        yield from arm.outline or _round(arm.pivot, PIVOT_BOSS)
        yield from arm.holes.values()
        yield from (arm.pad - along, arm.pad + along, pad_back(arm, group))
    for link in pose.links:
        yield from link.points
    for lever in pose.levers:
        yield from _round(lever.pivot, LEVER_BOSS)
        yield from (p for p in (lever.input, lever.output) if p is not None)
    for quadrant in pose.quadrants:
        yield from _round(quadrant.pivot, quadrant.radius)


def _round(centre: complex, radius: float) -> tuple[complex, ...]:
    return tuple(centre + radius * way for way in (1, 1j, -1, -1j))


def _cylinder_points(item: Cylinder) -> Iterator[complex]:
    tall = 1j * item.axis * (item.bore / 2 + 20.0)
    if item.pull:
        back = min(((p - item.face) / item.axis).real for p in (item.seat, item.full))
        far = item.face + item.axis * (back - item.bore - 24.0)
    else:
        depth = max(((item.seat - item.face) / item.axis).real, 3.0)
        far = item.face + item.axis * (
            depth + abs(item.end - item.seat) + 0.9 * item.bore + 20.0
        )
    yield from (item.face + tall, item.face - tall, far + tall, far - tall)

"""One mechanism in side view: arms, rods, levers, cylinders, ferrules, as shapes.

Sizes that no design gives (bosses, lugs, walls) are drawn in usual proportions; places
and strokes are true. At rest a part is drawn in full, half way thin, at full dashed.
"""

from collections.abc import Iterable
from functools import partial

from export.shapes import Circle, Line, Shape, chain, polygon
from linkage.sheets.draughting import centre_mark, dot, hatch, hull, ring, unit
from linkage.sheets.ruler import RULERS, Ruler
from linkage.sheets.scene import (
    Arm,
    Cylinder,
    Ferrule,
    Group,
    Lever,
    Link,
    Pose,
    Quadrant,
    Square,
)
from linkage.sheets.view import View

# Usual proportions, mm of the car.
PIVOT_BOSS, HOLE_BOSS, PAD_BOSS = 15.0, 11.0, 8.0
LEVER_BOSS, LEVER_EYE = 11.0, 8.0
PAD_HALF = 32.0
_SOLE = 11.0
FLANGE, WALL, LUGS = 9.0, 7.0, 11.0  # of a cylinder; its lugs stand out so far
_PIN = 1.1  # radius of a pin on paper, mm


def mechanism(
    group: Group, view: View, ruler: Ruler = RULERS["mm"]
) -> tuple[Shape, ...]:
    """Return all of ``group``, what is behind first."""
    rest, *later = group.poses
    return (
        *_sole(group, view),
        *(s for cylinder in group.cylinders for s in cylinder_shapes(cylinder, view)),
        *(s for ferrule in group.ferrules for s in ferrule_shapes(ferrule, view)),
        *_pose(rest, group, view),
        *(s for pose in later for s in _pose(pose, group, view)),
        *_pins(group, view),
        *_arc(group, view, ruler),
        *_square(group.square, view),
    )


def _pose(pose: Pose, group: Group, view: View) -> Iterable[Shape]:
    if pose.arm is not None:
        yield from _arm(pose.arm, pose, group, view)
    for quadrant in pose.quadrants:
        yield from _quadrant(quadrant, pose, view)
    for lever in pose.levers:
        yield _lever(lever, pose, view)
    for link in pose.links:
        yield _link(link, pose, view)


def press_way(group: Group) -> complex:
    """Return, as a turn of the line from pivot to pad, the way the pad is pressed.

    It is i or -i: one of the two square to the arm, the one that goes along the arc.
    """
    arm = group.poses[0].arm
    if arm is None:
        return 1j
    line = unit(arm.pad - arm.pivot)
    onward = group.arc[1] - group.arc[0] if len(group.arc) > 1 else 1 + 0j
    return 1j if (1j * line * onward.conjugate()).real >= 0.0 else -1j


def pad_back(arm: Arm, group: Group) -> complex:
    """Return the middle of the back of the pad."""
    return arm.pad + _press(arm, group) * group.pad_thick


def pad_along(arm: Arm, group: Group) -> complex:
    """Return the vector from the middle of a pad's face to its end, away from the pivot."""
    return group.pad_half * group.pad_turn * unit(arm.pad - arm.pivot)


def _press(arm: Arm, group: Group) -> complex:
    return press_way(group) * unit(arm.pad - arm.pivot)


def _arm(arm: Arm, pose: Pose, group: Group, view: View) -> Iterable[Shape]:
    press = _press(arm, group)
    round_it = arm.outline or _usual(arm, group)
    if not pose.pad_alone:
        yield polygon(tuple(map(view.at, round_it)), f"arm {pose.at}")
    along = pad_along(arm, group)
    back = press * group.pad_turn * group.pad_thick
    plate = (arm.pad - along, arm.pad + along, arm.pad + along + back)
    yield polygon(
        tuple(map(view.at, (*plate, arm.pad - along + back))), f"plate {pose.at}"
    )


def _usual(arm: Arm, group: Group) -> tuple[complex, ...]:
    """Return points round an arm of usual proportions."""
    end = arm.pad + _press(arm, group) * (group.pad_thick + PAD_BOSS * 0.6)
    discs = [
        *ring(arm.pivot, PIVOT_BOSS),
        *(p for hole in arm.holes.values() for p in ring(hole, HOLE_BOSS)),
        *ring(end, PAD_BOSS),
    ]
    return hull(discs)


def _sole(group: Group, view: View) -> Iterable[Shape]:
    arm = group.poses[0].arm
    if arm is None:
        return
    if group.shoe:
        yield polygon(tuple(map(view.at, group.shoe)), "sole")
        return
    line = unit(arm.pad - arm.pivot)
    heel = line if line.imag < 0.0 else -line
    off = -_press(arm, group)
    # Along the sole from the toe to where the drawing breaks off; off the face.
    outline = [
        (-74, 9), (-68, 3), (-50, 0), (70, 0), (76, 4), (70, 8), (77, 12),
        (74, 17), (40, 15), (0, _SOLE + 1), (-40, _SOLE + 3), (-66, _SOLE + 6),
        (-75, _SOLE + 4),
    ]  # fmt: skip
    points = tuple(view.at(arm.pad + heel * s + off * (t + 0.5)) for s, t in outline)
    yield polygon(points, "sole")


def _lever(lever: Lever, pose: Pose, view: View) -> Shape:
    eyes = [lever.input, *([] if lever.output is None else [lever.output])]
    discs = [
        *ring(lever.pivot, LEVER_BOSS),
        *(p for e in eyes for p in ring(e, LEVER_EYE)),
    ]
    return polygon(tuple(map(view.at, hull(discs))), f"arm {pose.at}")


def _quadrant(quadrant: Quadrant, pose: Pose, view: View) -> Iterable[Shape]:
    centre = view.at(quadrant.pivot)
    if pose.at == "rest":
        radius = view.size(quadrant.radius)
        yield Circle(centre=centre, radius=radius, role="arm rest")
        yield Circle(centre=centre, radius=0.86 * radius, role="fine")
    yield Line(centre, view.at(quadrant.mark), f"arm {pose.at}")


def _link(link: Link, pose: Pose, view: View) -> Shape:
    return chain(tuple(map(view.at, link.points)), f"{link.kind} {pose.at}")


def _pins(group: Group, view: View) -> Iterable[Shape]:
    rest = group.poses[0]
    for lever in rest.levers:
        yield from _pivot(view.at(lever.pivot), view.size(LEVER_BOSS))
        for eye in (lever.input, lever.output):
            if eye is not None:
                yield Circle(centre=view.at(eye), radius=_PIN, role="pin")
    for quadrant in rest.quadrants:
        yield from _pivot(view.at(quadrant.pivot), view.size(quadrant.radius))
    if rest.arm is not None:
        yield from _pivot(view.at(rest.arm.pivot), view.size(PIVOT_BOSS))
        for hole in rest.arm.holes.values():
            yield Circle(centre=view.at(hole), radius=_PIN, role="pin")
    for cylinder in group.cylinders:
        yield dot(view.at(cylinder.seat), 0.9)


def _pivot(at: complex, radius: float) -> tuple[Shape, ...]:
    return (
        Circle(centre=at, radius=1.5 * _PIN, role="pin"),
        *centre_mark(at, radius + 1.8),
    )


def _arc(group: Group, view: View, ruler: Ruler) -> Iterable[Shape]:
    if len(group.arc) < 2:
        return
    yield chain(tuple(map(view.at, group.arc)), "arc")
    arm = group.poses[0].arm
    for travel, place in group.ticks:
        out = unit(place - arm.pivot) if arm is not None else 1j
        at, way = view.at(place), view.way(out)
        reach = 1.8 if ruler.is_long(travel) else 1.0
        yield Line(at - reach * way, at + reach * way, "arc")


def _square(square: Square | None, view: View) -> Iterable[Shape]:
    if square is None:
        return
    corner = view.at(square.corner)
    a, b = (3.0 * unit(view.at(p) - corner) for p in (square.arm, square.rod))
    yield chain((corner, corner + a, corner + a + b, corner + b, corner), "square")


def cylinder_shapes(item: Cylinder, view: View) -> tuple[Shape, ...]:
    """Return body, bore, piston at rest and at full, and hatched walls."""
    if item.pull:
        return _pulled(item, view)
    inner, outer = item.bore / 2, item.bore / 2 + WALL
    depth = ((item.seat - item.face) * item.axis.conjugate()).real
    start, length = max(depth, 3.0), 0.9 * item.bore
    span = abs(item.end - item.seat)
    moved = min(max(((item.full - item.seat) * item.axis.conjugate()).real, 0.0), span)
    wall = start + length + span
    box = partial(_box, item.face, item.axis, view)
    lugs = outer + LUGS
    return (
        polygon(box(0.0, wall + WALL, outer), "body"),
        hatch(box(wall, wall + WALL, inner)),
        polygon(box(0.0, wall, inner), "bore"),
        polygon(box(0.0, FLANGE, lugs), "body"),
        hatch(box(0.0, FLANGE, lugs)),
        polygon(box(0.0, FLANGE, inner), "bore"),
        polygon(box(start, start + length, inner), "piston"),
        *(() if depth >= 3.0 else (polygon(box(depth, start, 0.4 * inner), "piston"),)),
        polygon(box(start + moved, start + moved + length, inner), "piston full"),
        chain(box(wall, wall, inner + 2.0)[1:3], "wall"),
        *_axis_line(item, view, -12.0, wall + WALL + 12.0),
    )


def _pulled(item: Cylinder, view: View) -> tuple[Shape, ...]:
    inner, outer = item.bore / 2, item.bore / 2 + WALL
    seat, end, full = (
        ((p - item.face) * item.axis.conjugate()).real
        for p in (item.seat, item.end, item.full)
    )
    length = 0.9 * item.bore
    back, gland = seat - length, min(end, -WALL)
    box = partial(_box, item.face, item.axis, view)
    return (
        polygon(box(back - 2 * WALL, 0.0, outer), "body"),
        hatch(box(back - 2 * WALL, back - WALL, inner)),
        polygon(box(back - WALL, gland, inner), "bore"),
        hatch(box(gland, 0.0, outer)),
        polygon(box(back, seat, inner), "piston"),
        polygon(box(full - length, full, inner), "piston full"),
        chain(box(gland, gland, inner + 2.0)[1:3], "wall"),
        *_axis_line(item, view, back - 2 * WALL - 12.0, 12.0),
    )


def _box(
    at: complex, way: complex, view: View, start: float, stop: float, half: float
) -> tuple[complex, ...]:
    """Return a rectangle along ``way``: from, to (both from ``at``), half height."""
    corners = ((start, -half), (stop, -half), (stop, half), (start, half))
    return tuple(view.at(at + way * complex(s, h)) for s, h in corners)


def _axis_line(
    item: Cylinder, view: View, start: float, stop: float
) -> tuple[Shape, ...]:
    ends = tuple(view.at(item.face + item.axis * along) for along in (start, stop))
    return (chain(ends, "centre"),)


def ferrule_shapes(item: Ferrule, view: View) -> tuple[Shape, ...]:
    """Return the bracket, the ferrule and the first of the casing."""
    out = unit(item.inner)

    box = partial(_box, item.at, out, view)
    return (
        Line(view.at(item.at - 20.0 * out), view.at(item.at - 45.0 * out), "casing"),
        polygon(box(-12.0, -6.0, 22.0), "body"),
        hatch(box(-12.0, -6.0, 22.0)),
        polygon(box(-24.0, 0.0, 6.0), "body"),
    )

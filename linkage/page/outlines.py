"""Outlines as the page draws them: SVG path text, mm of the car, y = -z.

Sizes that no design gives (bosses, flanges, walls) are those of the sheets.
"""

import cmath
import math
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from linkage.arm.outline import end_of, shape_arm
from linkage.arm.plan import ArmPlan
from linkage.faults import DesignError
from linkage.sheets.draughting import unit
from linkage.sheets.mechanism import FLANGE, LUGS, WALL
from linkage.sheets.scene import Cylinder
from solvers.plane.pieces import pieces_of

#: Outlines that are kept, by what they were shaped from.
MOST = 64
_KEPT: dict[str, str] = {}
#: Ways out from a hull, conjugate, as many as the order of discs on it needs.
_WAYS = np.exp(-2j * np.pi * np.arange(512) / 512)

Disc = tuple[complex, float]
Boxes = tuple[tuple[float, float, float], ...]


def arm_path(plan: ArmPlan, *, quick: bool) -> tuple[str, bool]:
    """Return an arm's outline, and whether it is the one that would be cut.

    Parameters
    ----------
    plan : ArmPlan
    quick : bool
        Only where it is known already; else, as where no outline can be cut, a plain
        one round the same bosses.
    """
    key = repr(plan)
    if key not in _KEPT and not quick:
        _keep(key, _cut_path(plan))
    known = _KEPT.get(key, "")
    return (known, True) if known else (_plain_arm(plan), False)


def _keep(key: str, path: str) -> None:
    while len(_KEPT) >= MOST:
        del _KEPT[next(iter(_KEPT))]
    _KEPT[key] = path


def _cut_path(plan: ArmPlan) -> str:
    try:
        return contour_path(shape_arm(plan).contour)
    except DesignError:
        return ""


def _plain_arm(plan: ArmPlan) -> str:
    discs = [(at, plan.boss(name)) for name, at in plan.centres.items()]
    return disc_path([*discs, (end_of(plan), plan.boss("pad"))])


def contour_path(contour: NDArray[np.float64]) -> str:
    """Return a contour of lines and arcs as path text."""
    pieces = pieces_of(contour)
    steps = [f"M{_at(complex(pieces.start[0]))}"]
    for i, end in enumerate(pieces.end.tolist()):
        sweep = float(pieces.sweep[i])
        if not sweep:
            steps.append(f"L{_at(end)}")
            continue
        centre, radius = complex(pieces.centre[i]), float(pieces.radius[i])
        start = float(pieces.begin[i])
        steps += _arc(centre, radius, start, sweep)
    return "".join(steps) + "Z"


def _arc(centre: complex, radius: float, start: float, sweep: float) -> Iterable[str]:
    """Return an arc in quarters at most: nearer to a half turn its radius rounds."""
    count = max(1, math.ceil(abs(sweep) / (0.5 * math.pi) - 1e-9))
    size, turn = _number(radius), int(sweep < 0.0)
    for n in range(1, count + 1):
        end = centre + cmath.rect(radius, start + sweep * n / count)
        yield f"A{size} {size} 0 0 {turn} {_at(end)}"


def disc_path(discs: Sequence[Disc]) -> str:
    """Return a band round discs: their convex hull."""
    centres, radii = (np.array(each)[:, None] for each in zip(*discs, strict=True))
    furthest = ((centres * _WAYS).real + radii).argmax(axis=0)
    turns = np.flatnonzero(furthest != np.roll(furthest, 1))
    order = furthest[turns].tolist()
    if not order:
        return circle_path(*discs[int(furthest[0])])
    return _band([discs[k] for k in order])


def _band(discs: Sequence[Disc]) -> str:
    ways = [_tangent(a, b) for a, b in zip(discs, [*discs[1:], discs[0]], strict=True)]
    steps: list[str] = []
    for k, (centre, radius) in enumerate(discs):
        arrive, leave = (-1j * radius * ways[n] for n in (k - 1, k))
        turn = cmath.phase(leave / arrive) % (2.0 * math.pi)
        steps.append(f"{'L' if steps else 'M'}{_at(centre + arrive)}")
        steps += _arc(centre, radius, cmath.phase(arrive), turn)
    return "".join(steps) + "Z"


def _tangent(a: Disc, b: Disc) -> complex:
    """Return the way of the tangent that has both discs on its left."""
    gap = b[0] - a[0]
    far = abs(gap)
    lean = max(-1.0, min(1.0, (b[1] - a[1]) / far))
    return gap / far * complex(math.sqrt(1.0 - lean * lean), -lean)


def circle_path(centre: complex, radius: float) -> str:
    """Return a whole circle."""
    start = f"M{_at(centre + radius)}"
    return start + "".join(_arc(centre, radius, 0.0, 2.0 * math.pi)) + "Z"


def polygon_path(points: Iterable[complex]) -> str:
    """Return a closed polygon."""
    return "M" + "L".join(_at(p) for p in points) + "Z"


def plate_path(pad: complex, arm: complex, press: complex, half: float) -> str:
    """Return a pad's plate: ``arm`` from the pivot, ``press`` to its back, mm."""
    along = half * unit(arm)
    return polygon_path(
        (pad - along, pad + along, pad + along + press, pad - along + press)
    )


def cylinder_paths(item: Cylinder) -> dict[str, str]:
    """Return a cylinder's body, bore, fixed metal, end wall and piston at rest."""
    return {name: _boxes(item, boxes) for name, boxes in _cylinder(item).items()}


def _cylinder(item: Cylinder) -> dict[str, Boxes]:
    """Return rectangles along the axis: from, to (both from the face), half height."""
    inner, outer = item.bore / 2, item.bore / 2 + WALL
    seat, end = (
        ((p - item.face) * item.axis.conjugate()).real for p in (item.seat, item.end)
    )
    length = 0.9 * item.bore
    if item.pull:
        back, gland = seat - length, min(end, -WALL)
        tail = back - 2 * WALL
        return {
            "path": ((tail, 0.0, outer),),
            "bore": ((back - WALL, gland, inner),),
            "fixed": ((tail, back - WALL, inner), (gland, 0.0, outer)),
            "wall": ((gland, gland, inner + 2.0),),
            "slug": ((back, seat, inner),),
        }
    start = max(seat, 3.0)
    wall = start + length + abs(item.end - item.seat)
    return {
        "path": ((0.0, wall + WALL, outer), (0.0, FLANGE, outer + LUGS)),
        "bore": ((0.0, wall, inner),),
        "fixed": ((wall, wall + WALL, inner), (0.0, FLANGE, outer + LUGS)),
        "wall": ((wall, wall, inner + 2.0),),
        "slug": ((start, start + length, inner),),
    }


def _boxes(item: Cylinder, boxes: Boxes) -> str:
    return "".join(
        polygon_path(
            item.face + item.axis * complex(s, h)
            for s, h in ((start, -half), (stop, -half), (stop, half), (start, half))
        )
        for start, stop, half in boxes
    )


def cylinder_corners(item: Cylinder) -> list[complex]:
    """Return points that a drawing of a cylinder must show."""
    return [
        item.face + item.axis * complex(along, side * half)
        for boxes in _cylinder(item).values()
        for start, stop, half in boxes
        for along in (start, stop)
        for side in (-1.0, 1.0)
    ]


def _at(point: complex) -> str:
    return f"{_number(point.real)} {_number(-point.imag)}"


def _number(x: float) -> str:
    return f"{round(x, 3) + 0.0:.7g}"

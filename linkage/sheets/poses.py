"""What moves, in each of three positions: arm, rods, cables, levers and quadrants.

A *frame* is a system of marks: the car's is 0, and what lies beyond a cable has one of
its own, so that a train falls into frames in order.
"""

import cmath

import numpy as np

from export.shapes import arc_of_bulge
from linkage.arm.fitted import plan_at
from linkage.arm.outline import shape_arm
from linkage.design.records import Pedal
from linkage.design.stock import PAD_THICK
from linkage.faults import DesignError
from linkage.motion.rest import PedalRest
from linkage.motion.run import Run
from linkage.parts.lever import LeverRest
from linkage.parts.quadrant import QuadrantRest
from linkage.places import driving_hole
from linkage.quantities.register import is_cabled
from linkage.sheets.scene import Arm, Lever, Link, Pose, Quadrant, When
from solvers.jet import value

#: rad; arcs of an arm are drawn by chords that turn no more than this.
CHORD = 0.1


def frames_of(rest: PedalRest) -> list[int]:
    """Return the frame of each part: a cable's far end has one of its own."""
    frames, frame = [], 0
    for part in rest.pedal.train:
        if part.KIND != "cable" and is_cabled(part):
            frame += 1
        frames.append(frame)
    return frames or [0]


def pad_thick(pedal: Pedal) -> float:
    """Return how far the back of the pad is from its face, mm."""
    return PAD_THICK if pedal.pad_thick is None else pedal.pad_thick.nominal


def at_place(z: object, k: int) -> complex:
    """Return place ``k`` of a run (a fixed point is the same in all)."""
    each = np.ravel(np.asarray(value(z)))
    return complex(each[k if len(each) > 1 else 0])


def hole_of(run: Run, i: int) -> object:
    """Return where the hole that drives part ``i`` (from 0) is."""
    return run.at(driving_hole(run.rest.pedal.train[i]))


def pose_of(
    run: Run,
    k: int,
    when: When,
    members: list[int],
    outline: tuple[complex, ...] | None,
) -> Pose:
    """Return one position of a frame.

    Parameters
    ----------
    run : Run
        Of three positions.
    k : int
        Which of them.
    when : {"rest", "mid", "full"}
    members : list of int
        Parts of the train in this frame, from 0.
    outline : tuple of complex or None
        Of the arm at rest; None in a frame without the arm.
    """
    links, levers, quadrants = [], [], []
    for i in members:
        step, part = run.steps[i], run.rest.parts[i]
        if step.link.kind == "rod":
            links.append(_rod(run, i, k))
        if isinstance(part, LeverRest) and step.body is not None:
            arm = at_place(step.body.carry(part.pivot + part.arm), k)
            out = (
                None
                if part.output is None
                else at_place(step.body.carry(part.output), k)
            )
            levers.append(Lever(pivot=at_place(part.pivot, k), input=arm, output=out))
            if step.link.kind == "cable":
                far = at_place(part.pivot + part.line, k)
                links.append(Link(kind="cable", points=(arm, far)))
        elif isinstance(part, QuadrantRest) and step.body is not None:
            pivot, radius = at_place(part.pivot, k), float(value(part.radius))
            mark = pivot + radius * 1j * complex(np.ravel(step.body.spin)[k])
            quadrants.append(Quadrant(pivot=pivot, radius=radius, mark=mark))
    for i, step in enumerate(run.steps):
        # The near end of a cable is drawn with what drives it.
        if step.link.kind == "cable" and step.link.corner is not None:
            drives = frames_of(run.rest)[i - 1] if i else 0
            if (not members and drives == 0) or (drives == _frame_of(run, members)):
                hole = at_place(hole_of(run, i), k)
                far = at_place(step.link.far(), k)
                links.append(Link(kind="cable", points=(hole, far)))
    return Pose(
        at=when,
        travel=float(np.ravel(run.travel.v)[k]),
        arm=None if outline is None else _arm(run, k, outline),
        links=tuple(links),
        levers=tuple(levers),
        quadrants=tuple(quadrants),
    )


def _frame_of(run: Run, members: list[int]) -> int:
    return frames_of(run.rest)[members[0]] if members else 0


def _rod(run: Run, i: int, k: int) -> Link:
    return Link(
        kind="rod",
        points=(at_place(hole_of(run, i), k), at_place(run.steps[i].link.far(), k)),
    )


def _arm(run: Run, k: int, outline: tuple[complex, ...]) -> Arm:
    pedal = run.rest.pedal
    holes = {}
    if "clevis" in pedal.points:
        holes["hole"] = at_place(run.at(f"{pedal.name}.clevis"), k)
    for key in pedal.points:
        if key.startswith("holes."):
            holes[key.removeprefix("holes.")] = at_place(
                run.at(f"{pedal.name}.{key}"), k
            )
    pivot, pad = at_place(run.rest.pivot, k), at_place(run.at(f"{pedal.name}.pad"), k)
    spin = (pad - pivot) / (at_place(run.rest.pad, 0) - pivot)
    return Arm(
        pivot=pivot,
        pad=pad,
        holes=holes,
        outline=tuple(pivot + (point - pivot) * spin for point in outline),
    )


def outline_of(rest: PedalRest) -> tuple[complex, ...]:
    """Return points round the arm at rest, as it is cut; none where that fails."""
    places = rest.places
    try:
        plan = plan_at(places.design, rest.pedal.name, places)
        contour = shape_arm(plan).contour
    except DesignError:
        return ()
    points = contour[:, 0] + 1j * contour[:, 1]
    ends = zip(points, np.roll(points, -1), contour[:, 2], strict=True)
    return tuple(
        point
        for a, b, bulge in ends
        for point in _chords(complex(a), complex(b), float(bulge))
    )


def _chords(a: complex, b: complex, bulge: float) -> list[complex]:
    """Return points of a piece of a contour, its end left out."""
    if bulge == 0.0:
        return [a]
    centre, _, sweep = arc_of_bulge(a, b, bulge)
    count = 1 + int(abs(sweep) / CHORD)
    return [
        centre + (a - centre) * cmath.rect(1.0, sweep * n / count) for n in range(count)
    ]

"""The working of each part of a train: places and movements, and what the ratio gets.

The closed forms are those that `solvers.derive` derives; perpendiculars from the pivots
to the rods, as on paper, give the factors of the ratio.
"""

import cmath
import math

import numpy as np
from msgspec import Struct

from linkage.motion.run import Run
from linkage.parts.cable import CableRest, RunRest
from linkage.parts.cylinder import CylinderRest
from linkage.parts.lever import LeverRest
from linkage.parts.quadrant import QuadrantRest
from linkage.words.worked_lines import (
    lines_of,
    perpendicular,
    place_of,
    plain,
    put,
    short,
    told,
    turn_of,
)
from solvers.derive.working import working

#: Degrees of one rad, as it is put into a formula.
IN_DEGREES = "57.29578"
#: Factors of the ratio: as they are written, and their values.
Gain = list[tuple[str, float]]


class Frame(Struct, frozen=True, eq=False):
    """What turns: its pivot, and its turn from rest, rad."""

    pivot: complex
    turn: float
    name: str


def stage(run: Run, index: int, frame: Frame) -> tuple[list[str], Frame, Gain | None]:
    """Return the lines of one part, what turns after it, and what it gives the ratio."""
    part = run.rest.parts[index]
    lines: list[str] = []
    if isinstance(part, CylinderRest):
        hole = _hole(lines, frame, place_of(part.drive.hole))
        gain = _slider(lines, run, part, frame, hole)
        return lines, frame, gain
    if isinstance(part, LeverRest) and part.run is None:
        hole = _hole(lines, frame, place_of(part.drive.hole))
        return lines, *_rod_lever(lines, part, frame, hole)
    if isinstance(part, LeverRest | QuadrantRest | CableRest):
        near = part.run
        if near is None:
            raise TypeError("a rod-driven lever was dealt with above")
        taken, gain = _near_end(lines, near, frame)
        if isinstance(part, LeverRest):
            return lines, *_cable_lever(
                lines, part, taken, gain, last=_last(run, index)
            )
        if isinstance(part, QuadrantRest):
            _unrolled(lines, taken, plain(part.radius))
        return lines, frame, gain
    raise TypeError(f"no working for {type(part).__name__}")


def _unrolled(lines: list[str], taken: float, radius: float) -> None:
    """Say how far a quadrant has turned."""
    (line,) = working("unrolled", {"taken": taken, "a": radius})
    lines += told(
        line.what,
        f"{line.formula}, in deg",
        f"{IN_DEGREES} * {short(taken)} / {short(radius)}",
        line.result,
        line.unit,
    )


def _last(run: Run, index: int) -> bool:
    return index == len(run.rest.parts) - 1


def _hole(lines: list[str], frame: Frame, rest: complex) -> complex:
    """Say where the driving hole is now."""
    arm = rest - frame.pivot
    numbers = {
        "px": frame.pivot.real,
        "pz": frame.pivot.imag,
        "reach": abs(arm),
        "angle": cmath.phase(arm),
        "turn": frame.turn,
    }
    lines += lines_of(working("carried", numbers))
    return frame.pivot + arm * cmath.exp(1j * frame.turn)


def _slider(
    lines: list[str], run: Run, part: CylinderRest, frame: Frame, hole: complex
) -> Gain:
    seat, axis, rod = place_of(part.seat), place_of(part.axis), plain(part.rod)
    numbers = {
        "px": frame.pivot.real,
        "pz": frame.pivot.imag,
        "x": hole.real,
        "z": hole.imag,
        "sx": seat.real,
        "sz": seat.imag,
        "axis": cmath.phase(axis),
        "rod": rod,
        "side": part.part.sign,
    }
    worked = working("slider", numbers)
    lines += lines_of(worked[:4])
    play = plain(run.rest.places.number(part.part.free_play))
    moved = worked[2].result
    lines += told(
        "stroke of the piston",
        "stroke = max(0, e - free_play)",
        f"max(0, {put(moved)} - {short(play)})",
        max(0.0, moved - play),
        "mm",
    )
    end = place_of(run.steps[part.part.number - 1].link.far())
    h = perpendicular(lines, "h", f"the {frame.name}'s pivot", frame.pivot, hole, end)
    lean = worked[3].result
    return [
        (f"cos({short(lean)} deg) / {short(h)}", math.cos(math.radians(lean)) / h),
    ]


def _rod_lever(
    lines: list[str], part: LeverRest, frame: Frame, hole: complex
) -> tuple[Frame, Gain]:
    pivot, arm = place_of(part.pivot), place_of(part.arm)
    numbers = {
        "x": hole.real,
        "z": hole.imag,
        "qx": pivot.real,
        "qz": pivot.imag,
        "c": abs(arm),
        "rod": plain(part.link),
        "side": float(np.ravel(part.sign)[0]),
    }
    worked = working("swing", numbers)
    lines += lines_of(worked)
    turn = turn_of(lines, math.radians(worked[-1].result), cmath.phase(arm))
    now = pivot + arm * cmath.exp(1j * turn)
    h = perpendicular(lines, "h", f"the {frame.name}'s pivot", frame.pivot, hole, now)
    q = perpendicular(lines, "q", "the driven lever's pivot", pivot, hole, now)
    return Frame(pivot, turn, "lever"), [(f"{short(q)} / {short(h)}", q / h)]


def _near_end(lines: list[str], near: RunRest, frame: Frame) -> tuple[float, Gain]:
    """Say what the cable's near end draws; return what is left after its slack."""
    slack = plain(near.slack)
    if near.drum is not None:
        drum = plain(near.drum)
        pull = drum * abs(frame.turn)
        lines += told(
            "cable drawn off the drum",
            "p = drum * |turn|, turn in rad",
            f"{short(drum)} * {short(abs(math.degrees(frame.turn)))} / {IN_DEGREES}",
            pull,
            "mm",
        )
        gain = [(f"1 / {short(drum)}", 1.0 / drum)]
    else:
        rest_hole = place_of(near.drive.hole)
        guide = place_of(near.ferrule)
        hole = _hole(lines, frame, rest_hole)
        numbers = {
            "x": hole.real,
            "z": hole.imag,
            "gx": guide.real,
            "gz": guide.imag,
            "rest": abs(rest_hole - guide),
        }
        worked = working("drawn", numbers)
        lines += lines_of(worked)
        pull = worked[-1].result
        pivot = f"the {frame.name}'s pivot"
        h = perpendicular(lines, "h", pivot, frame.pivot, hole, guide)
        gain = [(f"1 / {short(h)}", 1.0 / h)]
    lines += told(
        "what reaches the far end",
        "taken = max(0, p - slack)",
        f"max(0, {put(pull)} - {short(slack)})",
        max(0.0, pull - slack),
        "mm",
    )
    return max(0.0, pull - slack), gain


def _cable_lever(
    lines: list[str], part: LeverRest, taken: float, gain: Gain, *, last: bool
) -> tuple[Frame, Gain]:
    pivot, arm, line = place_of(part.pivot), place_of(part.arm), place_of(part.line)
    numbers = {
        "taken": taken,
        "free": plain(part.link),
        "span": abs(line),
        "toward": cmath.phase(line),
        "c": abs(arm),
        "side": float(np.ravel(part.sign)[0]),
    }
    worked = working("shortened", numbers)
    lines += lines_of(worked)
    turn = turn_of(lines, math.radians(worked[-1].result), cmath.phase(arm))
    if last:
        return Frame(pivot, turn, "lever"), gain
    now = pivot + arm * cmath.exp(1j * turn)
    q = perpendicular(lines, "q", "the driven lever's pivot", pivot, pivot + line, now)
    return Frame(pivot, turn, "lever"), [*gain, (short(q), q)]

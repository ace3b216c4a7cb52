"""A sweep worked by hand: formula, numbers put in, result, a line each.

Two roads meet here: the closed forms of each part (as `solvers.derive` derives them)
give places and movements; perpendiculars from the pivots to the rods, as on paper, give
the ratio. The last line holds it against the sweep's own exact derivative.
"""

import cmath
import math
from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from linkage.design.records import Design
from linkage.motion.rest import PedalRest
from linkage.motion.run import Run, move
from linkage.parts.cable import CableRest, RunRest
from linkage.parts.cylinder import CylinderRest
from linkage.parts.lever import LeverRest
from linkage.parts.quadrant import QuadrantRest
from linkage.quantities import laws
from linkage.sweeping import sweep
from linkage.units import trim
from solvers.derive.working import Line, working
from solvers.jet import value


class Frame(Struct, frozen=True, eq=False):
    """What turns: its pivot, and its turn from rest, rad."""

    pivot: complex
    turn: float
    name: str


def working_text(design: Design, pedal: str, at: list[float] | None = None) -> str:
    """Return the working of one pedal at some places of its travel (left out: full).

    Raises
    ------
    DesignError
        As `linkage.sweeping.sweep`.
    """
    swept = sweep(design, pedal, at=at, positions=2)
    rest = swept.rest
    travels = [float(x) for x in swept["travel"]]
    if not travels:
        return f"{pedal}: nothing to work out, it cannot be put together.\n"
    if at is None:
        travels = travels[-1:]
    lines = [f"{pedal}: worked by hand. x forward, z up, mm; angles from +x."]
    for travel in travels:
        lines += ["", f"  After {trim(travel, 3)} mm of pad"]
        lines += [f"    {line}" for line in _place(rest, travel)]
    return "\n".join(lines) + "\n"


def _place(rest: PedalRest, travel: float) -> Iterator[str]:
    run = move(rest, np.array([travel]))
    pivot, pad = _point(rest.pivot), _point(rest.pad)
    sense = float(np.ravel(rest.sense)[0])
    radius = abs(pad - pivot)
    yield from _told(
        "radius of the pad",
        "R = sqrt((pad x - pivot x)^2 + (pad z - pivot z)^2)",
        f"sqrt(({_n(pad.real - pivot.real)})^2 + ({_n(pad.imag - pivot.imag)})^2)",
        radius,
        "mm",
    )
    turn = sense * travel / radius
    yield from _told(
        "turn of the arm (anticlockwise positive)",
        "turn = travel / R" if sense > 0.0 else "turn = -travel / R",
        f"{_n(sense * travel)} / {_n(radius)}",
        math.degrees(turn),
        "deg",
    )
    frame = Frame(pivot, turn, "arm")
    factors = [f"{_n(radius)}"]
    product = radius
    for index, part in enumerate(rest.parts):
        yield ""
        record = rest.pedal.train[index]
        yield f"train {index + 1}, {record.KIND}"
        lines, frame, gain = _stage(run, index, frame)
        yield from lines
        if gain is None:
            continue
        for text, number in gain:
            factors.append(text)
            product *= number
        if isinstance(part, CableRest) or _ends_cabled(rest, index):
            break
    yield from _ratio(run, factors, product)


def _ends_cabled(rest: PedalRest, index: int) -> bool:
    """Return True for a cable-driven part that ends the train: pull is its answer."""
    part = rest.parts[index]
    last = index == len(rest.parts) - 1
    return last and getattr(part, "run", None) is not None


Gain = list[tuple[str, float]]


def _stage(run: Run, index: int, frame: Frame) -> tuple[list[str], Frame, Gain | None]:
    """Return the lines of one part, what turns after it, and what it gives the ratio."""
    part = run.rest.parts[index]
    lines: list[str] = []
    if isinstance(part, CylinderRest):
        hole = _hole(lines, frame, _point(part.drive.hole))
        gain = _slider(lines, run, part, frame, hole)
        return lines, frame, gain
    if isinstance(part, LeverRest) and part.run is None:
        hole = _hole(lines, frame, _point(part.drive.hole))
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
            lines += _lines(
                working("unrolled", {"p": taken, "k": 0.0, "a": _real(part.radius)})
            )
        return lines, frame, gain
    raise TypeError(f"no working for {type(part).__name__}")


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
    lines += _lines(working("carried", numbers))
    return frame.pivot + arm * cmath.exp(1j * frame.turn)


def _slider(
    lines: list[str], run: Run, part: CylinderRest, frame: Frame, hole: complex
) -> Gain:
    seat, axis, rod = _point(part.seat), _point(part.axis), _real(part.rod)
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
    lines += _lines(worked[:4])
    play = _real(run.rest.places.number(part.part.free_play))
    moved = worked[2].result
    lines += _told(
        "stroke of the piston",
        "stroke = max(0, e - free_play)",
        f"max(0, {_n(moved)} - {_n(play)})",
        max(0.0, moved - play),
        "mm",
    )
    end = _point(run.steps[-1].link.far())
    p = _perpendicular(lines, f"the {frame.name}'s pivot", frame.pivot, hole, end)
    lean = worked[3].result
    return [
        (f"cos({_n(lean)} deg) / {_n(p)}", math.cos(math.radians(lean)) / p),
    ]


def _rod_lever(
    lines: list[str], part: LeverRest, frame: Frame, hole: complex
) -> tuple[Frame, Gain]:
    pivot, arm = _point(part.pivot), _point(part.arm)
    numbers = {
        "x": hole.real,
        "z": hole.imag,
        "px": pivot.real,
        "pz": pivot.imag,
        "c": abs(arm),
        "r": _real(part.link),
        "side": float(np.ravel(part.sign)[0]),
    }
    worked = working("swing", numbers)
    lines += _lines(worked)
    turn = _turn(lines, math.radians(worked[-1].result), cmath.phase(arm))
    now = pivot + arm * cmath.exp(1j * turn)
    p = _perpendicular(lines, f"the {frame.name}'s pivot", frame.pivot, hole, now)
    q = _perpendicular(lines, "the lever's pivot", pivot, hole, now)
    return Frame(pivot, turn, "lever"), [(f"{_n(q)} / {_n(p)}", q / p)]


def _near_end(lines: list[str], near: RunRest, frame: Frame) -> tuple[float, Gain]:
    """Say what the cable's near end draws; return what is left after its slack."""
    slack = _real(near.slack)
    if near.drum is not None:
        drum = _real(near.drum)
        pull = drum * abs(frame.turn)
        lines += _told(
            "cable drawn off the drum",
            "p = drum * |turn|, in rad",
            f"{_n(drum)} * {_n(abs(frame.turn))}",
            pull,
            "mm",
        )
        gain = [(f"1 / {_n(drum)}", 1.0 / drum)]
    else:
        rest_hole = _point(near.drive.hole)
        guide = _point(near.ferrule)
        hole = _hole(lines, frame, rest_hole)
        numbers = {
            "x": hole.real,
            "z": hole.imag,
            "gx": guide.real,
            "gz": guide.imag,
            "rest": abs(rest_hole - guide),
        }
        worked = working("drawn", numbers)
        lines += _lines(worked)
        pull = worked[-1].result
        p = _perpendicular(lines, f"the {frame.name}'s pivot", frame.pivot, hole, guide)
        gain = [(f"1 / {_n(p)}", 1.0 / p)]
    lines += _told(
        "what reaches the far end",
        "taken = max(0, p - slack)",
        f"max(0, {_n(pull)} - {_n(slack)})",
        max(0.0, pull - slack),
        "mm",
    )
    return max(0.0, pull - slack), gain


def _cable_lever(
    lines: list[str], part: LeverRest, taken: float, gain: Gain, *, last: bool
) -> tuple[Frame, Gain]:
    pivot, arm, line = _point(part.pivot), _point(part.arm), _point(part.line)
    numbers = {
        "p": taken,
        "k": 0.0,
        "rest": _real(part.link),
        "d": abs(line),
        "base": cmath.phase(line),
        "c": abs(arm),
        "side": float(np.ravel(part.sign)[0]),
    }
    worked = working("shortened", numbers)
    lines += _lines(worked)
    turn = _turn(lines, math.radians(worked[-1].result), cmath.phase(arm))
    if last:
        return Frame(pivot, turn, "lever"), gain
    now = pivot + arm * cmath.exp(1j * turn)
    q = _perpendicular(lines, "the lever's pivot", pivot, pivot + line, now)
    return Frame(pivot, turn, "lever"), [*gain, (_n(q), q)]


def _turn(lines: list[str], now: float, rest: float) -> float:
    turn = math.remainder(now - rest, 2.0 * math.pi)
    lines += _told(
        "turn of the lever from rest",
        "turn = psi - psi at rest",
        f"{_n(math.degrees(now))} - {_n(math.degrees(rest))}",
        math.degrees(turn),
        "deg",
    )
    return turn


def _perpendicular(
    lines: list[str], what: str, pivot: complex, a: complex, b: complex
) -> float:
    """Say how far a pivot is from the line through two points."""
    way, arm = (b - a) / abs(b - a), a - pivot
    size = abs((np.conj(way) * arm).imag)
    lines += _told(
        f"perpendicular from {what} to the line of pull or push",
        "p = |ux * (z - pz) - uz * (x - px)|, u along the line",
        f"|{_n(way.real)} * {_n(arm.imag)} - {_n(way.imag)} * {_n(arm.real)}|",
        float(size),
        "mm",
    )
    return float(size)


def _ratio(run: Run, factors: list[str], product: float) -> Iterator[str]:
    if not run.rest.parts:
        return
    yield ""
    last = run.rest.parts[-1]
    if isinstance(last, LeverRest) and last.run is None:
        rate = math.degrees(1.0 / product)
        exact = math.degrees(float(np.ravel(laws.lever_rate(run).v)[0]))
        yield from _told(
            "turn of the lever for each mm of pad",
            "rate = 1 / (R * product of perpendiculars), in deg",
            f"57.29578 / ({' * '.join(factors)})",
            rate,
            "deg/mm",
        )
    else:
        rate = product
        exact = float(np.ravel(laws.ratio(run).v)[0])
        yield from _told(
            "ratio, by perpendiculars", "ratio", " * ".join(factors), rate, ""
        )
    if math.isnan(exact):
        yield "the sweep gives no ratio here: slack is not taken up"
    else:
        yield f"the sweep's own derivative: {_n(exact, 9)}"


def _lines(worked: tuple[Line, ...]) -> list[str]:
    said: list[str] = []
    for line in worked:
        formula = line.formula
        numbers = line.with_numbers.split("=", 1)[-1].strip()
        said += _told(line.what, formula, numbers, line.result, line.unit)
    return said


def _told(what: str, formula: str, numbers: str, result: float, unit: str) -> list[str]:
    shown = f"{_n(result)} {unit}".strip()
    return [f"{what}", f"  {formula}", f"  = {numbers} = {shown}"]


def _n(number: float, digits: int = 6) -> str:
    return trim(number, digits)


def _point(z: object) -> complex:
    return complex(np.ravel(np.asarray(value(z)))[0])


def _real(x: object) -> float:
    return float(np.ravel(np.asarray(value(x)))[0])

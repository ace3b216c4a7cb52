"""A pedal at 101 places of its travel, as the page draws it.

What turns is drawn once, at rest, with its turn at each place; ends of rods and cables,
and pistons, are told place by place. Points are [x, z] in mm of the part's own frame
of measuring: 0 is the car, each far end of a cable has one of its own.
"""

import cmath
import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.arm.fitted import plan_at
from linkage.design.records import Design
from linkage.motion.run import Run
from linkage.page.outlines import (
    arm_path,
    circle_path,
    cylinder_corners,
    cylinder_paths,
    disc_path,
    plate_path,
)
from linkage.parts.cylinder import CylinderRest
from linkage.parts.lever import LeverRest
from linkage.parts.quadrant import QuadrantRest
from linkage.quantities.register import is_cabled
from linkage.sheets.fixed import cylinders_of, ferrules_of
from linkage.sheets.furniture import plate_of
from linkage.sheets.mechanism import LEVER_BOSS, LEVER_EYE, PAD_HALF
from linkage.sheets.poses import hole_of, pad_thick
from linkage.sheets.ruler import RULERS
from linkage.words.speech import Speech
from solvers.jet import value

#: Places of the travel, both ends in.
PLACES = 101
#: Decimals of mm and deg that are sent.
FINE = 4
#: Radius of a pin that no bore is given for, mm.
PIN = 4.0

Row = dict[str, Any]


class Frames(Struct, frozen=True, kw_only=True, eq=False):
    """A pedal's moving parts for the page.

    Attributes
    ----------
    drawn : dict
        ``bodies``, ``links``, ``cylinders``, ``ferrules``, ``pad``, ``ticks``.
    reach : dict of int to list of complex
        By frame: points that a drawing must show.
    """

    drawn: Row
    reach: dict[int, list[complex]]


def frame_numbers(design: Design) -> dict[str, list[int]]:
    """Return the frame of each part of each pedal, the arm's own first.

    Frames beyond cables are counted through the whole design, from 1.
    """
    count, found = 0, {}
    for name, pedal in design.pedals.items():
        frames = [0]
        for part in pedal.train:
            if part.KIND != "cable" and is_cabled(part):
                count += 1
                frames.append(count)
            else:
                frames.append(frames[-1])
        found[name] = frames
    return found


def frames(
    design: Design, run: Run, numbers: Sequence[int], speech: Speech, *, quick: bool
) -> Frames:
    """Return the moving parts of a pedal.

    Parameters
    ----------
    design : Design
    run : Run
        From rest to as far as it goes.
    numbers : sequence of int
        The frame of the arm and of each part: see `frame_numbers`.
    speech : Speech
    quick : bool
        Outlines that are not known yet are drawn plainly.
    """
    cylinders = [*_cylinders(run, numbers, speech)]
    drawn: Row = {
        "bodies": [_arm(design, run, quick=quick), *_levers(run, numbers)],
        "links": [*_links(run, numbers)],
        "cylinders": [row for row, _ in cylinders],
        "ferrules": [*_ferrules(run, numbers)],
        "pad": _pad(run),
        "ticks": _ticks(run, speech),
    }
    reach = _reach(drawn)
    for row, corners in cylinders:
        reach.setdefault(row["frame"], []).extend(corners)
    return Frames(drawn=drawn, reach=reach)


# ------------------------------------------------------------------------- numbers


def point(z: complex) -> list[float] | None:
    """Return a point as [x, z]; None where it is nowhere."""
    if not cmath.isfinite(z):
        return None
    return [round(z.real, FINE) + 0.0, round(z.imag, FINE) + 0.0]


def one(z: Any) -> complex:
    """Return the first place of a point that may move."""
    return complex(np.ravel(value(z))[0])


def series(x: Any, digits: int = FINE) -> list[float | None]:
    """Return numbers rounded; None for nan."""
    numbers: list[float | None] = (np.round(np.ravel(x), digits) + 0.0).tolist()
    if np.isfinite(x).all():
        return numbers
    return [n if n is not None and math.isfinite(n) else None for n in numbers]


def points(z: Any, count: int) -> list[list[float] | None]:
    """Return the places of a point that may move."""
    flat = np.ravel(value(z))
    each = flat if len(flat) == count else np.broadcast_to(flat, (count,))
    pairs = np.ascontiguousarray(each, complex).view(float).reshape(count, 2)
    rows: list[list[float] | None] = (np.round(pairs, FINE) + 0.0).tolist()
    if np.isfinite(pairs).all():
        return rows
    return [row if all(map(math.isfinite, row or ())) else None for row in rows]


def _count(run: Run) -> int:
    return int(np.size(run.travel.v))


def _turn(turn: Any, count: int) -> list[float | None]:
    degrees = np.degrees(np.broadcast_to(np.ravel(turn), (count,)))
    return series(degrees)


# -------------------------------------------------------------------------- bodies


def _arm(design: Design, run: Run, *, quick: bool) -> Row:
    plan = plan_at(design, run.rest.pedal.name, run.rest.places)
    path, cut = arm_path(plan, quick=quick)
    return {
        "id": "arm",
        "frame": 0,
        "kind": "arm",
        "pivot": point(plan.pivot),
        "path": path,
        "cut": cut,
        "pins": [
            [*at, round(0.5 * plan.bore(name), FINE)]
            for name, where in plan.centres.items()
            if (at := point(where)) is not None
        ],
        "turn": _turn(run.arm.turn().v, _count(run)),
    }


def _levers(run: Run, numbers: Sequence[int]) -> Iterator[Row]:
    for i, (step, part) in enumerate(zip(run.steps, run.rest.parts, strict=True)):
        if step.body is None:
            continue
        pivot = one(part.pivot) if isinstance(part, LeverRest | QuadrantRest) else 0j
        row: Row = {"id": run.rest.pedal.train[i].label, "frame": numbers[i + 1]}
        if isinstance(part, LeverRest):
            row |= _lever(part, pivot)
        elif isinstance(part, QuadrantRest):
            row |= _quadrant(part, pivot)
        if row["path"]:
            row["turn"] = _turn(step.body.turn().v, _count(run))
            yield row


def _lever(part: LeverRest, pivot: complex) -> Row:
    eyes = [pivot + one(part.arm)]
    eyes += [] if part.output is None else [one(part.output)]
    if not all(map(cmath.isfinite, (pivot, *eyes))):
        return {"path": ""}
    pins = [(pivot, 1.5 * PIN), *((eye, PIN) for eye in eyes)]
    return {
        "kind": "lever",
        "pivot": point(pivot),
        "path": disc_path([(pivot, LEVER_BOSS), *((eye, LEVER_EYE) for eye in eyes)]),
        "pins": [[*(point(at) or ()), radius] for at, radius in pins],
    }


def _quadrant(part: QuadrantRest, pivot: complex) -> Row:
    radius = float(value(part.radius))
    rim = point(pivot + 1j * radius)
    return {
        "kind": "quadrant",
        "pivot": point(pivot),
        "path": circle_path(pivot, radius) + circle_path(pivot, 0.86 * radius),
        "pins": [[*(point(pivot) or ()), min(1.5 * PIN, 0.5 * radius)]],
        "mark": [point(pivot), rim],
    }


# --------------------------------------------------------------------------- links


def _links(run: Run, numbers: Sequence[int]) -> Iterator[Row]:
    for i, (step, part) in enumerate(zip(run.steps, run.rest.parts, strict=True)):
        name = run.rest.pedal.train[i].label
        if step.link.kind == "rod":
            yield from _link(run, name, "rod", numbers[i + 1], hole_of(run, i), i)
            continue
        if step.link.corner is not None:
            yield from _link(run, name, "cable", numbers[i], hole_of(run, i), i)
        if isinstance(part, LeverRest) and step.body is not None:
            near = step.body.carry(part.pivot + part.arm)
            far = value(part.pivot) + value(part.line)
            row = _row(f"{name}.far", "cable", numbers[i + 1], near, far, _count(run))
            yield from row


def _link(
    run: Run, name: str, kind: str, frame: int, hole: object, i: int
) -> Iterator[Row]:
    yield from _row(name, kind, frame, hole, run.steps[i].link.far(), _count(run))


def _row(
    name: str, kind: str, frame: int, a: object, b: object, count: int
) -> Iterator[Row]:
    """Yield a link, unless there is none at rest."""
    if not (cmath.isfinite(one(a)) and cmath.isfinite(one(b))):
        return
    ends = {"a": points(a, count), "b": points(b, count)}
    yield {"id": name, "frame": frame, "kind": kind, **ends}


def _cylinders(
    run: Run, numbers: Sequence[int], speech: Speech
) -> Iterator[tuple[Row, list[complex]]]:
    members = [i for i, p in enumerate(run.rest.parts) if isinstance(p, CylinderRest)]
    members = [i for i in members if cmath.isfinite(one(run.steps[i].link.far()))]
    for i, item in zip(members, cylinders_of(run, members, speech), strict=True):
        part = run.rest.pedal.train[i]
        play = float(value(run.rest.places.number(getattr(part, "free_play", None))))
        moved = np.maximum(np.ravel(run.steps[i].end().v) - play, 0.0)
        row = {
            "id": run.rest.pedal.train[i].label,
            "frame": numbers[i + 1],
            "axis": point(item.axis),
            "face": point(item.face),
            **cylinder_paths(item),
            "text": list(item.text),
            "piston": points(item.seat + item.axis * (play + moved), _count(run)),
        }
        yield row, cylinder_corners(item)


def _ferrules(run: Run, numbers: Sequence[int]) -> Iterator[Row]:
    for frame in sorted(set(numbers)):
        for item in ferrules_of(run, frame, list(numbers[1:])):
            if cmath.isfinite(item.at) and cmath.isfinite(item.inner):
                yield {
                    "frame": frame,
                    "at": point(item.at),
                    "inner": point(item.inner),
                    "text": " ".join(item.text),
                }


# ----------------------------------------------------------------------------- pad


def _press(run: Run) -> complex:
    """Return the way the pad first moves, a unit vector."""
    arm = one(run.rest.pad) - one(run.rest.pivot)
    return 1j * float(np.ravel(run.rest.sense)[0]) * arm / abs(arm)


def _pad(run: Run) -> Row:
    pedal = run.rest.pedal
    pad, thick = one(run.rest.pad), pad_thick(pedal)
    arm = pad - one(run.rest.pivot)
    half, turn = plate_of(run.rest)
    return {
        "path": points(run.at(f"{pedal.name}.pad"), _count(run)),
        "thick": thick,
        "rest": plate_path(pad, arm * turn, _press(run) * turn * thick, half),
        "press": point(_press(run)),
    }


def on_arc(run: Run, travel: NDArray[np.float64] | float) -> NDArray[np.complex128]:
    """Return where the pad is at some places of the travel."""
    pivot, pad = one(run.rest.pivot), one(run.rest.pad)
    turn = float(np.ravel(run.rest.sense)[0]) * np.asarray(travel) / abs(pad - pivot)
    return np.atleast_1d(pivot + (pad - pivot) * np.exp(1j * turn))


def _ticks(run: Run, speech: Speech) -> list[list[Any]]:
    upto = float(np.ravel(run.travel.v)[-1])
    ruler = RULERS[speech.units]
    places = np.arange(0.0, upto + 1e-9, ruler.tick)
    return [
        [ruler.number(x) if ruler.is_long(x) else "", *(point(z) or ())]
        for x, z in zip(places.tolist(), on_arc(run, places).tolist(), strict=True)
    ]


# --------------------------------------------------------------------------- reach


def _reach(drawn: Row) -> dict[int, list[complex]]:
    """Return points that must show: bodies at rest, links from end to end."""
    found: dict[int, list[complex]] = {0: []}
    for body in drawn["bodies"]:
        at = found.setdefault(body["frame"], [])
        for x, z, r in body["pins"]:
            around = max(3.0 * r, LEVER_BOSS)
            at += [complex(x - around, z - around), complex(x + around, z + around)]
    for link in drawn["links"]:
        ends = [link["a"][0], link["a"][-1], link["b"][0], link["b"][-1]]
        found.setdefault(link["frame"], []).extend(
            complex(*end) for end in ends if end is not None
        )
    for ferrule in drawn["ferrules"]:
        out = complex(*ferrule["inner"])
        end = complex(*ferrule["at"])
        found.setdefault(ferrule["frame"], []).extend(
            (end - 45.0 * out, end + 22j * out, end - 22j * out)
        )
    way = [complex(*p) for p in drawn["pad"]["path"][::20] if p is not None]
    half = complex(PAD_HALF, PAD_HALF)
    found[0] += [p + side * half for p in way for side in (-1.0, 1.0)]
    return found


def cable_ends(design: Design) -> dict[int, str]:
    """Return what lies in each frame beyond a cable, in words."""
    found = {}
    for name, numbers in frame_numbers(design).items():
        for frame in sorted(set(numbers[1:]) - {0}):
            found[frame] = f"far end of the {name} cable"
    return found

"""From a design and its motion to the scene of a picture."""

import hashlib
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Literal

import numpy as np

from linkage.arm.fitted import PAD_THICK
from linkage.design.records import Cartesian, Design, Pedal
from linkage.design.values import Value
from linkage.motion.rest import PedalRest
from linkage.motion.run import Run, move
from linkage.parts.cylinder import CylinderRest
from linkage.parts.lever import LeverRest
from linkage.parts.quadrant import QuadrantRest
from linkage.places import Places
from linkage.quantities.laws import crank_angle
from linkage.quantities.register import is_cabled
from linkage.sheets.curves import notes_of, panels_of
from linkage.sheets.ruler import RULERS
from linkage.sheets.scene import (
    Arm,
    Cylinder,
    Datum,
    Ferrule,
    Group,
    Length,
    Lever,
    Link,
    Named,
    Pose,
    Quadrant,
    Reading,
    Scene,
    Square,
    When,
)
from linkage.sheets.stamp import Stamp
from linkage.sweeping import Sweep, sweep
from linkage.words.speech import Speech
from solvers.jet import value
from solvers.root import first_zero

CURVE = 121
#: mm; ends of a floor or bulkhead that is given by one number. The sheet cuts it.
ENDLESS = 1e5
#: mm of paper from the arm to the dimension of its length.
BESIDE = 5.5
#: mm; where no face is given the body is drawn from this far before the seat.
FACE_GUESS = 12.0
#: What stands for a bore or a stroke that the file does not give, mm.
BORE_GUESS, STROKE_GUESS = 19.0, 30.0


def stamp_of(design: Design) -> Stamp:
    """Return file name, date and fingerprint of a design.

    The date is the file's own (UTC), "no date" for a design that is not on disk; the
    fingerprint is the head of the SHA-256 of its text.
    """
    path = Path(design.file)
    try:
        written = datetime.fromtimestamp(path.stat().st_mtime, UTC)
        date = f"{written:%Y-%m-%d %H:%M}"
    except OSError:
        date = "no date"
    digest = hashlib.sha256(design.text.encode()).hexdigest()
    return Stamp(file=path.name, date=date, fingerprint=digest[:8])


def scene_of(
    design: Design, pedals: Sequence[str], *, door_left: bool = False
) -> Scene:
    """Return the scene of a sweep picture for some pedals of a design.

    Raises
    ------
    DesignError
        As `linkage.sweeping.sweep`.
    """
    sweeps = [sweep(design, name, positions=CURVE) for name in pedals]
    speech = Speech(design.units)
    near, far = [], []
    for swept in sweeps:
        own, beyond = _groups(swept, speech)
        near.append(own)
        far += beyond
    title = design.title or Path(design.file).stem
    names = ", ".join(pedals) if len(pedals) < len(design.pedals) else "all pedals"
    rests = [swept.rest for swept in sweeps]
    return Scene(
        units=design.units,
        title=f"{title}: {pedals[0] if len(pedals) == 1 else names}",
        stamp=stamp_of(design),
        groups=tuple(near),
        far=tuple(far),
        door_left=door_left,
        back=_datum(design.footwell.marks.back),
        up=_datum(design.footwell.marks.up),
        floor=line_of(design, "floor"),
        bulkhead=line_of(design, "bulkhead"),
        readings=tuple(_readings(rests, speech)),
        lengths=(*arm_lengths(sweeps, speech), *gaps_at_full(design, sweeps, speech)),
        panels=tuple(panels_of(sweeps, speech)),
        guesses=len(design.guesses),
        notes=tuple(notes_of(sweeps, speech)),
    )


def _datum(text: str) -> Datum | None:
    return Datum(place=0.0, text=text) if text else None


def line_of(
    design: Design, what: str, places: Places | None = None
) -> tuple[complex, complex] | None:
    """Return the ends of the floor or the bulkhead; a bare number has none near."""
    given = design.footwell.floor if what == "floor" else design.footwell.bulkhead
    if given is None:
        return None
    places = places or Places(design)
    if isinstance(given, tuple):
        a, b = (complex(value(places.form(point))) for point in given)
        return a, b
    at = float(value(places.number(given)))
    if what == "floor":
        return complex(-ENDLESS, at), complex(ENDLESS, at)
    return complex(at, -ENDLESS), complex(at, ENDLESS)


def _groups(swept: Sweep, speech: Speech) -> tuple[Group, list[Group]]:
    """Return the pedal in the car's frame, and what lies beyond each cable."""
    rest = swept.rest
    whole = float(value(rest.travel))
    upto = whole if swept.limit is None else swept.limit.travel * (1.0 - 1e-9)
    run = move(rest, np.array([0.0, 0.5 * upto, upto]))
    frames = frames_of(rest)
    # The hole of the last rod or cable: before the cable, where a cable is the last.
    cabled = [p.KIND != "cable" and is_cabled(p) for p in rest.pedal.train[-1:]]
    home = frames[-1] - any(cabled)
    whens: tuple[When, ...] = ("rest", "mid", "full")
    groups = []
    count = len(rest.parts)
    for frame in range(max(frames) + 1):
        members = [i for i, each in enumerate(frames[:count]) if each == frame]
        poses = tuple(
            _pose(run, k, when, members, with_arm=frame == 0)
            for k, when in enumerate(whens)
        )
        arc, ticks = _arc(rest, upto, speech) if frame == 0 else ((), ())
        groups.append(
            Group(
                name=swept.pedal if frame == 0 else f"{swept.pedal}, far end of cable",
                poses=poses,
                cylinders=tuple(cylinders_of(run, members, speech)),
                ferrules=tuple(ferrules_of(run, frame, frames)),
                arc=arc,
                ticks=ticks,
                pad_thick=pad_thick(rest.pedal),
                square=square_of(swept, upto) if frame == home else None,
                names=tuple(_names(rest, members, frame, swept.pedal)),
            )
        )
    return groups[0], groups[1:]


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


def _pose(run: Run, k: int, when: When, members: list[int], *, with_arm: bool) -> Pose:
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
        arm=_arm(run, k) if with_arm else None,
        links=tuple(links),
        levers=tuple(levers),
        quadrants=tuple(quadrants),
    )


def _frame_of(run: Run, members: list[int]) -> int:
    return frames_of(run.rest)[members[0]] if members else 0


def hole_of(run: Run, i: int) -> object:
    """Return where the hole that drives part ``i`` (from 0) is."""
    name = run.rest.pedal.name
    return run.at(f"{name}.clevis" if i == 0 else f"{name}.train.{i}.output")


def _rod(run: Run, i: int, k: int) -> Link:
    return Link(
        kind="rod",
        points=(at_place(hole_of(run, i), k), at_place(run.steps[i].link.far(), k)),
    )


def _arm(run: Run, k: int) -> Arm:
    pedal = run.rest.pedal
    holes = {}
    if "clevis" in pedal.points:
        holes["hole"] = at_place(run.at(f"{pedal.name}.clevis"), k)
    for key in pedal.points:
        if key.startswith("holes."):
            holes[key.removeprefix("holes.")] = at_place(
                run.at(f"{pedal.name}.{key}"), k
            )
    return Arm(
        pivot=at_place(run.rest.pivot, k),
        pad=at_place(run.at(f"{pedal.name}.pad"), k),
        holes=holes,
    )


def cylinders_of(run: Run, members: list[int], speech: Speech) -> Iterator[Cylinder]:
    """Return the cylinders among some parts; ``run`` ends at full."""
    for i in members:
        part = run.rest.parts[i]
        if not isinstance(part, CylinderRest):
            continue
        record, places = part.part, run.rest.places
        axis, seat, sign = (
            at_place(part.axis, 0),
            at_place(part.seat, 0),
            part.part.sign,
        )
        play = float(value(places.number(record.free_play)))
        stroke = float(value(places.number(record.stroke, STROKE_GUESS)))
        bore = float(value(places.number(record.bore, BORE_GUESS)))
        face = seat - axis * (sign * FACE_GUESS)
        if record.face is not None:
            face = complex(value(places.point(f"{record.path}.face")))
        text = [record.name or "cylinder"]
        if record.bore is not None:
            text.append(f"bore {record.bore.text or speech.short(bore)}")
        yield Cylinder(
            axis=axis,
            face=face,
            seat=seat,
            end=seat + axis * (play + stroke),
            full=at_place(run.steps[i].link.far(), -1),
            bore=bore,
            pull=bool(record.pull),
            text=tuple(text),
        )


def ferrules_of(run: Run, frame: int, frames: list[int]) -> Iterator[Ferrule]:
    """Return the ferrules in one of the frames of a pedal; ``run`` starts at rest."""
    for i, step in enumerate(run.steps):
        if step.link.kind != "cable":
            continue
        drives = frames[i - 1] if i else 0
        if drives == frame and step.link.corner is not None:
            at = at_place(step.link.far(), 0)
            inner = at_place(hole_of(run, i), 0) - at
            yield Ferrule(at=at, inner=inner / abs(inner), text=("ferrule",))
        part = run.rest.parts[i]
        if frames[i] == frame and isinstance(part, LeverRest):
            at = at_place(part.pivot + part.line, 0)
            inner = at_place(part.pivot + part.arm, 0) - at
            yield Ferrule(at=at, inner=inner / abs(inner), text=("far ferrule",))


def _arc(
    rest: PedalRest, upto: float, speech: Speech
) -> tuple[tuple[complex, ...], tuple[tuple[float, complex], ...]]:
    pad = f"{rest.pedal.name}.pad"
    places = np.linspace(0.0, upto, 61)
    ticks = np.arange(0.0, upto + 1e-9, RULERS[speech.units].tick)
    arc = np.asarray(value(move(rest, places).at(pad)))
    marks = np.asarray(value(move(rest, ticks).at(pad)))
    return (
        tuple(complex(z) for z in arc),
        tuple((float(x), complex(z)) for x, z in zip(ticks, marks, strict=True)),
    )


def square_of(swept: Sweep, upto: float) -> Square | None:
    """Return where the last rod or cable stands square to the arm that drives it."""
    if "crank_angle" not in swept.columns or not len(swept["crank_angle"]):
        return None
    start = float(swept["crank_angle"][0]) - 90.0
    sign = 1.0 if start > 0.0 else -1.0
    found = first_zero(
        lambda x: sign * (np.asarray(crank_angle(move(swept.rest, x)).v) - 0.5 * np.pi),
        0.0,
        upto,
    )
    if found is None:
        return None
    run = move(swept.rest, np.full(3, found))
    last = len(run.steps) - 1
    body = run.steps[last].link.driver
    return Square(
        corner=at_place(hole_of(run, last), 0),
        arm=at_place(body.pivot, 0),
        rod=at_place(run.steps[last].link.far(), 0),
        travel=found,
    )


def _names(
    rest: PedalRest, members: list[int], frame: int, pedal: str
) -> Iterator[Named]:
    if frame == 0:
        yield Named(at=complex(value(rest.pivot)), text=("pivot",))
        yield Named(at=complex(value(rest.pad)), text=(f"{pedal} pad",))
    for i in members if rest.parts else []:
        part, record = rest.parts[i], rest.pedal.train[i]
        if isinstance(part, LeverRest | QuadrantRest):
            kind = (
                "bell crank"
                if getattr(part, "output", None) is not None
                else record.KIND
            )
            yield Named(at=complex(value(part.pivot)), text=(record.name or kind,))


def _readings(rests: Sequence[PedalRest], speech: Speech) -> Iterator[Reading]:
    """Return the numbers that were typed for points of the car's frame."""
    for rest in rests:
        frames = frames_of(rest)
        points = [(key, point) for key, point in rest.pedal.points.items()]
        for part, frame in zip(rest.pedal.train, frames, strict=False):
            if frame == 0:
                keys = ("seat", "on", "face", "pivot", "input", "output", "ferrule")
                points += [
                    (f"train.{part.number}.{key}", point)
                    for key in keys
                    if (point := getattr(part, key, None)) is not None
                ]
        for key, point in points:
            if isinstance(point, Cartesian) and point.base is None:
                at = complex(value(rest.places.point(f"{rest.pedal.name}.{key}")))
                yield from _typed(at, point, speech)


def _typed(at: complex, point: Cartesian, speech: Speech) -> Iterator[Reading]:
    ways: tuple[tuple[Literal["back", "up"], Value, float, tuple[str, str]], ...] = (
        ("back", point.x, point.x_sign, ("ahead", "back")),
        ("up", point.z, point.z_sign, ("up", "down")),
    )
    for axis, number, sign, words in ways:
        if not number.line:
            continue
        said = _said(number, speech)
        if number.path.endswith((".x", ".z")):
            yield Reading(at=at, axis=axis, text=said)
        else:
            less = sign * number.nominal < 0.0 or (number.nominal == 0.0 and sign < 0.0)
            word = words[less]
            yield Reading(at=at, axis=axis, text=f"{said.replace('-', '')} {word}")


def _said(number: Value, speech: Speech) -> str:
    about = "about " if number.guess else ""
    return f"{about}{speech.short(number.nominal)}"


def arm_lengths(sweeps: Sequence[Sweep], speech: Speech) -> Iterator[Length]:
    """Return pivot to pad of each pedal."""
    for swept in sweeps:
        pivot, pad = complex(value(swept.rest.pivot)), complex(value(swept.rest.pad))
        beside = -BESIDE if pad.imag < pivot.imag else BESIDE  # behind the arm
        text = speech.short(abs(pad - pivot))
        yield Length(a=pivot, b=pad, text=text, beside=beside)


def gaps_at_full(
    design: Design, sweeps: Sequence[Sweep], speech: Speech
) -> Iterator[Length]:
    """Return what is left at full, behind the pad and below it, of one pedal alone."""
    if len(sweeps) > 1:
        return
    rest = sweeps[0].rest
    run = move(rest, np.array([float(value(rest.travel))]))
    pad = at_place(run.at(f"{rest.pedal.name}.pad"), 0)
    floor, bulkhead = design.footwell.floor, design.footwell.bulkhead
    if isinstance(bulkhead, Value):
        back = pad + pad_thick(rest.pedal)
        at = float(value(rest.places.number(bulkhead)))
        gap, wall = at - back.real, complex(at, back.imag)
        yield Length(a=back, b=wall, text=f"{speech.short(gap)} left at full")
    if isinstance(floor, Value):
        at = float(value(rest.places.number(floor)))
        gap, ground = pad.imag - at, complex(pad.real, at)
        yield Length(a=pad, b=ground, text=f"{speech.short(gap)} at full")

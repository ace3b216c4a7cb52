"""What stands still in a picture: cylinders, ferrules, and where rod and arm are square."""

from collections.abc import Iterator

import numpy as np

from linkage.motion.run import Run, move
from linkage.parts.cylinder import CylinderRest
from linkage.parts.lever import LeverRest
from linkage.quantities.laws import crank_angle
from linkage.sheets.poses import at_place, hole_of
from linkage.sheets.scene import Cylinder, Ferrule, Square
from linkage.sweeping import Sweep
from linkage.words.speech import Speech
from solvers.jet import value
from solvers.root import first_zero

#: mm; where no face is given the body is drawn from this far before the seat.
FACE_GUESS = 12.0
#: What stands for a bore or a stroke that the file does not give, mm.
BORE_GUESS, STROKE_GUESS = 19.0, 30.0


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
        text = [record.name or f"{record.branch} cylinder".strip()]
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

"""A pedal's motion as groups of a scene: in the car, and beyond each cable."""

from collections.abc import Iterator

import numpy as np

from linkage.motion.rest import PedalRest
from linkage.motion.run import move
from linkage.parts.lever import LeverRest
from linkage.parts.quadrant import QuadrantRest
from linkage.quantities.register import is_cabled
from linkage.sheets.fixed import cylinders_of, ferrules_of, square_of
from linkage.sheets.furniture import plate_of, shoe_of
from linkage.sheets.poses import frames_of, outline_of, pad_thick, pose_of
from linkage.sheets.ruler import RULERS
from linkage.sheets.scene import Group, Named, When
from linkage.sweeping import Sweep
from linkage.words.speech import Speech
from solvers.jet import value


def groups_of(swept: Sweep, speech: Speech) -> tuple[Group, list[Group]]:
    """Return the pedal in the car's frame, and what lies beyond each cable."""
    rest = swept.rest
    whole = float(value(rest.travel))
    upto = whole if swept.limit is None else swept.limit.travel * (1.0 - 1e-9)
    run = move(rest, np.array([0.0, 0.5 * upto, upto]))
    frames, outline = frames_of(rest), outline_of(rest)
    # The hole of the last rod or cable: before the cable, where a cable is the last.
    cabled = [p.KIND != "cable" and is_cabled(p) for p in rest.pedal.train[-1:]]
    home = frames[-1] - any(cabled)
    whens: tuple[When, ...] = ("rest", "mid", "full")
    groups = []
    half, turn = plate_of(rest)
    count = len(rest.parts)
    for frame in range(max(frames) + 1):
        members = [i for i, each in enumerate(frames[:count]) if each == frame]
        poses = tuple(
            pose_of(run, k, when, members, outline if frame == 0 else None)
            for k, when in enumerate(whens)
        )
        arc, ticks = _arc(rest, upto, speech) if frame == 0 else ((), ())
        groups.append(
            Group(
                name=swept.pedal if frame == 0 else "far end of cable",
                poses=poses,
                cylinders=tuple(cylinders_of(run, members, speech)),
                ferrules=tuple(ferrules_of(run, frame, frames)),
                arc=arc,
                ticks=ticks,
                pad_thick=pad_thick(rest.pedal),
                pad_half=half,
                pad_turn=turn,
                shoe=shoe_of(rest) if frame == 0 else (),
                square=square_of(swept, upto) if frame == home else None,
                names=tuple(_names(rest, members, frame, swept.pedal)),
            )
        )
    return groups[0], groups[1:]


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

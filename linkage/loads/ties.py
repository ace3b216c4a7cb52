"""What each rod and cable does to the bodies at its ends, per newton in it.

A *tie* is a link between a driving body and what it drives. A rod is pushed or pulled
along a line that touches the friction circle of the pin at either end; a cable pulls
straight, off a hole or off the rim of a drum. Bodies are counted from 0, the arm; tie n
(from 1) stands between body n - 1 and body n, which for a cylinder is its piston.
"""

from typing import Any

import numpy as np
from msgspec import Struct

from linkage.motion.run import Run
from linkage.parts.cylinder import CylinderRest
from linkage.parts.lever import LeverRest
from linkage.parts.moving import Body, Rest, Step
from linkage.parts.quadrant import QuadrantRest
from solvers.jet import Num, lift, value
from solvers.planar import cross, dot


class Tie(Struct, frozen=True, kw_only=True, eq=False):
    """A rod or cable at every place; broadcasts over layouts x positions.

    Attributes
    ----------
    kind : str
        "rod" or "cable".
    pushed : float or ndarray
        +1 where it is pushed, -1 where it is pulled.
    on_driver, on_driven : complex
        Its force on either body for each newton in it; nan where nothing says which
        way a cable leaves a drum.
    turns_driver, turns_driven : float
        The moment of that about the body's own pivot, mm, pins included.
    """

    kind: str
    pushed: Any
    on_driver: Any
    turns_driver: Any
    on_driven: Any
    turns_driven: Any


def ties_of(run: Run, pin: float, way: float) -> tuple[Tie, ...]:
    """Return every tie of a train.

    Parameters
    ----------
    run : Run
    pin : float
        Radius of the friction circle of rod pins, mm; 0 without friction.
    way : float
        +1 while the pedal is pressed, -1 on its way home.
    """
    pairs = zip(run.rest.parts, run.steps, strict=True)
    return tuple(_tie(run, part, step, pin * way) for part, step in pairs)


def speed(x: Num) -> Any:
    """Return the change of a number or point for each mm of travel."""
    t = lift(x).t
    return 0.0 if t is None else t


def _tie(run: Run, part: Rest, step: Step, pin: float) -> Tie:
    if isinstance(part, CylinderRest):
        return _rod(part, step, None, pin)
    if isinstance(part, LeverRest) and part.run is None:
        return _rod(part, step, step.body, pin)
    return _cable(run, part, step)


# --------------------------------------------------------------------------- rods


def _rod(part: Any, step: Step, driven: Body | None, pin: float) -> Tie:
    """Return a rod; its end in a piston is free of friction."""
    driver = step.link.driver
    near, far = driver.carry(part.drive.hole), lift(step.link.far())
    rod = far.v - near.v
    length = np.abs(rod)
    along = rod / length
    pushed = np.where(dot(speed(near), along) >= 0.0, 1.0, -1.0)
    at_near = at_far = 0.0
    if pin:
        turn = cross(along, speed(far) - speed(near)) / length
        at_near = pin * np.sign(turn - speed(driver.turning))
        if driven is not None:
            at_far = pin * np.sign(turn - speed(driven.turning))
    sine = -(at_near + at_far) / length
    force = along * (pushed * np.sqrt(1.0 - sine * sine) + 1j * sine)
    turns_driven = 0.0
    if driven is not None:
        turns_driven = cross(far.v - value(driven.pivot), force) + at_far
    return Tie(
        kind="rod",
        pushed=pushed,
        on_driver=-force,
        turns_driver=cross(near.v - value(driver.pivot), -force) + at_near,
        on_driven=force,
        turns_driven=turns_driven,
    )


# ------------------------------------------------------------------------- cables


def _cable(run: Run, part: Any, step: Step) -> Tie:
    on_driver, turns_driver = _near(run, part, step)
    on_driven, turns_driven = _far(part, step)
    return Tie(
        kind="cable",
        pushed=-1.0,
        on_driver=on_driver,
        turns_driver=turns_driver,
        on_driven=on_driven,
        turns_driven=turns_driven,
    )


def _near(run: Run, part: Any, step: Step) -> tuple[Any, Any]:
    """Return a cable's pull on the body that draws it."""
    drawn, pivot = part.run, value(step.link.driver.pivot)
    if drawn.drum is None:
        hole = value(step.link.driver.carry(drawn.drive.hole))
        way = value(drawn.ferrule) - hole
        way = way / np.abs(way)
        return way, cross(hole - pivot, way)
    sense = np.where(np.asarray(drawn.drive.rate) < 0.0, -1.0, 1.0)
    radius = value(drawn.drum)
    return _off_drum(run, part, pivot, sense * radius), -sense * radius


def _off_drum(run: Run, part: Any, pivot: Any, radius: Any) -> Any:
    """Return the way in which a cable leaves a drum for its ferrule, nan without one.

    ``radius`` has the sign of the turn that draws cable.
    """
    name = ferrule_of(part.part)
    if name is None:
        return complex(np.nan, np.nan)
    line = value(run.rest.places.point(name)) - pivot
    free = np.sqrt(np.abs(line) ** 2 - radius * radius)
    # line = e (r - i s l), with e from the pivot to where the cable leaves the rim.
    return -1j * line / (radius - 1j * free) * np.ones_like(radius)


def ferrule_of(part: Any) -> str | None:
    """Return the canonical name of a cable's near ferrule; None where none is given."""
    inner = getattr(part, "cable", None)
    if (part if inner is None else inner).ferrule is None:
        return None
    return f"{part.path}.ferrule" if inner is None else f"{part.path}.cable.ferrule"


def _far(part: Any, step: Step) -> tuple[Any, Any]:
    """Return a cable's pull on what it drives; nothing at the end of a train."""
    if isinstance(part, LeverRest) and step.body is not None:
        pivot = value(part.pivot)
        held = value(step.body.carry(part.pivot + part.arm))
        way = pivot + value(part.line) - held
        way = way / np.abs(way)
        return way, cross(held - pivot, way)
    if isinstance(part, QuadrantRest):
        sense = 1.0 if part.part.sense == "ccw" else -1.0
        # Which way it comes is not known; alone on its pivot, the size is the same.
        return 1.0 + 0j, sense * value(part.radius)
    return 0j, 0.0

"""What acts on a pedal besides foot and end: springs, weight, and what rubs."""

import math
from collections.abc import Iterator

from msgspec import Struct

from linkage.design.records import Friction
from linkage.faults import Fault
from linkage.loads.springs import SpringRest, springs_of
from linkage.loads.ties import ferrule_of
from linkage.loads.weight import Weight, weight_of
from linkage.motion.rest import PedalRest


class Rubbing(Struct, frozen=True, kw_only=True):
    """Friction in numbers: nothing rubs by default.

    Attributes
    ----------
    pivot, pin : float
        Radii of the friction circles of pivots and rod pins: coefficient x radius, mm.
    seal : float
        N, whatever the pressure.
    seal_share : float
        Of the piston's force.
    """

    pivot: float = 0.0
    pin: float = 0.0
    seal: float = 0.0
    seal_share: float = 0.0


class Burden(Struct, frozen=True, kw_only=True, eq=False):
    """What acts on a pedal besides foot and end."""

    springs: tuple[SpringRest, ...] = ()
    weight: Weight | None = None
    rubbing: Rubbing = Rubbing()


def burden_of(rest: PedalRest) -> Burden:
    """Return what acts on a single pedal, as its file says."""
    return Burden(
        springs=springs_of(rest),
        weight=weight_of(rest),
        rubbing=rubbing_of(rest.pedal.friction),
    )


def rubbing_of(friction: Friction | None) -> Rubbing:
    """Return friction in numbers; none where the file has no such table."""
    if friction is None:
        return Rubbing()
    seal, share = friction.seal, friction.seal_share
    return Rubbing(
        pivot=friction.pivot.nominal * 0.5 * friction.pivot_pin.nominal,
        pin=friction.pins.nominal * 0.5 * friction.pin.nominal,
        seal=0.0 if seal is None else seal.nominal,
        seal_share=0.0 if share is None else share.nominal / 100.0,
    )


def friction_faults(rest: PedalRest) -> Iterator[Fault]:
    """Say where a pivot rubs and nothing says which way a cable pulls on it."""
    if not rubbing_of(rest.pedal.friction).pivot:
        return
    for part, held in zip(rest.pedal.train, rest.parts, strict=True):
        run = getattr(held, "run", None)
        if run is not None and run.drum is not None and ferrule_of(part) is None:
            yield Fault(
                file=rest.places.design.file,
                line=part.line,
                key=f"train {part.number}",
                wrong="its pivot rubs, and nothing says which way the cable leaves "
                "the drum.",
                right="Write ferrule = [210, 600], say, beside drum.",
            )


def area_of(bore: float, gland: float = 0.0) -> float:
    """Return the area of a piston, less that of a rod that pulls it; mm2.

    >>> round(area_of(25.4), 1)
    506.7
    """
    return 0.25 * math.pi * (bore * bore - gland * gland)

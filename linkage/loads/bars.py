"""Both rods of a balance bar as one, for the body that drives it."""

from typing import Any

from linkage.loads.ties import Tie
from linkage.motion.run import Run
from linkage.parts.cylinder import CylinderRest
from solvers.jet import value
from solvers.planar import dot


def leans_of(run: Run, ties: tuple[Tie, ...]) -> list[Any]:
    """Return what part of the force in each of a bar's two rods works along its axis."""
    rows = zip(run.rest.parts[-2:], ties[-2:], strict=True)
    return [
        dot(value(part.axis), tie.on_driven)
        for part, tie in rows
        if isinstance(part, CylinderRest)
    ]


def barred(run: Run, ties: tuple[Tie, ...]) -> Tie:
    """Return both rods of a bar as one, for each newton along the axes on its bearing."""
    front = 0.0 if run.rest.bar is None else value(run.rest.bar.share)
    shares = (front, 1.0 - front)
    parts = [
        share / lean for share, lean in zip(shares, leans_of(run, ties), strict=True)
    ]
    on, turns = (
        sum(part * getattr(tie, name) for part, tie in zip(parts, ties, strict=True))
        for name in ("on_driver", "turns_driver")
    )
    return Tie(
        kind="rod",
        pushed=ties[0].pushed,
        on_driver=on,
        turns_driver=turns,
        on_driven=-on,
        turns_driven=0.0,
    )

"""Which way the foot pushes: along the pad's path, or along the line from the hip."""

from collections.abc import Iterator
from typing import Any, Literal

import numpy as np

from linkage.design.records import Design
from linkage.faults import DesignError, Fault
from linkage.motion.rest import PedalRest
from linkage.motion.run import Run
from linkage.places import Places
from solvers.jet import value

Push = Literal["path", "leg"]


def path_way(run: Run) -> Any:
    """Return the way the pad goes when pressed, complex, of length 1."""
    reach = value(run.arm.carry(run.rest.pad)) - value(run.rest.pivot)
    return 1j * np.asarray(run.rest.sense) * reach / np.abs(reach)


def leg_way(run: Run, hip: Any) -> Any:
    """Return the way from the hip to the pad, complex, of length 1."""
    leg = value(run.arm.carry(run.rest.pad)) - hip
    return leg / np.abs(leg)


def hip_of(design: Design, push: Push | None = None) -> complex | None:
    """Return the point that the leg pushes from; None for a push along the path.

    Parameters
    ----------
    push : {"path", "leg"}, optional
        Left out: along the leg where the file says where the hip is.

    Raises
    ------
    DesignError
        A push along the leg, and no hip.
    """
    hip = design.driver.hip
    if push == "path" or (push is None and hip is None):
        return None
    if hip is None:
        wrong = "nothing says where the leg pushes from."
        right = "Write hip = [-850, 280] under [driver], or push along the path."
        fault = Fault(file=design.file, key="driver.hip", wrong=wrong, right=right)
        raise DesignError([fault])
    return complex(value(Places(design).form(hip)))


def hip_faults(rest: PedalRest, hip: complex | None) -> Iterator[Fault]:
    """Say where a leg from there cannot press the pedal."""
    if hip is None:
        return
    arm = complex(value(rest.pad)) - complex(value(rest.pivot))
    leg = complex(value(rest.pad)) - hip
    if float(rest.sense) * (np.conj(arm) * leg).imag > 0.0:
        return
    design = rest.places.design
    yield Fault(
        file=design.file,
        line=design.driver.line,
        key="driver.hip",
        wrong=f"from there a leg cannot press the {rest.pedal.name} pedal.",
        right="The hip lies behind the pad: did a distance lose its sign?",
    )

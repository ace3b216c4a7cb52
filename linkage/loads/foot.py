"""Which way the foot pushes: along the pad's path, or along the line from the hip."""

from typing import Any

import numpy as np

from linkage.motion.run import Run
from solvers.jet import value


def path_way(run: Run) -> Any:
    """Return the way the pad goes when pressed, complex, of length 1."""
    reach = value(run.arm.carry(run.rest.pad)) - value(run.rest.pivot)
    return 1j * np.asarray(run.rest.sense) * reach / np.abs(reach)


def leg_way(run: Run, hip: Any) -> Any:
    """Return the way from the hip to the pad, complex, of length 1."""
    leg = value(run.arm.carry(run.rest.pad)) - hip
    return leg / np.abs(leg)

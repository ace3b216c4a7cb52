"""A body on one bearing that rubs: what a last force must be for the moments to hold.

Plain numbers and arrays, each broadcasting. A force is complex, a moment counts
anticlockwise about the bearing. Knows no part.
"""

from typing import Any

import numpy as np

from solvers.planar import cross, dot


def hold(way: Any, lever: Any, force: Any, moment: Any, rub: Any) -> Any:
    """Return the size of one more force that keeps a body in equilibrium.

    Parameters
    ----------
    way : complex
        Direction of the force that is sought, of length 1.
    lever : float
        Its moment for each newton, mm.
    force, moment : complex, float
        Sum of all other forces, the bearing's left out, and their moment; N, N mm.
    rub : float
        Radius of the friction circle, mm, with the sign of the turn: the bearing holds
        back with ``rub`` times the force on it.

    Returns
    -------
    float or ndarray
        N; nan where friction alone can hold any force (``|rub| >= |lever|``).

    Notes
    -----
    ``S lever + moment = rub |force + S way|`` squared is a quadratic; the root that has
    the right sign, in a form without cancellation. Without friction it is
    ``-moment / lever`` to the last digit.
    """
    if not np.any(rub):
        return -moment / lever
    space = lever * lever - rub * rub
    bent = lever * force - moment * way
    square = dot(bent, bent) - (rub * cross(way, force)) ** 2
    root = rub * np.sign(lever) * np.sqrt(np.maximum(square, 0.0))
    size = (rub * rub * dot(way, force) - lever * moment + root) / space
    return np.where(space > 0.0, size, np.nan)

"""Parallel outlines, exact: an arc stays an arc about the same centre.

Only outlines that are smooth at every joint have one; the corners of others would
open or cross, and are refused.
"""

import numpy as np

from solvers.plane.pieces import (
    Contour,
    OutlineError,
    contour_of,
    directions,
    pieces_of,
    points_of,
    turns,
)

#: Greatest kink that still counts as smooth, rad: 1 mm off at 1 km.
SMOOTH = 1e-6


def offset(contour: Contour, distance: float) -> Contour:
    """Move an anticlockwise contour outward by ``distance`` (inward where negative).

    Raises
    ------
    OutlineError
        The contour has a kink, or an arc would shrink to nothing.
    """
    worst = float(np.max(np.abs(turns(contour))))
    if worst > SMOOTH:
        raise OutlineError(f"the outline has a kink of {np.degrees(worst):.3g} degrees")
    pieces = pieces_of(contour)
    left = pieces.radius + np.where(pieces.sweep < 0.0, -distance, distance)
    if np.min(left) <= 0.0:
        tight = pieces.radius[np.argmin(left)]
        raise OutlineError(f"an arc of radius {tight:.4g} has no parallel that far off")
    outward = -1j * directions(contour)[0]
    return contour_of(points_of(contour) + distance * outward, contour[:, 2])

"""Rules about the part and the process: holes, webs, corners, size on the table.

Each takes the part as read and what was meant, and yields a sentence a fault.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from linkage.arm.processes import LEAST_SIDE, PROCESSES
from linkage.cutting.meant import EXACT, Meant
from linkage.cutting.part import CutPart
from solvers.plane.pieces import Contour, pieces_of, turns
from solvers.plane.relate import inside, point_gaps


def holes_meant(part: CutPart, meant: Meant) -> Iterator[str]:
    """Each hole and each cross is where it was meant."""
    for x, z, r in meant.circles:
        off = np.max(np.abs(part.circles - [x, z, r]), axis=1, initial=0.0)
        if not len(off) or np.min(off) > EXACT:
            where = meant.spot(complex(x, z))
            yield f"the hole of {meant.said(2 * r, 2)} at {where} is not in the file"
    centres = np.mean(part.marks, axis=1) if len(part.marks) else np.empty(0)
    for x, z in meant.crosses:
        if np.count_nonzero(np.abs(centres - complex(x, z)) < EXACT) != 2:
            yield f"the cross at {meant.spot(complex(x, z))} is not in the file"


def holes_cuttable(part: CutPart, meant: Meant) -> Iterator[str]:
    """No hole smaller than the process cuts well in this plate."""
    least = PROCESSES[meant.process].hole * meant.plate
    for x, z, radius in part.circles:
        if 2.0 * radius < least - EXACT:
            yield (
                f"the hole of {meant.said(2 * radius, 2)} at {meant.spot(complex(x, z))} is "
                f"under {meant.said(least)}, "
                f"too small for {meant.process} in this plate"
            )


def metal(part: CutPart, meant: Meant) -> Iterator[str]:
    """Enough metal round every finished hole and between them."""
    if not part.shaped:
        return
    least = PROCESSES[meant.process].web * meant.plate
    for left, ends in metal_left(part.outlines[0], meant.bores):
        if left < least - EXACT:
            where = " and ".join(map(meant.spot, ends))
            what = "between holes at" if len(ends) > 1 else "round the hole at"
            metal = f"{meant.said(left, 2)} of metal {what} {where}"
            yield f"{metal}, {meant.said(least)} or more are wanted"


def inner_radii(part: CutPart, meant: Meant) -> Iterator[str]:
    """No inside corner tighter than the process turns."""
    fixed, share = PROCESSES[meant.process].inner
    least = max(fixed, share * meant.plate)
    for contour in part.shaped[:1]:
        pieces = pieces_of(contour)
        ccw = np.sum(pieces.sweep) + np.sum(turns(contour)) > 0.0
        hollow = ~pieces.straight & ((pieces.sweep < 0.0) == ccw)
        tight = float(np.min(pieces.radius, where=hollow, initial=np.inf))
        if tight < least - EXACT:
            yield f"an inside radius of {meant.said(tight, 2)} is under {meant.said(least)}"


def big_enough(part: CutPart, meant: Meant) -> Iterator[str]:
    """The part does not fall between the table's slats."""
    if part.outlines:
        low, high = part.box
        least = min((high - low).real, (high - low).imag)
        if least < LEAST_SIDE:
            side = meant.said(LEAST_SIDE)
            yield f"it is {meant.said(least)} one way; under {side} it falls through"


def metal_left(
    outline: Contour, bores: NDArray[np.float64]
) -> Iterator[tuple[float, tuple[complex, ...]]]:
    """Metal between each hole and its edge, then between holes, with their centres.

    Parameters
    ----------
    outline : ndarray, shape (n, 3)
    bores : ndarray, shape (k, 3)
        x, z, radius.
    """
    for k, (x, z, radius) in enumerate(bores):
        at = complex(x, z)
        yield distance(outline, at) - radius, (at,)
        for x1, z1, r1 in bores[:k]:
            other = complex(x1, z1)
            yield abs(at - other) - radius - r1, (at, other)


def distance(outline: Contour, at: complex) -> float:
    """Distance of a point from an outline, negative outside."""
    far = float(np.min(point_gaps(np.array([[at]]), pieces_of(outline))))
    return far if bool(inside(outline, at)) else -far

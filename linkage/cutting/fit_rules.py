"""Rules about the part and the process: holes, webs, corners, size on the table.

Each takes the part as read and what was meant, and yields a sentence a fault.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from linkage.arm.processes import LEAST_SIDE, PROCESSES
from linkage.cutting.meant import EXACT, Meant
from linkage.cutting.part import CutPart, spot
from solvers.plane.pieces import Contour, pieces_of, turns
from solvers.plane.relate import inside, point_gaps


def holes_meant(part: CutPart, meant: Meant) -> Iterator[str]:
    """Each hole and each cross is where it was meant."""
    for x, z, r in meant.circles:
        off = np.max(np.abs(part.circles - [x, z, r]), axis=1, initial=0.0)
        if not len(off) or np.min(off) > EXACT:
            yield f"the hole of {2 * r:g} at {x:.3f}, {z:.3f} is not in the file"
    centres = np.mean(part.marks, axis=1) if len(part.marks) else np.empty(0)
    for x, z in meant.crosses:
        if np.count_nonzero(np.abs(centres - complex(x, z)) < EXACT) != 2:
            yield f"the cross at {x:.3f}, {z:.3f} is not in the file"


def holes_cuttable(part: CutPart, meant: Meant) -> Iterator[str]:
    """No hole smaller than the process cuts well in this plate."""
    least = PROCESSES[meant.process].hole * meant.plate
    for x, z, radius in part.circles:
        if 2.0 * radius < least - EXACT:
            yield (
                f"the hole of {2 * radius:.2f} at {x:.1f}, {z:.1f} is under {least:g}, "
                f"too small for {meant.process} in this plate"
            )


def metal(part: CutPart, meant: Meant) -> Iterator[str]:
    """Enough metal round every finished hole and between them."""
    if not part.shaped:
        return
    least = PROCESSES[meant.process].web * meant.plate
    for left, what in metal_left(part.outlines[0], meant.bores):
        if left < least - EXACT:
            yield f"{left:.2f} mm of metal {what}, {least:g} or more are wanted"


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
            yield f"an inside radius of {tight:.2f} is under {least:g}"


def big_enough(part: CutPart, _: Meant) -> Iterator[str]:
    """The part does not fall between the table's slats."""
    if part.outlines:
        low, high = part.box
        least = min((high - low).real, (high - low).imag)
        if least < LEAST_SIDE:
            yield f"it is {least:.1f} mm one way; under {LEAST_SIDE:g} it falls through"


def metal_left(
    outline: Contour, bores: NDArray[np.float64]
) -> Iterator[tuple[float, str]]:
    """Metal between each hole and its edge, then between holes, with words for where.

    Parameters
    ----------
    outline : ndarray, shape (n, 3)
    bores : ndarray, shape (k, 3)
        x, z, radius.
    """
    for k, (x, z, radius) in enumerate(bores):
        at = complex(x, z)
        yield distance(outline, at) - radius, f"round the hole at {spot(at)}"
        for x1, z1, r1 in bores[:k]:
            apart = abs(at - complex(x1, z1)) - radius - r1
            yield apart, f"between holes at {spot(at)} and {spot(complex(x1, z1))}"


def distance(outline: Contour, at: complex) -> float:
    """Distance of a point from an outline, negative outside."""
    far = float(np.min(point_gaps(np.array([[at]]), pieces_of(outline))))
    return far if bool(inside(outline, at)) else -far

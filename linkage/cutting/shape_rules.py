"""Rules about the lines that are cut: closed, single, smooth, true arcs.

Each takes the part as read and what was meant, and yields a sentence a fault.
"""

from collections.abc import Iterator

import numpy as np

from linkage.cutting.meant import Meant
from linkage.cutting.part import CutPart, Loop
from solvers.plane.pieces import pieces_of, points_of, turns
from solvers.plane.relate import gap, inside, self_meetings

#: No piece shorter than this, mm: machines stop or shake at each (READ).
SHORTEST = 0.1
#: Outlines nearer than this, mm, touch: a hundredth of a laser's kerf.
TOUCH = 1e-3
#: Greatest kink at a joint that should be smooth, degrees.
KINK = 0.01
#: Straight pieces that turn by less than this each, degrees, stand for an arc.
FACET = 30.0


def closed(part: CutPart, meant: Meant) -> Iterator[str]:
    """Every contour ends where it starts."""
    loose = [at for loop in part.loops if loop.end is not None for at in _ends(loop)]
    for loop in part.loops:
        if loop.end is not None:
            far = sorted(abs(at - loop.end) for at in loose)[1]  # the first is its own
            yield (
                f"a contour is open at {meant.spot(loop.end)}: the nearest loose end is "
                f"{meant.said(far, 6)} away"
            )
        elif len(loop.contour) < 2:
            yield f"the contour at {meant.spot(loop.start)} is a single point"


def _ends(loop: Loop) -> list[complex]:
    return [loop.start, *([] if loop.end is None else [loop.end])]


def one_outline(part: CutPart, meant: Meant) -> Iterator[str]:
    """One outline, every hole wholly inside it and in no other hole."""
    if len(part.loops) == 0:
        yield "there is no outline"
        return
    if not part.loops[0].sound:
        yield "the outline has pieces of no length"
        return
    outer, *rest = part.outlines
    for k, hole in enumerate(rest):
        if not np.all(inside(outer, points_of(hole))):
            yield f"a contour at {meant.place(hole)} is not inside the outline"
        for other in rest[:k]:
            if np.any(inside(other, points_of(hole)[:1])) or np.any(
                inside(hole, points_of(other)[:1])
            ):
                yield f"the contour at {meant.place(hole)} lies within another hole"


def no_doubles(part: CutPart, meant: Meant) -> Iterator[str]:
    """Nothing is cut twice."""
    outlines = [pieces_of(contour) for contour in part.outlines]
    if not outlines:
        return
    middle = np.concatenate([pieces.middle for pieces in outlines])
    length = np.concatenate([pieces.length for pieces in outlines])
    i, j = np.triu_indices(len(middle), 1)
    same = np.abs(middle[i] - middle[j]) < TOUCH
    same &= np.abs(length[i] - length[j]) < TOUCH
    for row in i[same]:
        yield f"a cut through {meant.spot(middle[row])} is there twice"


def no_crossing(part: CutPart, meant: Meant) -> Iterator[str]:
    """No contour meets itself or another."""
    outlines = part.outlines
    for k, contour in enumerate(outlines):
        meetings = self_meetings(contour, TOUCH)
        if len(meetings):
            at = pieces_of(contour).middle[meetings[0, 0]]
            yield f"a contour meets itself near {meant.spot(at)}"
        for other in outlines[:k]:
            if gap(contour, other) < TOUCH:
                yield f"contours at {meant.place(contour)} and {meant.place(other)} touch"


def true_arcs(part: CutPart, meant: Meant) -> Iterator[str]:
    """No chain of short lines stands for an arc."""
    for contour in part.shaped:
        straight = contour[:, 2] == 0.0
        turn = np.degrees(np.abs(turns(contour)))
        joint = straight & np.roll(straight, 1) & (turn > KINK) & (turn < FACET)
        if np.any(joint & np.roll(joint, 1)):
            yield f"the contour at {meant.place(contour)} has short lines in place of an arc"


def no_scraps(part: CutPart, meant: Meant) -> Iterator[str]:
    """No piece too short to move along."""
    for loop in part.loops:
        if not loop.sound:
            yield "a contour has a piece of no length"
        elif np.min(pieces_of(loop.contour).length) < SHORTEST:
            short = np.min(pieces_of(loop.contour).length)
            yield f"a piece is {meant.said(short, 4)} long, under {meant.said(SHORTEST)}"
    for _x, _z, radius in part.circles:
        if radius <= 0.5 * SHORTEST:
            yield f"a circle has a radius of {meant.said(radius, 4)}"


def smooth(part: CutPart, meant: Meant) -> Iterator[str]:
    """No kink at a joint: all of an arm is tangent."""
    for contour in part.shaped:
        turn = np.degrees(np.abs(turns(contour)))
        worst = int(np.argmax(turn))
        if turn[worst] > KINK:
            at = complex(*contour[worst, :2])
            yield f"a kink of {turn[worst]:.3f} degrees at {meant.spot(at)}"

"""The two rods of a balance bar: which of them a target means, and laws of both."""

from collections.abc import Callable
from typing import Any

import numpy as np

from linkage.design.records import Pedal, Target
from linkage.motion.run import Run
from solvers.jet import Jet, lift, where


def branched(pedal: Pedal, which: str | int | None) -> int | None:
    """Return the number of the part at the end of a branch; None for no branch.

    A branch goes by its name, or by the number of its rod.
    """
    ends = (part for part in pedal.train if part.branch)
    found = (part.number for part in ends if which in (part.branch, part.number))
    return next(found, None)


def of_ends(
    law: Callable[[Run, int | None], Jet], *, by_size: bool = False
) -> Callable[[Run, Target], Jet]:
    """Return a law of the end of a train, which for a bar holds for both its rods.

    Without ``which`` it is that of the rod which is worse off.
    """

    def found(run: Run, target: Target) -> Jet:
        pedal = run.rest.pedal
        if target.which or pedal.bar is None:
            return law(run, branched(pedal, target.which))
        front, rear = (law(run, part.number) for part in pedal.train[-2:])
        worse = _off(front.v, target, by_size) >= _off(rear.v, target, by_size)
        return lift(where(worse, front, rear))

    return found


def _off(v: Any, target: Target, by_size: bool) -> Any:
    """Return how far a value is from what a target wants, only to be compared."""
    if target.exact is not None:
        return np.abs(v - target.exact)
    size = np.abs(v) if by_size else v
    if target.least is not None and target.most is not None:
        return np.abs(size - 0.5 * (target.least + target.most))
    wants_more = target.least is not None or target.prefer == "large"
    return -size if wants_more else size

"""Which bars join a hole to the arm's spine, in plain numbers or with derivatives.

The spine is the bar from pivot to pad end. A hole whose boss stands out of it hangs on
the pivot, on the pad end, or on both; one far along and beside it is braced from
farther up the spine.
"""

from typing import Literal

from solvers.jet import Num, value, where
from solvers.planar import conj, imag, length, real
from solvers.plane.bars import Bar, depth

#: A boss that stands out of the bar by less, mm, makes no bump: nobody could file it.
POKE = 0.05
#: Holes within this part of the way to the pad are braced from the pivot itself.
NEAR = 0.45
#: Width of a lobe's root to that of the bar: less than one, so that it never stands out
#: on the bar's far side.
ROOT = 0.9

Hold = Literal["pivot", "end", "brace"]
HOLDS: tuple[Hold, ...] = ("pivot", "end", "brace")


def holds(spine: Bar, at: complex, boss: float) -> tuple[Hold, ...]:
    """Return what a hole hangs on; nothing where the spine holds its boss."""
    if depth(spine, at) >= boss - POKE:
        return ()
    way = spine.b - spine.a
    reach = abs(way)
    local = (at - spine.a) * way.conjugate() / reach
    brace = local.real - abs(local.imag)
    widens = bool(depth(spine, at) >= 0.0)
    beyond = local.real >= reach
    near = local.real < NEAR * reach or brace < 0.5 * spine.ra
    found: list[Hold] = []
    if not beyond and (widens or near):
        found.append("pivot")
    if beyond or (widens and local.real > 0.0):
        found.append("end")
    if not (beyond or widens or near):
        found.append("brace")
    return tuple(found)


def root(
    hold: Hold, start: Num, end: Num, at: Num, ra: float, rb: float
) -> tuple[Num, Num]:
    """Return centre and radius of the disc that a lobe springs from.

    Parameters
    ----------
    hold : {"pivot", "end", "brace"}
    start, end, at : complex number, array or jet
        Ends of the spine, and the hole.
    ra, rb : float
        Radii of the spine.
    """
    if hold == "pivot":
        return start, ra
    if hold == "end":
        return end, rb
    way = end - start
    reach = length(way)
    local = (at - start) * conj(way) / reach
    off = imag(local)
    share = (real(local) - where(value(off) < 0.0, -off, off)) / reach
    return start + way * share, ROOT * (ra + (rb - ra) * share)

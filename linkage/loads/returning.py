"""How long a pedal that is let go takes to run home from full travel.

The energy integral of the arm alone: its own inertia, springs, weight, friction; with
nothing at the end of its train and the foot gone. Friction is taken with the forces of
the standing pedal in each place. Masses are kg and lengths mm, so a N mm turns 1000
kg mm2 by 1 rad/s2.
"""

from collections.abc import Callable
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.polynomial.legendre import leggauss, legint, legval, legvander
from numpy.typing import NDArray

from linkage.loads.burden import Burden
from linkage.loads.equilibrium import Load, forces
from linkage.motion.rest import PedalRest
from linkage.motion.run import move
from solvers.jet import value

Floats = NDArray[np.float64]
#: Panels of the integral, and its nodes in each.
PANELS, NODES = 96, 8


class Return(Struct, frozen=True, kw_only=True):
    """A pedal let go at full travel.

    Attributes
    ----------
    time : float or None
        s; None where it does not come home, or what it weighs is not known.
    stays : float or None
        Where it stays, mm of travel; None where it comes home.
    """

    time: float | None
    stays: float | None


def returning(rest: PedalRest, burden: Burden, full: float) -> Return:
    """Let a single pedal go at ``full``, mm of travel."""
    if burden.weight is None or not full > 0.0:
        return Return(time=None, stays=None)
    radius = float(np.ravel(value(rest.radius))[0])
    none = Load(of="end", size=0.0)

    def torque(turned: Floats) -> Floats:
        run = move(rest, full - radius * turned)
        home = forces(run, burden, none, way=-1.0).effort * radius
        return np.broadcast_to(np.asarray(home, float), turned.shape)

    time, turned = run_home(torque, burden.weight.inertia, full / radius)
    stays = None if turned is None else full - radius * turned
    return Return(time=time, stays=stays)


def run_home(
    torque: Callable[[Floats], Any], inertia: float, turn: float
) -> tuple[float | None, float | None]:
    """Return the time from standing still through ``turn``, or where it stops.

    Parameters
    ----------
    torque : callable
        N mm towards home, for an array of turns from the start, rad.
    inertia : float
        kg mm2.
    turn : float
        rad.

    Returns
    -------
    time : float or None
        s; None where it does not get there.
    stops : float or None
        The turn at which it stops; None where it gets there.

    Notes
    -----
    ``dt = d(turn) / sqrt(2 work / inertia)``; with ``turn`` put as a square the start,
    where it stands still, is no longer singular.
    """
    nodes, weights = leggauss(NODES)
    edges = np.linspace(0.0, 1.0, PANELS + 1)
    half = 0.5 * np.diff(edges)[:, None]
    s = edges[:-1, None] + half * (nodes + 1.0)
    rates = torque((turn * s * s).ravel()).reshape(s.shape) * 2.0 * turn * s
    inner = half * (rates @ _running(nodes, weights))
    ends = np.cumsum(half[:, 0] * (rates @ weights))
    work = inner + np.concatenate([[0.0], ends[:-1]])[:, None]
    stuck = ~(work > 0.0)
    if np.any(stuck):
        return None, float(turn * s[stuck][0] ** 2)
    speed = np.sqrt(2000.0 * work / inertia)
    return float(np.sum(half * (2.0 * turn * s / speed) * weights)), None


def _running(nodes: Floats, weights: Floats) -> Floats:
    """Return the matrix of integrals from -1 to each node of what nodes interpolate."""
    count = len(nodes)
    scale = (2.0 * np.arange(count) + 1.0) / 2.0
    fit = (legvander(nodes, count - 1) * weights[:, None]) * scale
    sums = np.array([legval(nodes, legint(row, lbnd=-1.0)) for row in np.eye(count)])
    return np.asarray(fit @ sums)

"""The curve that a system with one direction left free describes.

A place on it is reached from a `Node` by a step along the node's tangent and back to
the curve square to it: steps are lengths along the tangent, never along the driver.
"""

from collections.abc import Callable
from functools import cache

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from solvers.newton import Status, floor, solve
from solvers.rank import dependent
from solvers.system import System

Vector = NDArray[np.float64]
Gauge = Callable[[Vector, Vector], float]


class Node(Struct, frozen=True, kw_only=True, eq=False):
    """A place on the curve, and the step that was taken from it.

    Attributes
    ----------
    q, tangent : ndarray, shape (size,)
        The state; the curve's unit tangent in the sense of the march.
    det : float
        Determinant of the slopes bordered by the tangent: its sign changes where
        another branch crosses, and only there.
    step : float
        Length along the tangent to the next node; 0 at the last.
    """

    q: Vector
    tangent: Vector
    det: float
    step: float = 0.0


class Curve(Struct, frozen=True, kw_only=True, eq=False):
    """A system whose driver is free, and the equations that are kept.

    Attributes
    ----------
    system : System
    driver : int
        Place of the driver in the state.
    kept : ndarray of int
        Independent equations; the others are checked, not solved.
    heading : float
        1 where the driver is to grow, else -1.
    """

    system: System
    driver: int
    kept: NDArray[np.int_]
    heading: float


def trace(system: System, q: Vector, driver: str, to: float) -> Curve:
    """Return the curve through ``q``; both are read off at that state."""
    at = system.where(driver)[0]
    kept, _ = dependent(system.jacobian(q)[:, system.free])
    heading = 1.0 if to >= q[at] else -1.0
    return Curve(system=system, driver=at, kept=np.array(kept, int), heading=heading)


def node_at(curve: Curve, q: Vector, like: Vector) -> Node:
    """Return the node at ``q``, its tangent in the sense of ``like``."""
    free = curve.system.free
    slopes = _slopes(curve, q)
    tangent = np.zeros_like(q)
    tangent[free] = np.linalg.qr(slopes.T, mode="complete")[0][:, -1]
    if tangent @ like < 0.0:
        tangent = -tangent
    det = np.linalg.det(np.vstack([slopes, tangent[free]]))
    return Node(q=q, tangent=tangent, det=float(det))


def _slopes(curve: Curve, q: Vector) -> Vector:
    whole: Vector = curve.system.jacobian(q)
    return whole[np.ix_(curve.kept, curve.system.free)]


def advance(curve: Curve, node: Node, step: float) -> Node | None:
    """Step along the tangent and come back to the curve square to it, or None."""
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        return _advanced(curve, node, step)


def _advanced(curve: Curve, node: Node, step: float) -> Node | None:
    free = curve.system.free
    q = node.q + step * node.tangent
    close = floor(q, 1e-13)
    for _ in range(8):
        r = curve.system.residual(q)[curve.kept]
        if np.max(np.abs(r), initial=0.0) <= close:
            return node_at(curve, q, node.tangent)
        bordered = np.vstack([_slopes(curve, q), node.tangent[free]])
        try:
            q[free] += np.linalg.solve(bordered, np.append(-r, 0.0))
        except np.linalg.LinAlgError:
            return None
    return None


def reach(curve: Curve, node: Node, step: float) -> Node:
    """Return the node that a step already trusted leads to, or one before it."""
    found = advance(curve, node, step)
    if found is None:
        raise ArithmeticError("the curve is lost inside a step that was taken")
    return found


def find(curve: Curve, node: Node, gauge: Gauge) -> Node:
    """Return the place in the step from ``node`` where ``gauge`` is 0."""
    from scipy.optimize import brentq

    @cache
    def value(step: float) -> float:
        here = reach(curve, node, step)
        return gauge(here.q, here.tangent)

    if value(0.0) * value(node.step) >= 0.0:  # 0 to rounding at the far end
        return reach(curve, node, node.step)
    root: float = brentq(value, 0.0, node.step, xtol=1e-15 * node.step)
    return reach(curve, node, root)


def land(curve: Curve, node: Node, value: float) -> Node:
    """Return the place in the step from ``node`` where the driver is ``value``."""
    i = curve.driver
    step = (value - node.q[i]) / node.tangent[i]
    for _ in range(6):
        if not 0.0 <= step <= node.step:
            break  # near a fold: leave it to the bracket
        here = reach(curve, node, step)
        miss = value - here.q[i]
        if abs(miss) <= 1e-14 * abs(value):
            return here
        step += miss * (here.tangent @ node.tangent) / here.tangent[i]
    return find(curve, node, lambda q, _: float(q[i] - value))


def turns_back(curve: Curve) -> Gauge:
    """Return the gauge that is 0 at a fold."""
    return lambda _, tangent: float(tangent[curve.driver])


def crossing(curve: Curve, node: Node) -> Node:
    """Return where another branch crosses in the step from ``node``.

    The way back to the curve is not determined there, so the place is interpolated
    from both sides: good to about 1e-7 of the step, not to rounding.
    """
    low, high = 0.0, node.step
    before, after = node, reach(curve, node, high)
    while high - low > 1e-3 * node.step:
        middle = low + 0.381966 * (high - low)  # uneven: misses a crossing half way
        here = advance(curve, node, middle)
        if here is None:
            break
        if here.det * node.det > 0.0:
            low, before = middle, here
        else:
            high, after = middle, here
    share = before.det / (before.det - after.det)
    return node_at(curve, _between(before, after, share), node.tangent)


def _between(before: Node, after: Node, share: float) -> Vector:
    """Cubic through two places and their tangents."""
    chord = after.q - before.q
    u = before.tangent * (chord @ chord) / (before.tangent @ chord)
    v = after.tangent * (chord @ chord) / (after.tangent @ chord)
    bend = share * (1.0 - share) * ((1.0 - share) * (u - chord) - share * (v - chord))
    out: Vector = before.q + share * chord + bend
    return out


def extent(system: System, q: Vector) -> float:
    """Return the widest spread of the points along an axis, mm (0 if none)."""
    points = q[: 2 * len(system.points)].reshape(-1, 2)
    return float(np.max(np.ptp(points, axis=0))) if len(points) else 0.0


def on_value(curve: Curve, node: Node, value: float) -> Vector:
    """Put the driver on ``value`` to the last digit where a solve can."""
    q = node.q.copy()
    q[curve.driver] = value
    held = curve.system.holding(curve.system.numbers[curve.driver - q.size])
    solution = solve(held, q)
    near = np.max(np.abs(solution.q - node.q)) <= 1e-6 * (extent(held, q) or abs(value))
    return solution.q if near and solution.status is Status.CONVERGED else node.q

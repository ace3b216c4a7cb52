"""Follow a solution along its curve while a driving number runs.

The driver is freed, so that a system with one direction left free is a curve; steps
go along the curve, not along the driver, and a limit where the driver turns back (a
fold) is an ordinary place on it. Branches are kept: the tangent may turn only a
little in a step, and the sign of the bordered determinant tells where branches cross.
"""

from enum import StrEnum

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from solvers.curve import (
    Curve,
    Gauge,
    Node,
    Vector,
    advance,
    crossing,
    extent,
    find,
    land,
    node_at,
    on_value,
    trace,
    turns_back,
)
from solvers.newton import Status, floor, solve
from solvers.system import State, System


class End(StrEnum):
    """How a march ended."""

    REACHED = "reached"
    FOLD = "fold"
    CROSSING = "crossing"
    OPEN = "open"
    LOOSE = "loose"
    RIGID = "rigid"
    LOST = "lost"
    SPENT = "spent"


MESSAGES = {
    End.REACHED: "the driver came to where it was sent",
    End.FOLD: "the driver can go no further: the motion turns back",
    End.CROSSING: "two motions cross here: which one goes on is a choice",
    End.OPEN: "the rows do not close at the start",
    End.LOOSE: "the rows leave more than one way to move",
    End.RIGID: "the rows leave no way to move",
    End.LOST: "no step is short enough to stay on the curve",
    End.SPENT: "the steps allowed are used up",
}


class Stride(Struct, frozen=True, kw_only=True):
    """How to step.

    Attributes
    ----------
    most : float
        Longest step, as a share of the largest extent of the start (without points
        that lie apart: of the driver's way).
    least : float
        Shortest step, the same way; a curve that needs shorter ones is lost.
    bend : float
        rad. What the tangent may turn in a step: small enough that no other branch
        passes for this one.
    near : float
        Branches that pass each other at less than about this share of the extent are
        taken to cross; at more, a step that lands on the other one is taken back.
    budget : int
        Steps allowed.
    """

    most: float = 0.05
    least: float = 1e-9
    bend: float = 0.25
    near: float = 1e-3
    budget: int = 5000


class Path(Struct, frozen=True, kw_only=True, eq=False):
    """What a march found; ask it for places on the way.

    Attributes
    ----------
    end : End
    curve : Curve
    nodes : tuple of Node
        From the start to the last place reached; empty where it never started.
    count : int
        Steps taken.
    """

    end: End
    curve: Curve
    nodes: tuple[Node, ...]
    count: int

    @property
    def message(self) -> str:
        """Return in words how the march ended."""
        return MESSAGES[self.end]

    @property
    def limit(self) -> float | None:
        """Return the driver's value at a fold or crossing, else None."""
        if self.end not in (End.FOLD, End.CROSSING):
            return None
        return float(self.nodes[-1].q[self.curve.driver])

    def at(self, value: float) -> Vector:
        """Return the state where the driver is ``value``.

        Raises
        ------
        ValueError
            The march did not get there.
        """
        i, heading = self.curve.driver, self.curve.heading
        ahead = heading * (value - np.array([node.q[i] for node in self.nodes]))
        past = np.flatnonzero(ahead <= 0.0)
        if not past.size or ahead[0] < 0.0:
            raise ValueError(f"the march did not pass {value}: {self.message}")
        last = int(past[0])
        if ahead[last] == 0.0:
            return self.nodes[last].q
        return on_value(
            self.curve, land(self.curve, self.nodes[last - 1], value), value
        )

    def upto(self, value: float) -> "Path":
        """Return the path as far as the driver is ``value``.

        Raises
        ------
        ValueError
            The march did not get there.
        """
        q = self.at(value)
        i, heading = self.curve.driver, self.curve.heading
        nodes = [node for node in self.nodes if heading * (node.q[i] - value) < 0.0]
        if not nodes:
            return replace(self, end=End.REACHED, nodes=self.nodes[:1], count=0)
        last = node_at(self.curve, q, nodes[-1].tangent)
        nodes[-1] = replace(nodes[-1], step=_between(nodes[-1], last))
        return replace(self, end=End.REACHED, nodes=(*nodes, last), count=len(nodes))

    def locate(self, gauge: Gauge) -> tuple[Vector, ...]:
        """Return the states where ``gauge(state, tangent)`` changes sign.

        One to a step at most; a gauge that is exactly 0 at the start is not counted
        there.
        """
        signs = [np.sign(gauge(node.q, node.tangent)) for node in self.nodes]
        return tuple(
            find(self.curve, self.nodes[k], gauge).q
            for k in range(len(signs) - 1)
            if signs[k] != 0.0 and signs[k] != signs[k + 1]
        )


def march(
    system: System, start: State, driver: str, to: float, stride: Stride | None = None
) -> Path:
    """Drive the number ``driver`` from where it is in ``start`` to ``to``.

    Parameters
    ----------
    system : System
        Whether it holds the driver does not matter.
    start : ndarray, shape (size,)
        A solution, or near one: it is closed first with the driver held.
    driver : str
    to : float
    stride : Stride, optional
    """
    stride = stride or Stride()
    closed = solve(system.holding(driver), start)
    curve = trace(system.freeing(driver), closed.q, driver, to)
    spare = len(curve.system.free) - len(curve.kept)
    if closed.status is not Status.CONVERGED:
        end = End.OPEN
    elif spare != 1:
        end = End.LOOSE if spare > 1 else End.RIGID
    else:
        return _follow(curve, _first(curve, closed.q), to, stride)
    return Path(end=end, curve=curve, nodes=(), count=0)


def _first(curve: Curve, q: Vector) -> Node:
    """Head where the driver goes; from a fold, where the tangent happens to point."""
    along = np.zeros_like(q)
    along[curve.driver] = curve.heading
    return node_at(curve, q, along)


def _follow(curve: Curve, node: Node, to: float, stride: Stride) -> Path:
    """Step until the driver is there, or something ends the motion."""
    span = extent(curve.system, node.q) or abs(to - node.q[curve.driver])
    nodes: list[Node] = []
    step = 0.2 * stride.most * span
    end = _verdict(curve, node, node, to)
    while end is None and len(nodes) < stride.budget:
        step = min(step, stride.most * span)
        taken, following = _try(curve, node, step, stride, span)
        if following is None:
            end = End.LOST
            break
        end = _verdict(curve, node, following, to)
        if end in (End.FOLD, End.CROSSING):
            following = _limit(curve, taken, end)
            taken = replace(taken, step=_between(taken, following))
            end = End.REACHED if _there(curve, following, to) else end
        nodes.append(taken)
        step = taken.step * _growth(taken, following, stride)
        node = following
    return Path(
        end=end or End.SPENT, curve=curve, nodes=(*nodes, node), count=len(nodes)
    )


def _limit(curve: Curve, node: Node, end: End) -> Node:
    if end is End.CROSSING:
        return crossing(curve, node)
    return find(curve, node, turns_back(curve))


def _between(node: Node, following: Node) -> float:
    """Return the step: what lies square to the tangent is the way back."""
    return float(node.tangent @ (following.q - node.q))


def _there(curve: Curve, node: Node, to: float) -> bool:
    return bool(curve.heading * (node.q[curve.driver] - to) >= 0.0)


def _verdict(curve: Curve, node: Node, following: Node, to: float) -> End | None:
    """Say what the step from one node to the next has met; None: nothing."""
    if curve.heading * following.tangent[curve.driver] <= 1e-13:
        return End.FOLD
    if node.det * following.det < 0.0:
        return End.CROSSING
    return End.REACHED if _there(curve, following, to) else None


def _try(
    curve: Curve, node: Node, step: float, stride: Stride, span: float
) -> tuple[Node, Node | None]:
    """Halve the step until its end is trusted; None where none is."""
    while step >= stride.least * span:
        following = advance(curve, node, step)
        if following is not None and _trusted(curve, node, following, stride):
            same = node.det * following.det > 0.0
            if same or step <= stride.near * span:
                return replace(node, step=step), following
        step *= 0.5
    return node, None


def _trusted(curve: Curve, node: Node, following: Node, stride: Stride) -> bool:
    """Ask for a small turn of the tangent, and that dropped equations hold too."""
    smooth = node.tangent @ following.tangent >= np.cos(stride.bend)
    whole = np.max(np.abs(curve.system.residual(following.q)), initial=0.0)
    return bool(smooth and whole <= floor(following.q, 1e-9))


def _growth(node: Node, following: Node, stride: Stride) -> float:
    """Aim at 0.7 of the bend allowed."""
    cosine = min(1.0, float(node.tangent @ following.tangent))
    bend = max(float(np.arccos(cosine)), 1e-9)
    return min(2.0, max(0.5, 0.7 * stride.bend / bend))

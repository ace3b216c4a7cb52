"""Damped Gauss-Newton: from a start to a state that meets every row.

It also answers how a solution moves when held values move: first and mixed second
rates, exact, from the Jacobian alone.
"""

from enum import StrEnum
from typing import Self

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from solvers.system import State, System

Vector = NDArray[np.float64]
_EPS = float(np.finfo(float).eps)


class Status(StrEnum):
    """How a solve ended."""

    CONVERGED = "converged"
    STUCK = "stuck"
    SPENT = "spent"


MESSAGES = {
    Status.CONVERGED: "every row is met",
    Status.STUCK: (
        "no step makes the gap smaller: rows fight, or the start is too far off"
    ),
    Status.SPENT: "the steps allowed are used up and the gap is still open",
}


class Solution(Struct, frozen=True, kw_only=True, eq=False):
    """Where a solve ended; `require` it or look at ``status``.

    Attributes
    ----------
    status : Status
    q : ndarray, shape (size,)
        The last state, solved or not.
    gap : float
        mm. The largest residual there.
    count : int
        Steps taken.
    worst : str
        Label of the row with the largest residual.
    """

    status: Status
    q: Vector
    gap: float
    count: int
    worst: str

    @property
    def message(self) -> str:
        """Return the status in words."""
        return MESSAGES[self.status]

    def require(self) -> Self:
        """Return self if converged, else raise `NoSolutionError`."""
        if self.status is not Status.CONVERGED:
            raise NoSolutionError(self)
        return self


class NoSolutionError(ArithmeticError):
    """A solve that had to converge did not; ``solution`` says how it ended."""

    def __init__(self, solution: Solution) -> None:
        super().__init__(solution)  # args rebuild it: it pickles
        self.solution = solution

    def __str__(self) -> str:
        s = self.solution
        return f"{s.message} ({s.gap:.3g} mm in {s.worst} after {s.count} steps)"


def solve(
    system: System, start: State, *, gap: float = 1e-12, budget: int = 200
) -> Solution:
    """Meet every row by moving what is free, from ``start``.

    Parameters
    ----------
    system : System
    start : ndarray, shape (size,)
    gap : float
        mm. The largest residual that counts as closed; never asked finer than the
        rounding of the coordinates themselves.
    budget : int
        Steps allowed.

    Raises
    ------
    ValueError
        ``start`` is not finite or has the wrong length.
    """
    q = np.array(start, float)
    if q.shape != (system.size,) or not np.all(np.isfinite(q)):
        raise ValueError(f"a start needs {system.size} finite coordinates")
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        return _solved(system, q, gap, budget)


def _solved(system: System, q: Vector, gap: float, budget: int) -> Solution:
    damping, count = 0.0, 0
    r = system.residual(q)
    while not _largest(r) <= floor(q, gap):  # nan is never closed
        if count == budget:
            return _end(system, q, count, Status.SPENT)
        trial = _descent(system, q, r, damping)
        if trial is None:
            return _end(system, q, count, Status.STUCK)
        q, r, damping = trial
        count += 1
    return _end(system, _polished(system, q, r), count, Status.CONVERGED)


def floor(q: State, gap: float) -> float:
    """Return the closable gap: a few roundings of the largest coordinate."""
    return max(gap, 4.0 * _EPS * _largest(q))


def _largest(values: State) -> float:
    return float(np.max(np.abs(values), initial=0.0))


def _end(system: System, q: Vector, count: int, status: Status) -> Solution:
    r = np.abs(system.residual(q))
    worst = system.label(int(np.argmax(r))) if r.size else ""
    return Solution(status=status, q=q, gap=_largest(r), count=count, worst=worst)


class _Aim(Struct, frozen=True, eq=False):
    """The slopes at a state, taken apart once for every damping tried there."""

    system: System
    u: Vector
    s: Vector
    vt: Vector
    sizes: Vector
    share: Vector

    @classmethod
    def at(cls, system: System, q: Vector, r: Vector) -> Self:
        """Bring columns to length 1, so that turns and lengths count alike."""
        slopes = system.jacobian(q)[:, system.free]
        sizes = np.linalg.norm(slopes, axis=0)
        sizes[sizes == 0.0] = 1.0
        u, s, vt = np.linalg.svd(slopes / sizes, full_matrices=False)
        return cls(system, u, s, vt, sizes, u.T @ r)

    def step(self, damping: float) -> tuple[Vector, float]:
        """Return the step for a damping, and the fall of gap squared it promises."""
        s2 = self.s**2
        live = self.s > 1e-13 * np.max(self.s, initial=0.0)
        gain = np.divide(self.s, s2 + damping, out=np.zeros_like(s2), where=live)
        step = np.zeros(self.system.size)
        step[self.system.free] = -(self.vt.T @ (gain * self.share)) / self.sizes
        left = (1.0 - self.s * gain) * self.share
        return step, float(self.share @ self.share - left @ left)


def _descent(
    system: System, q: Vector, r: Vector, damping: float
) -> tuple[Vector, Vector, float] | None:
    """Damp the step until the gap falls as promised; None where it will not."""
    size2 = float(r @ r)
    try:
        aim = _Aim.at(system, q, r)
    except np.linalg.LinAlgError:  # a length of 0 has no slope
        return None
    while True:
        step, promise = aim.step(damping)
        if not promise > 1e-13 * size2:
            return None  # the foot of a valley: nothing leads down
        left = system.residual(q + step)
        fall = size2 - float(left @ left)
        if fall >= 0.25 * promise:
            return q + step, left, _eased(damping)
        damping = max(10.0 * damping, 1e-6)


def _eased(damping: float) -> float:
    return 0.1 * damping if damping > 1e-9 else 0.0


def _polished(system: System, q: Vector, r: Vector) -> Vector:
    """Spend one more step where it still gains digits."""
    trial = q + _Aim.at(system, q, r).step(0.0)[0]
    return trial if _largest(system.residual(trial)) < _largest(r) else q


def rate(system: System, q: State, push: State) -> Vector:
    """Return how a solution moves when held coordinates are pushed.

    Parameters
    ----------
    system : System
        With what is pushed held, and with just as many free directions as rows
        determine.
    q : ndarray, shape (size,)
        A solution.
    push : ndarray, shape (size,)
        Rates of the held coordinates; entries of free ones are not looked at.

    Returns
    -------
    ndarray, shape (size,)
        Rates of every coordinate: ``push`` where held.

    Raises
    ------
    ValueError
        The rows leave something free (or nearly): there is no one rate.
    """
    return _answer(system, q, _only_held(system, push), np.zeros(len(system.owner)))


def mixed_rate(system: System, q: State, push: State, other: State) -> Vector:
    """Return the second derivative of a solution by two pushes.

    Twice the same push gives the second derivative by it. Exact: the change of the
    Jacobian along the first motion comes by complex step.
    """
    first, second = rate(system, q, push), rate(system, q, other)
    return _answer(system, q, np.zeros_like(first), _bend(system, q, first) @ second)


def push(system: System, **values: complex) -> Vector:
    """Return a push: rates by name, complex for points; others 0."""
    out = np.zeros(system.size)
    for name, value in values.items():
        at = list(system.where(name))
        out[at] = (value.real, value.imag)[: len(at)]
    return out


def _only_held(system: System, push: State) -> Vector:
    out = np.array(push, float)
    out[system.free] = 0.0
    return out


def _bend(system: System, q: State, motion: Vector) -> Vector:
    """Return the derivative of the Jacobian along a motion."""
    h = 1e-30
    return system.jacobian(q + 1j * h * motion).imag / h


def _answer(system: System, q: State, held: Vector, load: Vector) -> Vector:
    """Solve slopes . motion + load = 0 for the free part of the motion."""
    slopes = system.jacobian(q)
    wanted = -(slopes @ held + load)
    a = slopes[:, system.free]
    sizes = np.linalg.norm(a, axis=0)
    if np.any(sizes == 0.0):
        raise ValueError("rows leave a coordinate free: it has no rate")
    move, _, rank, _ = np.linalg.lstsq(a / sizes, wanted, rcond=1e-13)
    if rank < len(system.free):
        raise ValueError("rows leave a direction free: there is no one rate")
    out = held.copy()
    out[system.free] = move / sizes
    return out

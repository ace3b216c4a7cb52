"""What a system leaves free, and which rows say too much, at one state.

The report is of first order: it holds at the state it was asked for. At a fold or
where branches cross a row can look redundant that is not so a hair away.
"""

from collections.abc import Mapping

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from solvers.system import State, System

Matrix = NDArray[np.float64]


class Redundancy(Struct, frozen=True, kw_only=True):
    """Rows of which the others say all that one says.

    Attributes
    ----------
    rows : tuple of str
        Labels, in the order of the system; without any one of them, none is too
        many.
    gap : float
        mm. What they disagree by, to first order.
    fights : bool
        True where they disagree: no state nearby meets them all.
    """

    rows: tuple[str, ...]
    gap: float
    fights: bool


class Rank(Struct, frozen=True, kw_only=True):
    """What `examine` found.

    Attributes
    ----------
    rank, unknowns, equations : int
    free : tuple of mapping
        One for each direction left free: by name, how a point (complex) or number
        (real) moves; the largest coordinate moves by 1.
    too_many : tuple of Redundancy
        As many as there are equations over the rank; one more where a stuck solve's
        rows pull against each other and are about to depend.
    """

    rank: int
    unknowns: int
    equations: int
    free: tuple[Mapping[str, complex], ...]
    too_many: tuple[Redundancy, ...]

    @property
    def redundant(self) -> tuple[tuple[str, ...], ...]:
        """Return the groups that agree."""
        return tuple(group.rows for group in self.too_many if not group.fights)

    @property
    def fighting(self) -> tuple[tuple[str, ...], ...]:
        """Return the groups that disagree."""
        return tuple(group.rows for group in self.too_many if group.fights)


def examine(system: System, q: State, *, tol: float = 1e-9, gap: float = 1e-9) -> Rank:
    """Tell what is free and what is too much.

    Parameters
    ----------
    system : System
    q : ndarray, shape (size,)
        A solution, or the state where a solve got stuck.
    tol : float
        An equation (or coordinate) depends on others where less than this share of
        its slope is its own.
    gap : float
        mm. Rows that depend on each other and disagree by more than this fight.
    """
    slopes = system.jacobian(q)[:, system.free]
    basis, surplus = dependent(slopes, tol)
    _, loose = dependent(slopes.T, tol)
    residual = system.residual(q)
    groups = [_group(system, weights, residual, gap) for weights in surplus]
    if not any(group.fights for group in groups):
        groups += [
            _group(system, w, residual, gap) for w in _standoff(slopes, residual)
        ]
    return Rank(
        rank=len(basis),
        unknowns=len(system.free),
        equations=len(system.owner),
        free=tuple(_motion(system, direction) for direction in loose),
        too_many=tuple(groups),
    )


def _standoff(slopes: Matrix, residual: Matrix) -> list[Matrix]:
    """Return the residual as weights where it pulls against itself.

    A solve that is stuck creeps up to a place where rows become dependent, and is
    there only in the limit: what is left over already says which.
    """
    size = float(np.linalg.norm(residual))
    if not size > 0.0 or np.linalg.norm(slopes.T @ residual) > 1e-2 * size:
        return []
    large = np.abs(residual) > 1e-3 * np.max(np.abs(residual))
    return [np.where(large, residual, 0.0)]


def _motion(system: System, direction: Matrix) -> dict[str, complex]:
    full = np.zeros(system.size)
    full[system.free] = direction / np.max(np.abs(direction))
    moves: dict[str, complex] = {}
    for name in system.names:
        parts = full[list(system.where(name))]
        if np.any(parts != 0.0):
            moves[name] = complex(*parts)
    return moves


def _group(system: System, weights: Matrix, residual: Matrix, gap: float) -> Redundancy:
    labels = [system.label(int(i)) for i in np.flatnonzero(weights)]
    miss = float(abs(weights @ residual) / np.linalg.norm(weights))
    return Redundancy(
        rows=tuple(dict.fromkeys(labels)), gap=miss, fights=not miss <= gap
    )


def dependent(a: Matrix, tol: float = 1e-9) -> tuple[list[int], list[Matrix]]:
    """Sort the rows of a matrix into a basis and the rows that depend on it.

    Returns
    -------
    basis : list of int
        Independent rows, the earliest that will do.
    weights : list of ndarray, shape (rows,)
        For each other row the one combination of it (weight 1) and basis rows that
        is zero; entries that are not needed are exactly 0.
    """
    basis: list[int] = []
    frame = np.zeros((0, a.shape[1]))
    weights = []
    for i, row in enumerate(a):
        size = np.linalg.norm(row)
        own = row - frame.T @ (frame @ row)
        own -= frame.T @ (frame @ own)  # twice is enough for orthogonality
        if np.linalg.norm(own) > tol * size:
            basis.append(i)
            frame = np.vstack([frame, own / np.linalg.norm(own)])
        else:
            weights.append(_combination(a, basis, i, tol))
    return basis, weights


def _combination(a: Matrix, basis: list[int], i: int, tol: float) -> Matrix:
    """Columns are brought to length 1 so that ``tol`` means a share."""
    out = np.zeros(len(a))
    out[i] = 1.0
    sizes = np.linalg.norm(a[basis], axis=1)
    size = np.linalg.norm(a[i])
    if basis and size > 0.0:
        unit = a[basis] / sizes[:, None]
        share = np.linalg.lstsq(unit.T, a[i] / size, rcond=None)[0]
        share[np.abs(share) <= tol] = 0.0
        out[basis] = -share * size / sizes
    return out

"""Many layouts at once brought into their bands: bounded Levenberg-Marquardt.

A *problem* maps layouts, points of the unit box, to rows of values; `Rows` says how.
A layout for which the mechanism behind the rows does not exist has nan in its rows: a
step that leads there is not taken.
"""

from typing import Protocol

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from solvers.bands import Bands

Matrix = NDArray[np.float64]

#: Damping, as a share of the mean diagonal of the normal matrix.
FIRST, LEAST, MOST = 1e-3, 1e-9, 1e7
EASIER, HARDER = 0.15, 6.0
#: A layout is given up when this many steps together win less than this share.
PATIENCE, WIN = 6, 0.02
#: Bands are narrowed by this many units while steps aim: they land inside, not beside.
AIM = 0.1


class Rows(Protocol):
    """A problem over the unit box."""

    @property
    def size(self) -> int:
        """Number of coordinates, k."""
        ...

    def __call__(self, u: Matrix) -> Matrix:
        """Return the rows (n, m) of layouts (n, k)."""
        ...

    def jacobian(self, u: Matrix) -> tuple[Matrix, Matrix]:
        """Return the rows (n, m) and their derivatives (n, m, k)."""
        ...


class Landed(Struct, frozen=True, kw_only=True, eq=False):
    """Where layouts came to: ``u`` (n, k), their rows ``y`` (n, m), and which met."""

    u: Matrix
    y: Matrix
    met: NDArray[np.bool_]


class _State(Struct, eq=False):
    """Layouts still under way."""

    index: NDArray[np.intp]
    u: Matrix
    y: Matrix
    j: Matrix
    r: Matrix
    cost: Matrix
    damp: Matrix
    mark: Matrix

    def keep(self, mask: NDArray[np.bool_]) -> None:
        for name in ("index", "u", "y", "j", "r", "cost", "damp", "mark"):
            setattr(self, name, getattr(self, name)[mask])


def meet(
    rows: Rows,
    bands: Bands,
    starts: Matrix,
    *,
    steps: int = 40,
    aim: float = AIM,
    first: bool = False,
) -> Landed:
    """Move every start until it meets its bands, or gives up.

    Parameters
    ----------
    rows : Rows
    bands : Bands
        For all layouts, or for each.
    starts : ndarray, shape (n, k)
        In the unit box; a start whose rows are nan stays where it is, unmet.
    steps : int
        At most so many steps.
    aim : float
        Units by which the bands are narrowed to aim at.
    first : bool
        Stop all as soon as one has met.

    Returns
    -------
    Landed
    """
    u = np.array(starts)
    if not u.size:
        y = rows(u)
        return Landed(u=u, y=y, met=bands.met(y))
    aims = bands.shrunk(aim)
    state = _begin(rows, aims, u)
    y, met = state.y.copy(), bands.met(state.y)
    for step in range(1, steps + 1):
        if first and met.any():
            break
        going = ~met[state.index] & np.isfinite(state.cost) & (state.damp < MOST)
        if step % PATIENCE == 0:
            going &= state.cost < (1.0 - WIN) * state.mark
            state.mark = state.cost.copy()
        if not going.all():
            state.keep(going)
        if not len(state.index):
            break
        taken = _step(rows, aims, state)
        at = state.index[taken]
        u[at], y[at] = state.u[taken], state.y[taken]
        met[at] = bands.take(at).met(y[at])
    return Landed(u=u, y=y, met=met)


def _begin(rows: Rows, aims: Bands, u: Matrix) -> _State:
    y, j = rows.jacobian(u)
    r = aims.miss(y)
    cost = _cost(r)
    return _State(
        index=np.arange(len(u)),
        u=u.copy(),
        y=y,
        j=j,
        r=r,
        cost=cost,
        damp=np.full(len(u), FIRST),
        mark=np.full(len(u), np.inf),
    )


def _cost(r: Matrix) -> Matrix:
    cost: Matrix = np.einsum("nm,nm->n", r, r)
    cost[np.isnan(cost)] = np.inf
    return cost


def _step(rows: Rows, aims: Bands, state: _State) -> NDArray[np.bool_]:
    """Try one step of every layout; return which were taken."""
    new = np.clip(state.u + _direction(aims.unit, state), 0.0, 1.0)
    y, j = rows.jacobian(new)
    r = aims.take(state.index).miss(y)
    cost = _cost(r)
    better: NDArray[np.bool_] = cost < state.cost
    state.damp = np.where(
        better, np.maximum(state.damp * EASIER, LEAST), state.damp * HARDER
    )
    state.u[better], state.y[better], state.j[better] = (
        new[better],
        y[better],
        j[better],
    )
    state.r[better], state.cost[better] = r[better], cost[better]
    return better


def _direction(unit: Matrix, state: _State) -> Matrix:
    """Return the damped Gauss-Newton step; coordinates held by the box stay."""
    active = (state.r != 0.0)[..., None]
    j = np.where(active, state.j, 0.0) / unit[:, None]
    g = np.einsum("nmk,nm->nk", j, state.r)
    held = ((state.u <= 0.0) & (g > 0.0)) | ((state.u >= 1.0) & (g < 0.0))
    if held.any():
        j = np.where(held[:, None, :], 0.0, j)
        g = np.where(held, 0.0, g)
    normal = j.transpose(0, 2, 1) @ j
    size = normal.shape[1]
    diagonal = np.einsum("nkk->nk", normal)
    floor = state.damp * (diagonal.sum(axis=1) / size) + 1e-300
    normal[:, range(size), range(size)] += floor[:, None]
    return np.asarray(-np.linalg.solve(normal, g[..., None])[..., 0])

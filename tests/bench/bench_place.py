"""Placing against vectorised differential evolution, on the same rows.

Both look for one layout that meets every target of a planted question, with a cylinder
driven straight from the arm. *Easy*: five or six values free in ranges of 20 to 60 mm,
three or four targets. *Hard*: seven or eight free in ranges of 4 to 10 mm, five or six
targets with a tenth of the tolerance.
"""

import statistics
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import differential_evolution

from linkage.placing.layouts import Layouts
from solvers.search import seek
from tests.bench.timing import ROOM, medians, report
from tests.linkage.placing.asked import problem_of
from tests.linkage.placing.planted import Spec, plant, read

pytestmark = pytest.mark.bench

evolve: Any = differential_evolution  # its types know no vectorised cost
COUNT = 9
ASKS: tuple[Spec, ...] = (
    ("stroke", "full"),
    ("stroke", "50 %"),
    ("ratio", "rest"),
    ("ratio", "60 %"),
    ("mean ratio", "full"),
    ("rod angle", "full"),
    ("crank angle", "40 %"),
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Level:
    """How hard a set is, and how many times faster placing has to be."""

    free: tuple[int, int]
    wants: tuple[int, int]
    width: tuple[float, float]
    tight: float
    target: float


LEVELS = {
    "easy": Level(free=(5, 6), wants=(3, 4), width=(20.0, 60.0), tight=1.0, target=3.0),
    "hard": Level(free=(7, 8), wants=(5, 6), width=(4.0, 10.0), tight=0.1, target=10.0),
}


def problem(level: Level, seed: int) -> Layouts:
    rng = np.random.default_rng([seed, 5])
    planted = plant(
        "direct",
        rng,
        free=int(rng.integers(*level.free, endpoint=True)),
        wants=int(rng.integers(*level.wants, endpoint=True)),
        width=level.width,
        tight=level.tight,
        asks=ASKS,
    )
    return problem_of(read(planted))


def place_one(rows: Layouts) -> None:
    if not seek(rows, rows.bands, first=True).met.any():
        raise ArithmeticError("a planted question was not answered")


def evolve_one(rows: Layouts, seed: int) -> None:
    """Stop as soon as a layout meets, as placing does."""

    def cost(x: NDArray[np.float64]) -> NDArray[np.float64]:
        miss = rows.bands.miss(rows(np.atleast_2d(x.T)))
        total = (miss * miss).sum(axis=1)
        return np.where(np.isfinite(total), total, 1e9)

    evolve(
        cost,
        [(0.0, 1.0)] * rows.size,
        vectorized=True,
        updating="deferred",
        maxiter=2000,
        tol=0.0,
        polish=False,
        rng=np.random.default_rng(seed),
        callback=lambda intermediate_result: intermediate_result.fun == 0.0,
    )


@pytest.mark.parametrize("name", LEVELS)
def test_placing_against_differential_evolution(name: str) -> None:
    level = LEVELS[name]
    ratios, own, other = [], [], []
    for seed in range(COUNT):
        rows = problem(level, seed)
        took = medians(
            {
                "place": lambda rows=rows: place_one(rows),  # type: ignore[misc]
                "evolve": lambda rows=rows, seed=seed: evolve_one(rows, seed),  # type: ignore[misc]
            }
        )
        ratios.append(took["evolve"] / took["place"])
        own.append(took["place"])
        other.append(took["evolve"])
    ratio = statistics.median(ratios)
    report(
        f"place, {name}: {ratio:.1f} x faster than differential evolution (median of "
        f"{COUNT}; {1e3 * statistics.median(own):.1f} against "
        f"{1e3 * statistics.median(other):.0f} ms)"
    )
    assert ratio >= level.target / ROOM

"""What is preferred is brought to the best there is, against a search of all layouts."""

from typing import Any

import numpy as np
import pytest
from scipy.optimize import differential_evolution

from linkage.loading import load_text
from linkage.placing.best import score_of
from linkage.placing.layouts import Layouts
from linkage.placing.place import place
from tests.cases_count import many
from tests.linkage.placing.asked import problem_of
from tests.linkage.placing.planted import plant, target

evolve: Any = differential_evolution  # its types know no vectorised cost
WISHES = (
    ("ratio", "rest", "small"),
    ("stroke", "full", "large"),
    ("rod angle", "", "small"),
    ("ratio", "", "large"),
    ("crank angle", "40 %", "large"),
    ("mean ratio", "full", "small"),
)


def best_score(problem: Layouts, seed: int) -> float:
    """Return the best score of the last wish by differential evolution."""
    wish = problem.wishes[-1]
    mine = problem.owner == len(problem.wishes) - 1

    def cost(x: np.ndarray) -> np.ndarray:
        y = problem(np.atleast_2d(x.T))
        miss = np.abs(problem.bands.miss(y)).sum(axis=1)
        score = score_of(wish, y[:, mine]) / wish.unit
        found = np.where(miss > 0.0, 1e3 + 1e3 * miss, -score)
        return np.where(np.isfinite(found), found, 1e9)

    found = evolve(
        cost,
        [(0.0, 1.0)] * problem.size,
        vectorized=True,
        updating="deferred",
        popsize=20,
        maxiter=250,
        tol=1e-10,
        polish=False,
        rng=np.random.default_rng(seed),
    )
    return float(-found.fun * wish.unit)


@pytest.mark.parametrize("seed", range(many(36)))
def test_a_preference_is_within_a_thousandth_of_the_best(seed: int) -> None:
    """Or within a two-hundredth of a unit, where hundredths of a mm say no more."""
    rng = np.random.default_rng([seed, 31])
    planted = plant(
        ("direct", "pull", "rod")[seed % 3],
        rng,
        free=int(rng.integers(3, 7)),
        wants=int(rng.integers(1, 4)),
    )
    what, at, way = WISHES[seed % len(WISHES)]
    design = load_text(planted.text + target(what, at, f'prefer = "{way}"'))
    problem = problem_of(design)
    got = place(design).answers[0].judged[-1].got
    assert got is not None
    size = abs(got) if what == "rod angle" else got
    score = size if way == "large" else -size
    best = best_score(problem, seed)
    assert score >= best - max(1e-3 * abs(best), 5e-3 * problem.wishes[-1].unit)

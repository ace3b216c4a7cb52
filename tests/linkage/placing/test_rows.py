"""The rows that placing works on: many layouts at once are each of them alone."""

import numpy as np
import pytest

from solvers.screen import scatter
from tests.cases_count import many
from tests.linkage.placing.asked import problem_of
from tests.linkage.placing.planted import KINDS, plant, read


@pytest.mark.parametrize("name", KINDS)
def test_many_layouts_are_each_of_them_alone(name: str) -> None:
    """Rows and derivatives, to 1e-12 of the number or of 100 mm or 1 rad."""
    planted = plant(name, np.random.default_rng(11), free=7, wants=5)
    problem = problem_of(read(planted))
    u = scatter(many(500), problem.size, seed=2)
    rows = problem(u)
    y, slopes = problem.jacobian(u)
    np.testing.assert_allclose(y, rows, rtol=1e-12, atol=1e-10)
    for k in range(len(u)):
        one = u[k : k + 1]
        np.testing.assert_allclose(problem(one)[0], rows[k], rtol=1e-12, atol=1e-10)
        alone = problem.jacobian(one)[1][0]
        np.testing.assert_allclose(alone, slopes[k], rtol=1e-12, atol=1e-10)

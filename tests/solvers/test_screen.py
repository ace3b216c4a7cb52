"""Points spread through the box: laws of the recurrence, and who is picked."""

import numpy as np
import pytest

from solvers.screen import promising, scatter


def test_one_coordinate_follows_the_golden_ratio() -> None:
    steps = np.diff(scatter(50, 1)[:, 0]) % 1.0
    golden = (np.sqrt(5.0) - 1.0) / 2.0
    np.testing.assert_allclose(steps, golden, atol=1e-12)


@pytest.mark.parametrize("size", [1, 2, 5, 8])
def test_points_lie_more_evenly_than_random_ones(size: int) -> None:
    """Discrepancy (scipy's centred L2): well below that of random points."""
    from scipy.stats import qmc

    own = qmc.discrepancy(scatter(512, size))
    rng = np.random.default_rng(1)
    random = np.median([qmc.discrepancy(rng.random((512, size))) for _ in range(5)])
    assert own < 0.5 * random


def test_same_seed_same_points_other_seed_others() -> None:
    np.testing.assert_array_equal(scatter(9, 3, 5), scatter(9, 3, 5))
    assert not np.allclose(scatter(9, 3, 5), scatter(9, 3, 6))
    points = scatter(4000, 6, 3)
    assert points.min() >= 0.0
    assert points.max() < 1.0


def test_the_best_come_first_and_every_corner_is_heard() -> None:
    points = scatter(1000, 2)
    merit = np.linalg.norm(points - [0.1, 0.1], axis=1)
    chosen = promising(points, merit, 40)
    assert len(set(chosen.tolist())) == 40
    np.testing.assert_array_equal(chosen[:20], np.argsort(merit)[:20])
    assert points[chosen, 0].max() > 0.9


def test_points_without_a_merit_are_never_picked() -> None:
    points = scatter(30, 2)
    merit = np.full(30, np.nan)
    merit[[3, 8]] = [2.0, 1.0]
    merit[5] = np.inf
    assert promising(points, merit, 10).tolist() == [8, 3]

"""Parallel outlines against Steiner's formula: A + P d + pi d^2."""

import math

import numpy as np
import pytest

from solvers.plane.belt import belt
from solvers.plane.measure import area, perimeter
from solvers.plane.offset import offset
from solvers.plane.pieces import OutlineError, contour_of, turns
from solvers.plane.relate import gap
from tests.cases_count import many
from tests.solvers.plane.outlines import random_belts


@pytest.mark.parametrize("d", [0.15, 1.0, 4.5, -0.15, -3.0])
def test_steiner(d: float) -> None:
    for contour in random_belts(many(100), 7):
        moved = offset(contour, d)
        steiner = area(contour) + perimeter(contour) * d + math.pi * d * d
        assert area(moved) == pytest.approx(steiner, rel=1e-11)
        assert perimeter(moved) == pytest.approx(
            perimeter(contour) + 2.0 * math.pi * d, rel=1e-11
        )
        assert np.max(np.abs(turns(moved))) < 1e-9
        assert gap(contour, moved) == pytest.approx(abs(d), abs=1e-9)


def test_there_and_back() -> None:
    for contour in random_belts(many(50), 8):
        np.testing.assert_allclose(
            offset(offset(contour, 2.5), -2.5), contour, atol=1e-11
        )


def test_a_kink_has_no_parallel() -> None:
    square = contour_of(np.array([0, 10, 10 + 10j, 10j]))
    with pytest.raises(OutlineError, match="kink of 90 degrees"):
        offset(square, 1.0)


@pytest.mark.parametrize(("d", "radius"), [(-5.0, "5"), (8.0, "8"), (-9.0, "5")])
def test_an_arc_that_would_vanish_is_refused(d: float, radius: str) -> None:
    waisted = belt([0, 30 + 20j, 60, 30 + 60j], [5.0, 8.0, 5.0, 9.0], [1, -1, 1, 1])
    with pytest.raises(OutlineError, match=f"radius {radius} "):
        offset(waisted, d)

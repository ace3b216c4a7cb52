"""Belts: smooth, round their circles, refused where there is none."""

import math

import numpy as np
import pytest

from solvers.plane.belt import belt
from solvers.plane.measure import area
from solvers.plane.pieces import OutlineError, pieces_of, turns
from solvers.plane.relate import self_meetings
from tests.cases_count import many
from tests.solvers.plane.outlines import random_belts


def test_every_belt_is_smooth_and_runs_once_round() -> None:
    for contour in random_belts(many(500), 5):
        assert np.max(np.abs(turns(contour))) < 1e-9
        assert area(contour) > 0.0
        assert np.max(np.abs(contour[:, 2])) <= 1.0
        assert contour[-1, 2] == 0.0
        assert np.sum(pieces_of(contour).sweep) == pytest.approx(2.0 * np.pi, abs=1e-9)


def test_an_open_belt_drive() -> None:
    """Length of an open belt, 2 sqrt(C^2-(R-r)^2) + R(pi+2a) + r(pi-2a) (textbook)."""
    big, small, far = 80.0, 30.0, 200.0
    lean = math.asin((big - small) / far)
    length = 2.0 * math.sqrt(far**2 - (big - small) ** 2)
    length += big * (math.pi + 2.0 * lean) + small * (math.pi - 2.0 * lean)
    contour = belt([0, far], [big, small])
    assert pieces_of(contour).length.sum() == pytest.approx(length, rel=1e-14)
    assert len(contour) == 5  # the long arc is split


def test_each_arc_lies_on_its_own_circle() -> None:
    centres = np.array([0, 100 + 10j, 40 + 60j, 20 + 25j])
    radii = np.array([20.0, 12.0, 9.0, 6.0])
    contour = belt(centres, radii, [1, 1, 1, -1])
    arcs = pieces_of(contour).take(contour[:, 2] != 0.0)
    for centre, radius in zip(arcs.centre, arcs.radius, strict=True):
        k = int(np.argmin(np.abs(centres - centre)))
        assert centre == pytest.approx(centres[k], abs=1e-9)
        assert radius == pytest.approx(radii[k], abs=1e-9)
    fillet = arcs.sweep[np.isclose(arcs.radius, 6.0)]
    assert len(fillet) == 1
    assert fillet[0] < 0.0


def test_a_fillet_that_rests_on_both_bosses_leaves_no_scrap_of_line() -> None:
    """Its circle touches both: 1 - k^2 is rounding there, and they share one point."""
    for far in np.linspace(40.0, 60.0, many(300)):
        a, b, fillet = 22.0, 15.0, 30.0
        x = ((a + fillet) ** 2 - (b + fillet) ** 2 + far**2) / (2.0 * far)
        z = math.sqrt((a + fillet) ** 2 - x**2)
        turn = np.exp(0.3j)
        centres = np.array([0, x - 1j * z, far, x + 1j * z]) * turn + 5
        contour = belt(centres, [a, fillet, b, fillet], [1, -1, 1, -1])
        pieces = pieces_of(contour)
        assert not np.any(pieces.straight)
        assert np.max(np.abs(turns(contour))) < 1e-6
        assert pieces.length.min() > 1.0


def test_one_circle_is_a_circle() -> None:
    assert area(belt(3 + 1j, 4.0)) == pytest.approx(16.0 * math.pi)


@pytest.mark.parametrize(
    ("centres", "radii", "sides", "words"),
    [
        ([0, 5], [20.0, 4.0], 1, "no common tangent"),
        ([0, 0], [20.0, 4.0], 1, "no common tangent"),
        ([0, 100], [20.0, 0.0], 1, "above 0"),
        ([0, 50j, 100], 10.0, 1, "once round"),
        ([0, 100, 50 + 10j], [10.0, 10.0, 45.0], [1, 1, -1], "no common tangent|once"),
        ([0, 100, 100j, 100 + 100j], 5.0, 1, "once round|crosses"),
        ([0, 200, 200 + 60j, 100 - 60j, 60j], 8.0, [1, 1, 1, -1, 1], "crosses"),
    ],
)
def test_impossible_outlines_are_refused(
    centres: list[complex], radii: list[float], sides: list[int], words: str
) -> None:
    with pytest.raises(OutlineError, match=words):
        belt(centres, radii, sides)


def test_no_belt_meets_itself() -> None:
    for contour in random_belts(many(100), 6):
        assert len(self_meetings(contour)) == 0

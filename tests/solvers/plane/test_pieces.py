"""Bulges against the facts of the format, and the pieces' own laws."""

import math

import numpy as np
import pytest

from solvers.plane.pieces import (
    bulge_of,
    circle,
    contour_of,
    directions,
    mirrored,
    pieces_of,
    sweep_of,
)

# DXF Reference, LWPOLYLINE and bulge remarks pages (READ): bulge = tan(angle / 4); the
# digits are that formula and r = chord (1 + b^2) / (4 b), computed apart.
FACTS = [
    (30, 0.131652497587, 1.931851652578),
    (45, 0.198912367380, 1.306562964876),
    (60, 0.267949192431, 1.0),
    (90, 0.414213562373, 0.707106781187),
    (120, 0.577350269190, 0.577350269190),
    (180, 1.0, 0.5),
    (270, 2.414213562373, 0.707106781187),
]


@pytest.mark.parametrize(("degrees", "bulge", "radius"), FACTS)
def test_bulge_of_published_angles(degrees: float, bulge: float, radius: float) -> None:
    assert float(bulge_of(math.radians(degrees))) == pytest.approx(bulge, abs=5e-13)
    arc = pieces_of(
        contour_of(
            np.array([0j, 1 + 0j]), [float(bulge_of(math.radians(degrees))), 0.0]
        )
    )
    assert arc.radius[0] == pytest.approx(radius, abs=5e-12)
    assert math.degrees(arc.sweep[0]) == pytest.approx(degrees, abs=1e-9)


def test_arc_of_chord_ten_and_bulge_a_half() -> None:
    """Worked: sagitta b c / 2 = 2.5, r = 6.25, angle 106.260204708312, length."""
    arc = pieces_of(contour_of(np.array([0j, 10 + 0j]), [0.5, 0.0]))
    assert arc.radius[0] == pytest.approx(6.25, rel=1e-15)
    assert math.degrees(arc.sweep[0]) == pytest.approx(106.260204708312, abs=5e-13)
    assert arc.middle[0] == pytest.approx(5 - 2.5j, rel=1e-15)
    assert arc.length[0] == pytest.approx(11.591190225020, abs=5e-12)


def test_sweep_and_bulge_undo_each_other() -> None:
    sweep = np.linspace(-6.0, 6.0, 1201)
    np.testing.assert_allclose(sweep_of(bulge_of(sweep)), sweep, atol=1e-12)


def test_arcs_run_from_their_start_to_their_end() -> None:
    rng = np.random.default_rng(1)
    points = rng.normal(size=200) + 1j * rng.normal(size=200)
    pieces = pieces_of(contour_of(points, rng.uniform(-1.5, 1.5, 200)))
    turn = np.exp(1j * (pieces.begin + pieces.sweep))
    np.testing.assert_allclose(
        pieces.centre + pieces.radius * turn, pieces.end, rtol=0, atol=1e-9
    )


def test_directions_are_square_to_the_radius() -> None:
    rng = np.random.default_rng(2)
    points = rng.normal(size=100) + 1j * rng.normal(size=100)
    contour = contour_of(points, rng.uniform(0.2, 1.5, 100))
    pieces = pieces_of(contour)
    first, last = directions(contour)
    for tangent, end in ((first, pieces.start), (last, pieces.end)):
        outward = (end - pieces.centre) / pieces.radius
        np.testing.assert_allclose(tangent, 1j * outward, atol=1e-10)


def test_a_circle_is_two_half_turns() -> None:
    pieces = pieces_of(circle(3 + 4j, 2.0))
    np.testing.assert_allclose(pieces.centre, 3 + 4j, atol=1e-15)
    np.testing.assert_allclose(pieces.sweep, np.pi)


def test_a_mirrored_contour_is_the_same_pieces_backwards() -> None:
    contour = contour_of(np.array([0j, 4 + 0j, 4 + 3j]), [0.3, 0.0, -0.2])
    there, back = pieces_of(contour), pieces_of(mirrored(contour))
    np.testing.assert_allclose(
        np.sort_complex(back.middle), np.sort_complex(np.conj(there.middle))
    )

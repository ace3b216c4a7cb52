"""The second moment of an area about a point, against handbook shapes and a grid."""

import numpy as np
import pytest

from solvers.plane.measure import area, centroid, polar_moment
from solvers.plane.pieces import circle, contour_of, mirrored, moved
from tests.cases_count import many
from tests.solvers.plane.outlines import faceted, random_belts


def test_handbook_shapes() -> None:
    """Rectangle b h (b2 + h2) / 12, circle pi d4 / 32: any handbook of mechanics."""
    box = contour_of(np.array([0j, 30 + 0j, 30 + 8j, 8j]))
    assert polar_moment(box, 15 + 4j) == pytest.approx(30 * 8 * (900 + 64) / 12)
    assert polar_moment(circle(3 - 2j, 10.0), 3 - 2j) == pytest.approx(
        np.pi * 20.0**4 / 32.0
    )


def test_parallel_axes_turns_and_mirrors() -> None:
    """Steiner's law; a turn about the point and a mirror image change nothing."""
    for contour in random_belts(many(200), seed=5):
        middle, about = centroid(contour), 12.0 - 7.0j
        law = polar_moment(contour, middle) + area(contour) * abs(about - middle) ** 2
        assert polar_moment(contour, about) == pytest.approx(law, rel=1e-10)
        turn = np.exp(0.7j)
        spun = moved(contour, turn=turn, shift=about - about * turn)
        assert polar_moment(spun, about) == pytest.approx(law, rel=1e-9)
        flipped = polar_moment(mirrored(contour), about.conjugate())
        assert flipped == pytest.approx(law, rel=1e-9)


def test_against_facets_of_another_library() -> None:
    """Chords of 1e-3 rad lie inside the arcs by 1e-7 of their size."""
    for contour in random_belts(many(50), seed=6):
        x, z = np.array(faceted(contour).exterior.coords).T
        a = x[:-1] + 1j * z[:-1]
        b = x[1:] + 1j * z[1:]
        around = np.imag(np.conj(a) * b)
        square = np.abs(a) ** 2 + np.real(np.conj(a) * b) + np.abs(b) ** 2
        want = abs(float(np.sum(around * square)) / 12.0)
        assert polar_moment(contour, 0j) == pytest.approx(want, rel=1e-5)

"""Bulges to arcs, against the definition of a bulge and against ezdxf."""

import cmath
import math

import numpy as np
import pytest
from ezdxf.math import bulge_to_arc

from export.shapes import arc_of_bulge, polygon, rectangle
from tests.cases_count import many


def test_the_arc_ends_where_the_piece_ends() -> None:
    rng = np.random.default_rng(11)
    for _ in range(many(2000)):
        x = rng.uniform(-100.0, 100.0, 4)
        a, b = complex(x[0], x[1]), complex(x[2], x[3])
        bulge = rng.choice([-1.0, 1.0]) * 10 ** rng.uniform(-3.0, 0.5)
        centre, start, sweep = arc_of_bulge(a, b, bulge)
        radius = abs(a - centre)
        assert centre + cmath.rect(radius, start) == pytest.approx(a, abs=1e-9)
        assert centre + cmath.rect(radius, start + sweep) == pytest.approx(b, abs=1e-9)
        assert math.tan(sweep / 4) == pytest.approx(bulge)


@pytest.mark.parametrize("bulge", [0.3, -0.3, 1.0, -1.0, 2.5, -0.01])
def test_another_library_sees_the_same_arc(bulge: float) -> None:
    centre, _, _ = arc_of_bulge(3 + 4j, 20 - 7j, bulge)
    other, _, _, radius = bulge_to_arc((3.0, 4.0), (20.0, -7.0), bulge)
    assert centre == pytest.approx(complex(other.x, other.y), abs=1e-9)
    assert abs(3 + 4j - centre) == pytest.approx(radius)


def test_a_half_turn_anticlockwise_bellies_to_the_right_of_its_way() -> None:
    """DXF: a positive bulge goes anticlockwise, so it lies right of a to b."""
    centre, start, sweep = arc_of_bulge(0j, 10 + 0j, 1.0)
    assert centre + cmath.rect(5.0, start + sweep / 2) == pytest.approx(5 - 5j)


def test_rectangle_and_polygon_close() -> None:
    box = rectangle(1 + 2j, 4 + 6j, "r")
    assert box.closed
    assert box.runs == ((1 + 2j, 4 + 2j, 4 + 6j, 1 + 6j),)
    assert polygon((0j, 1j, 1 + 0j), "r").closed

"""Welded bars against the same union, rolled by another library's buffers."""

import numpy as np
import pytest
import shapely

from solvers.plane.bars import Bar, depth, weld_bars
from solvers.plane.belt import belt
from solvers.plane.measure import area
from solvers.plane.pieces import OutlineError, pieces_of, turns
from tests.cases_count import many
from tests.solvers.plane.outlines import faceted


def random_bars(rng: np.random.Generator) -> list[Bar]:
    """A long bar with one to three short ones off it, as levers have."""
    far = rng.uniform(150, 350)
    spine = Bar(a=0, b=far, ra=rng.uniform(18, 30), rb=rng.uniform(10, 16))
    bars = [spine]
    for _ in range(int(rng.integers(1, 4))):
        share = rng.choice([0.0, rng.uniform(0.1, 0.7)])
        reach = rng.uniform(25, 80) * np.exp(1j * rng.uniform(0.6, 5.7))
        root = far * share
        width = (
            spine.ra if share == 0.0 else 0.9 * (spine.ra * (1 - share) + 12 * share)
        )
        bars.append(Bar(a=root, b=root + reach, ra=width, rb=rng.uniform(10, 16)))
    return bars


def rolled(bars: list[Bar], fillet: float) -> shapely.Geometry:
    """Union of faceted bars, grown and shrunk by the fillet; holes filled."""
    shapes = [faceted(belt([bar.a, bar.b], [bar.ra, bar.rb]), 2e-2) for bar in bars]
    grown = shapely.union_all(shapes).buffer(fillet, quad_segs=128)
    filled = shapely.Polygon(grown.exterior)
    return filled.buffer(-fillet, quad_segs=128)


def test_rolling_a_wheel_round_the_bars() -> None:
    rng = np.random.default_rng(21)
    for _ in range(many(200)):
        bars = random_bars(rng)
        outline = weld_bars(bars, 15.0, least=0.2)
        assert np.max(np.abs(turns(outline))) < 1e-9
        polygon = faceted(outline, 1e-3)
        off = polygon.symmetric_difference(rolled(bars, 15.0)).area
        # Thin differences: facets, and a fillet eased by a few per cent.
        assert off < 2e-2 * area(outline)
        for bar in bars:
            kept = faceted(belt([bar.a, bar.b], [bar.ra, bar.rb]), 1e-3)
            assert kept.difference(polygon).area < 1e-2


def test_a_fillet_as_asked_fits_exactly() -> None:
    bars = [Bar(a=0, b=300, ra=22, rb=12), Bar(a=0, b=60 + 30j, ra=22, rb=14)]
    outline = weld_bars(bars, 20.0)
    off = faceted(outline, 2e-3).symmetric_difference(rolled(bars, 20.0)).area
    assert off < 1.0
    arcs = pieces_of(outline).take(outline[:, 2] < 0.0)
    np.testing.assert_allclose(arcs.radius, 20.0, atol=1e-9)


def test_depth_is_the_distance_to_the_outline() -> None:
    rng = np.random.default_rng(22)
    for bar in (
        Bar(a=10, b=90 + 30j, ra=25, rb=8),
        Bar(a=10, b=90 + 30j, ra=8, rb=25),
        Bar(a=0, b=5, ra=20, rb=4),
    ):
        points = rng.uniform(-60, 150, 300) + 1j * rng.uniform(-80, 100, 300)
        inner = abs(bar.b - bar.a) <= abs(bar.ra - bar.rb)
        shape = faceted(
            belt(bar.a, bar.ra) if inner else belt([bar.a, bar.b], [bar.ra, bar.rb])
        )
        spots = shapely.points(points.real, points.imag)
        far = shapely.distance(shape.exterior, spots)
        want = np.where(shapely.contains(shape, spots), far, -far)
        np.testing.assert_allclose(depth(bar, points), want, atol=1e-4)


def test_one_bar_is_its_belt() -> None:
    outline = weld_bars([Bar(a=0, b=100, ra=20, rb=10)], 12.0)
    assert area(outline) == pytest.approx(area(belt([0, 100], [20, 10])), rel=1e-12)


def test_a_gap_closed_all_round_is_filled() -> None:
    corners = [0, 120, 60 + 100j]
    bars = [
        Bar(a=a, b=b, ra=12, rb=12)
        for a, b in zip(corners, corners[1:] + corners[:1], strict=True)
    ]
    assert area(weld_bars(bars, 10.0)) == pytest.approx(area(belt(corners, 12.0)))


def test_bars_in_separate_parts_are_refused() -> None:
    bars = [Bar(a=0, b=50, ra=10, rb=8), Bar(a=300, b=350, ra=10, rb=8)]
    with pytest.raises(OutlineError, match="separate parts"):
        weld_bars(bars, 10.0)

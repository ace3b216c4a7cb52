"""Outlines as path text, judged by shapely."""

import math
import re
from pathlib import Path

import numpy as np
import pytest
from shapely import MultiPoint, Point, Polygon, unary_union

from linkage.arm.fitted import plan_of
from linkage.arm.outline import shape_arm
from linkage.arm.plan import ArmPlan
from linkage.loading import load
from linkage.page.outlines import (
    arm_path,
    circle_path,
    contour_path,
    disc_path,
    polygon_path,
)
from tests.cases_count import many

EXAMPLES = Path(__file__).resolve().parents[3] / "examples"
_STEP = re.compile(r"([MLA])([^MLAZ]*)")


def rings(path: str) -> list[Polygon]:
    """Read path text by the rules of SVG 1.1, 8.3 (arcs: its appendix F.6)."""
    return [_ring(part) for part in path.split("Z") if part]


def _ring(path: str) -> Polygon:
    points: list[complex] = []
    for step, text in _STEP.findall(path):
        numbers = [float(word) for word in text.split()]
        end = complex(numbers[-2], numbers[-1])
        if step == "A":
            points += _arc(points[-1], end, numbers[0], sweeps=numbers[4] == 1.0)
        points.append(end)
    return Polygon([(p.real, -p.imag) for p in points])


def _arc(a: complex, b: complex, radius: float, *, sweeps: bool) -> list[complex]:
    """Points of an arc under half a turn, y down."""
    chord = b - a
    deep = math.sqrt(max(radius**2 - abs(chord) ** 2 / 4, 0.0))
    side = 1j if sweeps else -1j
    centre = (a + b) / 2 + side * chord / abs(chord) * deep
    turn = np.angle((b - centre) / (a - centre))
    return [centre + (a - centre) * np.exp(1j * turn * n / 40) for n in range(1, 40)]


def test_a_band_round_discs_is_their_hull() -> None:
    rng = np.random.default_rng(4)
    for _ in range(many(300)):
        count = int(rng.integers(1, 6))
        centres = rng.uniform(-100, 100, (count, 2)) @ [1, 1j]
        radii = rng.uniform(2.0, 40.0, count)
        discs = list(zip(centres.tolist(), radii.tolist(), strict=True))
        (ours,) = rings(disc_path(discs))
        rounds = [Point(c.real, c.imag).buffer(r, 128) for c, r in discs]
        hull = unary_union(rounds).convex_hull
        assert ours.symmetric_difference(hull).area < 2e-3 * hull.area


def test_a_circle_and_a_polygon() -> None:
    (ring,) = rings(circle_path(10 - 5j, 7.0))
    assert ring.area == pytest.approx(math.pi * 49.0, rel=1e-3)
    assert (ring.centroid.x, ring.centroid.y) == pytest.approx((10.0, -5.0), abs=1e-3)
    corners = [0j, 4 + 0j, 4 + 3j]
    assert rings(polygon_path(corners))[0].area == pytest.approx(6.0)


@pytest.fixture
def plan() -> ArmPlan:
    return plan_of(load(EXAMPLES / "brake-hanging.toml"), "brake")


def test_an_arm_is_the_one_that_is_cut(plan: ArmPlan) -> None:
    shape = shape_arm(plan)
    (ring,) = rings(contour_path(shape.contour))
    (same,) = rings(arm_path(plan, quick=False)[0])
    assert ring.equals(same)
    corners = MultiPoint([(x, z) for x, z, _ in shape.contour])
    assert max(Point(p).distance(ring.exterior) for p in corners.geoms) < 2e-3
    for name, at in shape.centres.items():
        room = Point(at.real, at.imag).distance(ring.exterior)
        assert room >= plan.boss(name) - 0.06


def test_a_quick_outline_is_plain_until_the_real_one_is_known(plan: ArmPlan) -> None:
    import msgspec

    other = msgspec.structs.replace(plan, title="never seen", pad=plan.pad + 0.123)
    rough, cut = arm_path(other, quick=True)
    assert not cut
    real, cut = arm_path(other, quick=False)
    assert cut
    assert arm_path(other, quick=True) == (real, True)
    assert rings(rough)[0].intersection(rings(real)[0]).area > 0.8 * rings(real)[0].area


def test_an_arm_that_cannot_be_cut_is_drawn_plainly(plan: ArmPlan) -> None:
    import msgspec

    lost = msgspec.structs.replace(plan, plate=-1.0)
    path, cut = arm_path(lost, quick=False)
    assert not cut
    assert rings(path)[0].is_valid

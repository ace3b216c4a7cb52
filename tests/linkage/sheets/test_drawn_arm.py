"""The arm in the picture is the arm that is cut, turned about its pivot."""

import itertools
import math
from pathlib import Path

import pytest
from shapely import Point, Polygon, get_coordinates, oriented_envelope

from linkage.loading import load, load_text
from linkage.sheets.scene import Arm
from linkage.sheets.staging import scene_of
from linkage.writing import write
from tests.export.outside import by_gdal

ROOT = Path(__file__).resolve().parents[3]
FILES = ["brake-hanging", "clutch-reverse", "throttle-quadrant", "brake-inches"]


def arms(text: str) -> list[Arm]:
    design = load_text(text)
    (group,) = scene_of(design, tuple(design.pedals)).groups
    return [pose.arm for pose in group.poses if pose.arm is not None]


def shape(arm: Arm) -> Polygon:
    return Polygon([(p.real, p.imag) for p in arm.outline])


@pytest.mark.parametrize("name", FILES)
def test_the_drawn_arm_is_the_cut_arm_in_every_position(
    name: str, tmp_path: Path
) -> None:
    """Against the cut file as GDAL reads it: area of the outline to 0.05 %."""
    path = ROOT / f"examples/{name}.toml"
    design = load(path)
    write(design, tmp_path / "arm.dxf")
    found = arms(path.read_text())
    assert len(found) == 3
    for arm in found:
        drawn = shape(arm)
        assert drawn.is_valid
        holes = [Point(p.real, p.imag) for p in (arm.pivot, *arm.holes.values())]
        assert all(drawn.contains(hole) for hole in holes)
        for other in found:
            assert drawn.area == pytest.approx(shape(other).area, rel=1e-9)
    cut = by_gdal(tmp_path / "arm.dxf")
    low_x, low_z, high_x, high_z = cut.box
    over_all = max(high_x - low_x, high_z - low_z)
    corners = get_coordinates(oriented_envelope(shape(found[0])))
    sides = [math.dist(a, b) for a, b in itertools.pairwise(corners)]
    assert max(sides) == pytest.approx(over_all, rel=2e-3)
    pierced = shape(found[0]).area - cut.area
    assert 0.0 <= pierced < 0.1 * cut.area


def test_free_numbers_are_drawn_as_they_are_read() -> None:
    """Nothing is cut from a question, and yet its picture shows the arm."""
    assert all(
        arm.outline for arm in arms((ROOT / "examples/brake-to-place.toml").read_text())
    )


def test_an_arm_without_an_outline_is_drawn_in_usual_proportions() -> None:
    """A pad inside the pivot's own boss: no outline goes round that."""
    text = (ROOT / "examples/brake-hanging.toml").read_text()
    odd = text.replace("back = 207, up = 262", "back = 122, up = 535").replace(
        "travel = 150", "travel = 5"
    )
    odd = odd.replace('at = "0 to 60 mm"', 'at = "full"')
    assert odd != text
    for arm in arms(odd):
        assert arm.outline == ()

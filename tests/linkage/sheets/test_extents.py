"""Floor and bulkhead: as given, and no longer than the drawing needs."""

import pytest
from msgspec.structs import replace

from linkage.sheets.extents import bulkhead_line, floor_line, scene_points
from linkage.sheets.sweep_picture import sweep_picture
from tests.linkage.sheets.samples import hanging_scene


def test_a_long_floor_is_cut_and_stays_on_its_line() -> None:
    scene = replace(hanging_scene(), floor=(-9000 - 450j, 9000 + 450j))
    line = floor_line(scene)
    assert line is not None
    a, b = line
    assert (a.imag, b.imag) == pytest.approx((a.real / 20, b.real / 20))
    others = [p.real for p in scene_points(replace(scene, floor=None))]
    assert a.real == pytest.approx(min(others) - 40.0)
    assert b.real == pytest.approx(max(others) + 40.0)


def test_a_short_toe_board_is_not_made_longer() -> None:
    board = (20 + 0j, 120 + 140j)
    scene = replace(hanging_scene(), bulkhead=board[::-1])
    assert bulkhead_line(scene) == pytest.approx(board)


def test_a_line_of_no_length_draws_nothing_and_harms_nothing() -> None:
    spot = (5 + 5j, 5 + 5j)
    scene = replace(hanging_scene(), floor=spot, bulkhead=spot)
    assert floor_line(scene) == spot
    assert sweep_picture(scene).items


def test_without_floor_there_is_none() -> None:
    scene = replace(hanging_scene(), floor=None, bulkhead=None)
    assert floor_line(scene) is None
    assert bulkhead_line(scene) is None

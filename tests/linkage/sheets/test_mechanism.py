"""Cylinders, pads and dimensions against the lengths that they stand for."""

import cmath
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from export.shapes import Path, Shape, Text
from linkage.sheets.mechanism import cylinder_shapes, mechanism, pad_back, press_way
from linkage.sheets.readings import reading_shapes, sides
from linkage.sheets.scene import Arm, Cylinder, Group, Pose, Reading
from linkage.sheets.view import View, bounds
from tests.linkage.sheets.samples import PAD, PIVOT, hanging_group, hanging_scene

VIEW = View(reduction=1)


def _along(shapes: tuple[Shape, ...], role: str, item: Cylinder) -> tuple[float, float]:
    """Least and greatest place of a role along the axis, from the seat, mm."""
    places = [
        ((p - item.seat) * item.axis.conjugate()).real
        for s in shapes
        if isinstance(s, Path) and s.role == role
        for run in s.runs
        for p in run
    ]
    return min(places), max(places)


def _pushed(angle: float, stroke: float, used: float, depth: float) -> Cylinder:
    axis = cmath.rect(1.0, angle)
    face = 30 - 20j
    seat = face + depth * axis
    return Cylinder(
        axis=axis,
        face=face,
        seat=seat,
        end=seat + stroke * axis,
        full=seat + used * axis,
        bore=20.0,
    )


@given(st.floats(-3.0, 3.0), st.floats(5.0, 40.0), st.floats(0.0, 1.0))
def test_what_is_left_of_the_stroke_is_the_gap_to_the_wall(
    angle: float, stroke: float, part: float
) -> None:
    item = _pushed(angle, stroke, part * stroke, 11.0)
    shapes = cylinder_shapes(item, VIEW)
    _, home = _along(shapes, "piston", item)
    _, full = _along(shapes, "piston full", item)
    wall, _ = _along(shapes, "wall", item)
    assert wall - home == pytest.approx(stroke)
    assert wall - full == pytest.approx(stroke * (1.0 - part), abs=1e-9)


def test_a_proud_rod_stands_out_of_its_body() -> None:
    item = _pushed(0.0, 30.0, 20.0, -15.0)
    shapes = cylinder_shapes(item, VIEW)
    low, _ = _along(shapes, "piston", item)
    body, _ = _along(shapes, "body", item)
    assert low == pytest.approx(0.0)
    assert body == pytest.approx(15.0)


def test_a_pulled_piston_goes_towards_its_gland() -> None:
    axis = cmath.rect(1.0, -1.5)
    face, seat = 0j, -40 * axis
    item = Cylinder(
        axis=axis,
        face=face,
        seat=seat,
        end=seat + 28 * axis,
        full=seat + 20 * axis,
        bore=19.0,
        pull=True,
    )
    shapes = cylinder_shapes(item, VIEW)
    _, home = _along(shapes, "piston", item)
    _, full = _along(shapes, "piston full", item)
    wall, _ = _along(shapes, "wall", item)
    assert (home, full) == pytest.approx((0.0, 20.0))
    assert wall == pytest.approx(28.0)
    body = _along(shapes, "body", item)
    assert body[1] == pytest.approx(40.0)
    assert body[0] < -19.0


@pytest.mark.parametrize("sense", [1.0, -1.0])
def test_the_back_of_the_pad_lies_where_it_is_pressed_to(sense: float) -> None:
    """Below its pivot a pad moves forward anticlockwise, above it clockwise."""
    pivot = 0j
    pad = complex(-20.0, -300.0 * sense)
    onward = pivot + (pad - pivot) * cmath.rect(1.0, 0.01 * sense)
    pose = Pose(at="rest", travel=0.0, arm=Arm(pivot=pivot, pad=pad))
    group = Group(name="x", poses=(pose,), arc=(pad, onward), pad_thick=13.0)
    assert press_way(group) == 1j * sense
    assert pose.arm is not None
    back = pad_back(pose.arm, group)
    assert abs(back - pad) == pytest.approx(13.0)
    assert back.real > pad.real + 12.0
    still = replace(group, arc=())
    assert press_way(still) == 1j * sense


def test_poses_are_drawn_rest_first_and_each_in_its_own_line() -> None:
    shapes = mechanism(hanging_group(), VIEW)
    roles = [s.role for s in shapes if isinstance(s, Path)]
    assert roles.index("arm rest") < roles.index("arm mid") < roles.index("arm full")


def test_a_dimension_runs_from_the_mark_to_the_point() -> None:
    """Its number stands between the two, or just outside where there is no room."""
    scene = replace(
        hanging_scene(),
        readings=(
            Reading(at=PIVOT, axis="back", text="118 back"),
            Reading(at=PAD, axis="up", text="258 up"),
            Reading(at=3 + 489.5j, axis="back", text="3 ahead"),
        ),
    )
    view = View(reduction=5, shift=100 + 50j)
    points = [PIVOT, PAD, 60 + 0j]
    placed = sides(scene, points)
    shapes = reading_shapes(scene, placed, view, bounds(map(view.at, points)))[0]
    texts = {s.text: s for s in shapes if isinstance(s, Text)}
    string, floor = view.at(0j).real, view.at(0j).imag
    middle = (view.at(PIVOT).real + string) / 2
    assert texts["118 back"].at.real == pytest.approx(middle)
    assert texts["118 back"].anchor == "middle"
    assert texts["258 up"].at.imag == pytest.approx((view.at(PAD).imag + floor) / 2)
    assert texts["258 up"].turn == pytest.approx(math.pi / 2)
    assert texts["3 ahead"].at.real > view.at(3 + 0j).real

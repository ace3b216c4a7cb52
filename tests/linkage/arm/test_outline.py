"""Outlines: smooth, with metal round every hole, a shape that tapers to the pad."""

import numpy as np
import pytest
from msgspec.structs import replace

from linkage.arm import outline
from linkage.arm.outline import LEAST_PIECE, shape_arm
from linkage.arm.plan import ArmPlan
from linkage.faults import DesignError
from solvers.plane.measure import area, extents
from solvers.plane.pieces import OutlineError, circle, mirrored, moved, pieces_of, turns
from solvers.plane.relate import gap, inside, self_meetings
from tests.cases_count import many
from tests.linkage.arm.plans import HANGING, LAYOUTS, random_arms

EACH = pytest.mark.parametrize("plan", LAYOUTS.values(), ids=LAYOUTS.keys())


def judge(plan: ArmPlan) -> None:
    shape = shape_arm(plan)
    contour = shape.contour
    assert np.max(np.abs(turns(contour))) < 1e-9
    assert np.min(pieces_of(contour).length) >= LEAST_PIECE
    assert len(self_meetings(contour)) == 0
    assert area(contour) > 0.0
    assert np.max(np.abs(contour[:, 2])) <= 1.0
    assert contour[-1, 2] == 0.0
    for name, at in shape.centres.items():
        assert bool(inside(contour, at))
        hole = circle(at, 0.5 * plan.bore(name))
        want = plan.boss(name) - 0.5 * plan.bore(name)
        assert gap(contour, hole) >= want - 0.051
    hollow = pieces_of(contour).take(contour[:, 2] < 0.0)
    assert np.all(hollow.radius >= 0.8 * plan.corner - 1e-9)


@EACH
def test_layouts(plan: ArmPlan) -> None:
    judge(plan)


def test_random_arms() -> None:
    for plan in random_arms(many(300), 31):
        judge(plan)


def test_nearly_every_arm_has_an_outline() -> None:
    """Refusals for want of an outline, not for nonsense, must stay rare."""
    rng = np.random.default_rng(32)
    none = 0
    for _ in range(many(400)):
        at = complex(rng.uniform(-90, 250), rng.uniform(-60, 60))
        plan = ArmPlan(pivot=0, pad=320, holes={"clevis": at}, plate=6.0)
        try:
            shape_arm(plan)
        except DesignError as error:
            none += "no outline" in str(error)
    assert none <= many(400) // 100


@EACH
def test_the_shape_does_not_depend_on_where_the_arm_is(plan: ArmPlan) -> None:
    turn, shift = np.exp(0.83j), -70 + 410j
    other = replace(
        plan,
        pivot=plan.pivot * turn + shift,
        pad=plan.pad * turn + shift,
        holes={name: at * turn + shift for name, at in plan.holes.items()},
        press=plan.press * turn,
    )
    want = moved(shape_arm(plan).contour, turn=turn, shift=shift)
    assert area(shape_arm(other).contour) == pytest.approx(area(want), rel=1e-9)
    assert extents(shape_arm(other).contour) == pytest.approx(extents(want), abs=1e-6)


@EACH
def test_a_mirrored_arm_has_a_mirrored_outline(plan: ArmPlan) -> None:
    other = replace(
        plan,
        pivot=np.conj(plan.pivot),
        pad=np.conj(plan.pad),
        holes={name: np.conj(at) for name, at in plan.holes.items()},
        press=np.conj(plan.press),
    )
    want, got = mirrored(shape_arm(plan).contour), shape_arm(other).contour
    assert area(got) == pytest.approx(area(want), rel=1e-9)
    assert extents(got) == pytest.approx(extents(want), abs=1e-6)


@EACH
def test_the_order_of_the_holes_does_not_matter(plan: ArmPlan) -> None:
    other = replace(plan, holes=dict(reversed([*plan.holes.items()])))
    assert area(shape_arm(other).contour) == pytest.approx(
        area(shape_arm(plan).contour), rel=1e-12
    )


def test_the_arm_tapers_from_the_pivot_to_the_pad() -> None:
    shape = shape_arm(LAYOUTS["pin in the bar"])
    along = shape.end - shape.centres["pivot"]
    unit = along / abs(along)
    local = (shape.contour[:, 0] + 1j * shape.contour[:, 1]) - shape.centres["pivot"]
    local = local * np.conj(unit)
    pivot_end = np.max(np.abs(local.imag[local.real < 30]))
    pad_end = np.max(np.abs(local.imag[local.real > 250]))
    assert pivot_end == pytest.approx(22.5, abs=0.1)
    assert pad_end == pytest.approx(12.0, abs=0.1)


def test_a_hole_within_the_bar_makes_no_bump() -> None:
    contour = shape_arm(LAYOUTS["pin in the bar"]).contour
    assert np.count_nonzero(pieces_of(contour).straight) == 2


def test_the_pads_face_comes_where_it_was_meant() -> None:
    """The arm's edge lies the pad's thickness ahead of the point on the face."""
    for stand in (0.0, 4.0, 11.5):
        plan = replace(HANGING, pad_stand=stand)
        shape = shape_arm(plan)
        far = gap(shape.contour, circle(plan.pad, 1e-6)) + 1e-6
        # The arm tapers, so its edge is not quite square to the line to the pivot.
        assert far == pytest.approx(stand, abs=0.2)
        assert not bool(inside(shape.contour, plan.pad - 0.2))
        assert (shape.end - plan.pad).real > 0.0
    back = shape_arm(replace(HANGING, press=-1.0))
    assert (back.end - HANGING.pad).real < 0.0


def test_without_a_stand_the_end_is_round_the_pad_point() -> None:
    plan = replace(HANGING, pad_stand=None)
    assert shape_arm(plan).end == plan.pad


def test_nonsense_is_refused_before_any_shape() -> None:
    with pytest.raises(DesignError, match=r"arm\.plate"):
        shape_arm(replace(HANGING, plate=-8.0))


def test_no_outline_is_told_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise OutlineError("the outline crosses itself")

    monkeypatch.setattr(outline, "weld_bars", refuse)
    words = r"round these holes: the outline crosses itself\. Move a hole"
    with pytest.raises(DesignError, match=words):
        shape_arm(HANGING)

"""The placer's promises, on random sheets of labels."""

import math

import numpy as np
import pytest

from export.lettering import text_width
from export.shapes import Circle, Line, Text
from linkage.sheets.box import Box, text_box
from linkage.sheets.labels import Label, place_labels
from linkage.sheets.traces import ink_points
from tests.cases_count import many

FRAME = Box(left=0.0, bottom=0.0, right=120.0, top=90.0)
NONE = np.zeros(0, dtype=np.complex128)


def test_no_two_labels_meet_and_none_leaves_the_frame() -> None:
    rng = np.random.default_rng(3)
    for _ in range(many(100)):
        count = int(rng.integers(1, 25))
        labels = [
            Label(
                lines=tuple("W" * int(rng.integers(1, 12)) for _ in range(2)),
                at=complex(rng.uniform(0, 120), rng.uniform(0, 90)),
            )
            for _ in range(count)
        ]
        taken = [Box(left=40.0, bottom=40.0, right=60.0, top=50.0)]
        placed, homeless = place_labels(labels, frame=FRAME, taken=taken, ink=NONE)
        assert len(placed) + len(homeless) == count
        boxes = [*taken, *(p.box for p in placed)]
        for n, box in enumerate(boxes):
            assert FRAME.holds(box)
            assert not any(box.meets(other) for other in boxes[n + 1 :])


def test_letters_lie_inside_their_box() -> None:
    label = Label(lines=("Ågy", "second line"), at=50 + 50j, bold=True)
    (placed,), _ = place_labels([label], frame=FRAME, ink=NONE)
    letters = [s for s in placed.shapes() if isinstance(s, Text)]
    assert [t.text for t in letters] == ["Ågy", "second line"]
    assert all(placed.box.holds(text_box(t)) for t in letters)


def test_ink_is_kept_clear_and_the_favoured_side_wins() -> None:
    ink = ink_points([Line(50 + 45j, 110 + 45j, "o")])
    label = Label(lines=("name",), at=50 + 45j, towards=1 + 0j)
    (free,), _ = place_labels([label], frame=FRAME, ink=NONE)
    (kept,), _ = place_labels([label], frame=FRAME, ink=ink)
    assert free.box.left > 50.0
    on = [p for p in ink if kept.box.left < p.real < kept.box.right]
    assert not any(kept.box.bottom < p.imag < kept.box.top for p in on)


def test_a_far_label_has_a_leader_that_ends_at_its_box() -> None:
    wall = Box(left=30.0, bottom=30.0, right=70.0, top=60.0)
    label = Label(lines=("name",), at=50 + 45j)
    (placed,), _ = place_labels([label], frame=FRAME, taken=[wall], ink=NONE)
    assert placed.leader is not None
    start, end = placed.leader
    assert start == 50 + 45j
    box = placed.box
    assert box.left - 1e-9 <= end.real <= box.right + 1e-9
    assert box.bottom - 1e-9 <= end.imag <= box.top + 1e-9


def test_without_room_a_label_is_told_of() -> None:
    small = Box(left=0.0, bottom=0.0, right=5.0, top=5.0)
    label = Label(lines=("much too long",), at=2 + 2j)
    assert place_labels([label], frame=small, ink=NONE) == ((), (label,))


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_a_turned_box_is_the_upright_one_turned(anchor: str) -> None:
    width = text_width("118 back", 2.5)
    text = Text(at=10 + 10j, text="118 back", role="o", anchor=anchor)  # type: ignore[arg-type]
    turned = Text(
        at=10 + 10j,
        text="118 back",
        role="o",
        anchor=anchor,  # type: ignore[arg-type]
        turn=math.pi / 2,
    )
    a, b = text_box(text), text_box(turned)
    assert a.right - a.left == pytest.approx(width)
    assert b.top - b.bottom == pytest.approx(width)
    assert b.bottom - 10 == pytest.approx(a.left - 10)


def test_ink_runs_all_the_way() -> None:
    points = ink_points([Line(0j, 10 + 0j, "o"), Circle(centre=0j, radius=5, role="o")])
    assert np.max(np.abs(np.diff(points[:11].real))) <= 1.0 + 1e-9
    assert np.isclose(np.abs(points), 5.0).sum() >= 31


def _gap(box: Box, at: complex) -> float:
    x = max(box.left - at.real, at.real - box.right, 0.0)
    return math.hypot(x, max(box.bottom - at.imag, at.imag - box.top, 0.0))


def test_labels_of_a_kind_cannot_be_taken_for_each_other() -> None:
    """Without a leader each is nearest to what it names, and not beside another."""
    rng = np.random.default_rng(11)
    for _ in range(many(200)):
        places = [complex(*rng.uniform(40, 70, 2)) for _ in range(3)]
        labels = [
            Label(lines=("half way 3",), at=at, towards=-1j, kin="position")
            for at in places
        ]
        placed, _ = place_labels(labels, frame=FRAME, ink=NONE)
        for one in (each for each in placed if each.leader is None):
            gaps = [_gap(one.box, at) for at in places if at != one.label.at]
            assert _gap(one.box, one.label.at) <= min(gaps)


@pytest.mark.parametrize("kin", ["position", ""])
def test_a_label_beside_another_of_its_kind_gets_a_leader(kin: str) -> None:
    """Each straight above what it names, a millimetre apart."""
    wide = text_width("rest 0", 2.5) + 1.6
    strip = Box(left=-0.5, bottom=0.0, right=2.0 * wide + 1.5, top=9.0)
    labels = [
        Label(lines=("rest 0",), at=complex(x, 1.0), towards=1j, kin=kin)
        for x in (0.5 * wide, 1.5 * wide + 1.0)
    ]
    placed, _ = place_labels(labels, frame=strip, ink=NONE)
    assert [each.leader is not None for each in placed] == [False, bool(kin)]

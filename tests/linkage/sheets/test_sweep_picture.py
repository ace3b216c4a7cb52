"""The picture of a sweep: letters apart and on the page, places true to scale."""

from dataclasses import replace

import numpy as np
import pytest

from export.shapes import Circle, Drawing, Path, Text
from export.svg import svg_text
from linkage.sheets.labels import Box, text_box
from linkage.sheets.scene import Scene
from linkage.sheets.sweep_picture import MARGIN, compose, sweep_picture
from linkage.sheets.view import REDUCTIONS
from tests.export.sample import HOSTILE
from tests.linkage.sheets.samples import PAD, PIVOT, SCENES, hanging_scene


def _letters(drawing: Drawing) -> list[Text]:
    return [item for item in drawing.items if isinstance(item, Text)]


def _words(drawing: Drawing) -> list[str]:
    return [item.text for item in _letters(drawing)]


@pytest.fixture(params=["a4", "letter", "a3"])
def paper(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def _apart(drawing: Drawing) -> None:
    """No two pieces of text overlap, and all stand inside the margins."""
    page = Box(
        left=MARGIN - 0.01,
        bottom=MARGIN - 1.0,
        right=drawing.width - MARGIN + 0.01,
        top=drawing.height - MARGIN + 0.01,
    )
    letters = _letters(drawing)
    boxes = [text_box(item) for item in letters]
    for n, (item, box) in enumerate(zip(letters, boxes, strict=True)):
        assert page.holds(box), item.text
        met = [letters[k].text for k in range(n + 1, len(boxes)) if box.meets(boxes[k])]
        assert not met, item.text


@pytest.mark.parametrize("name", SCENES)
def test_no_letters_meet_and_none_leaves_the_page(name: str, paper: str) -> None:
    picture = compose(SCENES[name](), paper=paper)
    assert picture.homeless == ()
    _apart(picture.drawing)


@pytest.mark.parametrize("name", SCENES)
def test_every_letter_is_big_enough(name: str) -> None:
    letters = _letters(sweep_picture(SCENES[name]()))
    assert min(item.size for item in letters) >= 2.5


@pytest.mark.parametrize("name", SCENES)
def test_nothing_is_drawn_off_the_page(name: str) -> None:
    drawing = compose(SCENES[name](), paper="a4").drawing
    for item in drawing.items:
        if isinstance(item, Path):
            for point in (p for run in item.runs for p in run):
                assert 0.0 <= point.real <= drawing.width
                assert 0.0 <= point.imag <= drawing.height


def _pins(drawing: Drawing) -> list[complex]:
    return [
        s.centre for s in drawing.items if isinstance(s, Circle) and s.role == "pin"
    ]


def _scale(drawing: Drawing) -> int:
    (words,) = [w for w in _words(drawing) if "scale 1:" in w]
    return int(words.split("scale 1:")[1].split()[0])


def _arcs(drawing: Drawing) -> list[complex]:
    runs = [s.runs[0] for s in drawing.items if isinstance(s, Path) and s.role == "arc"]
    return list(runs[0])


def test_the_printed_scale_is_true() -> None:
    """Pivot to pad is 301.2 by Pythagoras (88 and 288), whatever the picture says."""
    drawing = sweep_picture(hanging_scene())
    scale = _scale(drawing)
    assert scale in REDUCTIONS
    pivot, pad = _pins(drawing)[0], _arcs(drawing)[0]
    assert abs(pad - pivot) * scale == pytest.approx(np.hypot(88.0, 288.0), abs=0.01)
    assert (pad - pivot) * scale == pytest.approx(PAD - PIVOT)


def test_with_the_door_left_forward_is_left() -> None:
    drawing = sweep_picture(hanging_scene(door_left=True))
    pivot, pad = _pins(drawing)[0], _arcs(drawing)[0]
    scale = _scale(drawing)
    assert (pad - pivot) * scale == pytest.approx(-(PAD - PIVOT).conjugate())


def test_typed_numbers_marks_and_stamp_are_on_the_sheet() -> None:
    scene = hanging_scene()
    words = _words(sweep_picture(scene))
    for reading in scene.readings:
        assert reading.text in words
    for text in (
        "string at the scuttle lip",
        "bare floor",
        "front of car",
        "guesses: 2",
        scene.stamp.line,
        "55 clear",
        "cylinder at its end, 30.5",
    ):
        assert text in words
    assert any("licensed person" in w for w in words)


def test_the_arc_has_a_tick_each_ten() -> None:
    drawing = sweep_picture(hanging_scene())
    ticks = [s for s in drawing.items if getattr(s, "role", "") == "arc"]
    assert len(ticks) == 1 + 16


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_a_hostile_title_is_cut_to_its_room(text: str) -> None:
    drawing = sweep_picture(hanging_scene(title=text))
    assert svg_text(drawing).count("<script") == 0
    _apart(drawing)


def test_a_bare_scene_is_drawn_too() -> None:
    """No string, no floor, no curves, one pose."""
    whole = hanging_scene()
    group = whole.groups[0]
    bare = Scene(
        title="bare",
        stamp=whole.stamp,
        groups=(
            replace(
                group,
                poses=group.poses[:1],
                cylinders=(),
                arc=(),
                ticks=(),
                square=None,
            ),
        ),
    )
    assert "scale 1:2" in " ".join(_words(sweep_picture(bare)))


def test_values_that_are_missing_leave_a_gap() -> None:
    scene = SCENES["throttle"]()
    drawing = sweep_picture(scene)
    curves = [s for s in drawing.items if isinstance(s, Path) and s.role == "series 1"]
    finite = [np.isfinite(p.series[0].values).sum() for p in scene.panels]
    assert [len(c.runs[0]) for c in curves] == finite
    assert finite[1] < finite[0]


def test_same_scene_same_text_and_unknown_paper_refused() -> None:
    scene = hanging_scene()
    assert svg_text(sweep_picture(scene)) == svg_text(sweep_picture(scene))
    with pytest.raises(ValueError, match="a4, letter, a3"):
        sweep_picture(scene, paper="b5")


def test_notes_stand_under_the_title_and_are_never_dropped_in_silence() -> None:
    notes = tuple(f"brake: LIMIT, dead centre after {n} of pad" for n in range(3))
    drawing = sweep_picture(replace(hanging_scene(), notes=notes))
    assert set(notes) <= set(_words(drawing))
    _apart(drawing)
    many_notes = tuple(f"note {n}" for n in range(30))
    words = _words(sweep_picture(replace(hanging_scene(), notes=many_notes)))
    assert "and 23 lines more: see the table" in words

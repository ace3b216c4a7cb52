"""The picture of a sweep: letters apart and on the page, places true to scale."""

import itertools
from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace

from export.shapes import Circle, Drawing, Line
from export.shapes import Path as Strokes
from export.svg import svg_text
from linkage.loading import load
from linkage.sheets.scene import Length, Scene
from linkage.sheets.staging import scene_of
from linkage.sheets.sweep_picture import MARGIN, compose, sweep_picture
from linkage.sheets.view import REDUCTIONS
from tests.export.sample import HOSTILE
from tests.linkage.sheets.apart import expect_apart, expect_on_page, letters
from tests.linkage.sheets.samples import PAD, PIVOT, SCENES, hanging_scene


def _words(drawing: Drawing) -> list[str]:
    return [item.text for item in letters(drawing)]


@pytest.fixture(params=["a4", "letter", "a3"])
def paper(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def _apart(drawing: Drawing) -> None:
    expect_apart(drawing, MARGIN)


EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.toml"))


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.stem)
def test_every_example_makes_a_clean_sheet(file: Path) -> None:
    design = load(file)
    scene = scene_of(design, tuple(design.pedals))
    picture = compose(scene, paper="a3" if scene.apart else "a4")
    assert picture.homeless == ()
    expect_apart(picture.drawing, MARGIN)
    expect_on_page(picture.drawing)


@pytest.mark.parametrize("name", SCENES)
def test_no_letters_meet_and_none_leaves_the_page(name: str, paper: str) -> None:
    picture = compose(SCENES[name](), paper=paper)
    assert picture.homeless == ()
    _apart(picture.drawing)


@pytest.mark.parametrize("name", SCENES)
def test_every_letter_is_big_enough(name: str) -> None:
    found = letters(sweep_picture(SCENES[name]()))
    assert min(item.size for item in found) >= 2.5


@pytest.mark.parametrize("name", SCENES)
def test_nothing_is_drawn_off_the_page(name: str) -> None:
    expect_on_page(compose(SCENES[name](), paper="a4").drawing)


def _pins(drawing: Drawing) -> list[complex]:
    return [
        s.centre for s in drawing.items if isinstance(s, Circle) and s.role == "pin"
    ]


def _scale(drawing: Drawing) -> int:
    (words,) = [w for w in _words(drawing) if "scale 1:" in w]
    return int(words.split("scale 1:")[1].split()[0])


def _arcs(drawing: Drawing) -> list[complex]:
    runs = [
        s.runs[0] for s in drawing.items if isinstance(s, Strokes) and s.role == "arc"
    ]
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
    curves = [
        s for s in drawing.items if isinstance(s, Strokes) and s.role == "series 1"
    ]
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


def test_a_long_title_takes_two_lines_and_keeps_its_words() -> None:
    title = "Quillet two-seater, with the cable clutch of the second car: clutch"
    words = _words(sweep_picture(hanging_scene(title=title)))
    assert title not in words
    lines = [w for w in words if w and w in title and len(w) > 8]
    assert " ".join(lines[-2:]) == title


def test_a_length_stands_behind_the_arm_from_either_door() -> None:
    """A dimension beside the arm is mirrored with it, and its number says the same."""
    length = Length(a=PIVOT, b=PAD, text="301", beside=-6.0)
    ends = []
    for left in (False, True):
        scene = replace(hanging_scene(door_left=left), lengths=(length,))
        drawing = sweep_picture(scene)
        pivot = _pins(drawing)[0]
        lines = [
            s for s in drawing.items if isinstance(s, Line) and s.role == "dimension"
        ]
        slanted = [s for s in lines if abs(abs(s.b - s.a) - 301.15 / 5) < 0.1]
        ends.append(slanted[0].a - pivot)
    assert ends[0].real < 0.0
    assert ends[1] == pytest.approx(-ends[0].conjugate())


def test_what_is_said_twice_is_drawn_once() -> None:
    scene = hanging_scene()
    double = replace(scene, readings=(*scene.readings, *scene.readings))
    assert _words(sweep_picture(double)).count("118 back") == 1


def test_more_than_three_panels_stand_in_pairs() -> None:
    scene = hanging_scene()
    drawing = sweep_picture(replace(scene, panels=scene.panels * 2))
    frames = [
        s.runs[0]
        for s in drawing.items
        if isinstance(s, Strokes) and s.role == "axis" and s.closed
    ]
    assert len({round(f[0].real, 3) for f in frames}) == 2
    assert len({round(f[0].imag, 3) for f in frames}) == 3
    _apart(drawing)


def test_several_pedals_stand_side_by_side_at_one_scale() -> None:
    """Each arm is drawn at the one printed scale, none across another."""
    design = load(next(file for file in EXAMPLES if file.stem == "three-on-one-shaft"))
    scene = scene_of(design, tuple(design.pedals))
    drawing = sweep_picture(scene)
    assert (drawing.width, drawing.height) == (420.0, 297.0)
    assert "scale 1:5 on A3" in " ".join(_words(drawing))
    arms = [
        s.runs[0]
        for s in drawing.items
        if isinstance(s, Strokes) and s.role == "arm rest"
    ]
    assert len(arms) == 3
    spans = [(min(p.real for p in arm), max(p.real for p in arm)) for arm in arms]
    assert all(a[1] < b[0] for a, b in itertools.pairwise(spans))
    for arm, each in zip(arms, scene.apart, strict=True):
        drawn = each.groups[0].poses[0].arm
        assert drawn is not None
        tall = max(p.imag for p in drawn.outline) - min(p.imag for p in drawn.outline)
        paper = max(p.imag for p in arm) - min(p.imag for p in arm)
        assert 5.0 * paper == pytest.approx(tall)
    for name in design.pedals:
        assert name in _words(drawing)

"""What stands where on the sheets of every example, by their own shapes."""

from collections.abc import Iterator
from itertools import combinations
from pathlib import Path

import pytest

from export.lettering import text_width
from export.shapes import Drawing, Text, Window
from export.shapes import Path as Stroke
from linkage.faults import DesignError
from linkage.loading import load
from linkage.pressing.press import load_pedal
from linkage.sheets.effort_picture import effort_picture
from linkage.sheets.staging import scene_of
from linkage.sheets.sweep_picture import sweep_picture
from linkage.writing import pattern_sheets
from tests.documents import ROOT

EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))
each_example = pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.stem)


def texts(drawing: Drawing) -> list[Text]:
    return [item for item in drawing.items if isinstance(item, Text)]


def ends(text: Text) -> tuple[float, float]:
    """Left and right end of level letters."""
    wide = text_width(text.text, text.size, bold=text.bold)
    left = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor]
    return text.at.real - left * wide, text.at.real + (1.0 - left) * wide


def frames(drawing: Drawing) -> Iterator[tuple[float, float, float, float]]:
    """Left, right, bottom and top of each panel."""
    for item in drawing.items:
        if isinstance(item, Stroke) and item.role == "axis" and item.closed:
            (run,) = item.runs
            x, y = [p.real for p in run], [p.imag for p in run]
            yield min(x), max(x), min(y), max(y)


@each_example
def test_words_of_a_panel_stay_within_it(file: Path) -> None:
    design = load(file)
    scene = scene_of(design, tuple(design.pedals))
    drawing = sweep_picture(scene)
    panels, seen, notes = list(frames(drawing)), 0, " ".join(scene.notes)
    for text in texts(drawing):
        if text.text in notes:
            continue
        if text.role in ("band letters", "wall letters") or "lowest" in text.text:
            left, right = ends(text)
            y = text.at.imag
            assert any(
                a <= left and right <= b and c <= y <= d for a, b, c, d in panels
            )
            seen += 1
    assert seen
    assert panels


@each_example
def test_a_number_on_the_arc_is_not_that_of_the_full_stop(file: Path) -> None:
    """There the position has its name; the number had to stand elsewhere."""
    design = load(file)
    for name in design.pedals:
        drawing = sweep_picture(scene_of(design, (name,)))
        full = [t.text for t in texts(drawing) if t.text.startswith("full ")]
        numbers = [t.text for t in texts(drawing) if t.role == "arc letters"]
        assert full
        assert full[0].removeprefix("full ") not in numbers


@each_example
def test_a_pattern_names_every_hole_and_the_front(file: Path) -> None:
    design = load(file)
    for name in design.pedals:
        try:
            pages = pattern_sheets(design, name)
        except DesignError:
            continue  # still free
        windows = [i for page in pages for i in page.items if isinstance(i, Window)]
        said = {i.text for w in windows for i in w.items if isinstance(i, Text)}
        holes = {key.removeprefix("holes.") for key in design.pedals[name].points}
        wanted = holes - {"pad"} if "clevis" not in holes else holes - {"pad", "clevis"}
        assert said >= wanted | {"pad, face", "front of car"}


@each_example
def test_an_effort_sheet_names_what_it_has(file: Path) -> None:
    design = load(file)
    for name, pedal in design.pedals.items():
        loaded = load_pedal(design, name, "foot", 200.0)
        drawing = effort_picture(design, loaded)
        said = [text.text for text in texts(drawing)]
        rod = pedal.train[0].KIND == "cylinder"
        assert any(word.startswith("rod, + pushed") for word in said) or not rod
        assert not (rod and any(word.startswith("cable,") for word in said))
        assert any(word.startswith("guesses: ") for word in said)
        assert not any(word.endswith("inches of pad") for word in said)
        for text in texts(drawing):
            left, right = ends(text)
            assert left >= 9.9
            assert right <= drawing.width - 9.9


@each_example
def test_no_words_of_an_effort_sheet_overlap(file: Path) -> None:
    design = load(file)
    for name in design.pedals:
        drawing = effort_picture(design, load_pedal(design, name, "foot", 200.0))
        for one, other in combinations(texts(drawing), 2):
            a, b = ends(one), ends(other)
            apart = abs(one.at.imag - other.at.imag) >= 0.9 * min(one.size, other.size)
            assert apart or a[1] <= b[0] or b[1] <= a[0], (one.text, other.text)

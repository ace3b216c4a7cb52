"""A change is what was asked for, where it was asked for, and nothing else."""

import cmath
import contextlib
import math
import re
import time
import zlib
from typing import Any

import numpy as np
import pytest

from linkage.design.values import Value
from linkage.page.aims import place_of
from linkage.page.document import Document, Refused, read
from linkage.page.edits import apply, collide, numbers, touched
from linkage.places import Places
from tests.cases_count import many
from tests.linkage.page.cases import EXAMPLES, FORMS, documents, names, where

DOCUMENTS = documents()
FORMED = DOCUMENTS[-1]
POINTS = [(document, name) for document in DOCUMENTS for name in names(document)]
IDS = [f"{document.file}-{name}" for document, name in POINTS]
#: mm: half a hundredth of a mm, or of a degree on the longest arm, either way.
WRITTEN = 0.03


def moved(name: str, to: complex, near: float = 0.0) -> list[dict[str, Any]]:
    return [{"point": name, "to": [to.real, to.imag], "near": near}]


def seeded(name: str) -> np.random.Generator:
    return np.random.default_rng(zlib.crc32(name.encode()))


def lines(text: str) -> list[str]:
    return text.splitlines()


def changed(before: str, after: str) -> list[str]:
    """Return the lines that differ; the number of lines is the same."""
    assert len(lines(before)) == len(lines(after))
    return [b for a, b in zip(lines(before), lines(after), strict=True) if a != b]


def value(document: Document, path: str) -> Value:
    assert document.design is not None, document.faults
    return document.design.values[path]


def nearest(document: Document, name: str, to: complex) -> complex | None:
    """Return the nearest place that a point can have; None where its rod decides."""
    if name.endswith(".full"):
        pedal = name.partition(".")[0]
        pivot, pad = (where(document, f"{pedal}.{key}") for key in ("pivot", "pad"))
        return pivot + abs(pad - pivot) * (to - pivot) / abs(to - pivot)
    here = where(document, name)
    if name in ("footwell.floor", "footwell.bulkhead"):
        level = name.endswith("floor")
        return complex(here.real, to.imag) if level else complex(to.real, here.imag)
    part, _, key = name.rpartition(".")
    assert document.design is not None
    row: Any = None
    if ".train." in name and ".cable" not in name:
        pedal, _, own = part.partition(".")
        row = document.design.pedals[pedal].part_of(own)
    if key == "axis" or (key == "seat" and row.seat is None):
        given = next(key for key in ("face", "on", "seat") if getattr(row, key))
        foot = where(document, f"{part}.{given}")
        ahead = (where(document, f"{part}.axis") - foot) / 80.0
        if key == "seat":
            return foot + ahead * ((to - foot) / ahead).real
        return foot + 80.0 * (to - foot) / abs(to - foot)
    driven = key == "input" and row.rod is not None
    return None if driven else to


@pytest.mark.parametrize(("document", "name"), POINTS, ids=IDS)
def test_a_point_lies_where_it_was_put(document: Document, name: str) -> None:
    rng = seeded(name)
    for size in [3.0, 3.0] * many(10):
        to = where(document, name) + complex(*rng.uniform(-size, size, 2))
        check_put(document, name, to)


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda each: each.file)
def test_a_point_lies_where_it_was_put_far_off(document: Document) -> None:
    """Also across its words and signs; ranges and what cannot stand keep it away."""
    rng, met = seeded(document.file), 0
    points = [name for name in names(document) if not name.endswith(".full")]
    for name in points * many(20):
        design = document.design
        to = where(document, name) + complex(*rng.uniform(-60, 60, 2))
        with contextlib.suppress(Refused):
            after = apply(document, moved(name, to))
            if not near_an_end(after) and cmath.isfinite(where(after, name)):
                check_put(document, name, to)
                met += 1
        assert design is document.design
    assert met > many(20) * 2


def test_a_stop_before_the_rest_is_no_stop() -> None:
    document = next(d for d in DOCUMENTS if d.file == "brake-hanging.toml")
    pad = where(document, "brake.pad")
    with pytest.raises(Refused, match="lies beyond the full stop"):
        apply(document, moved("brake.full", pad - 40.0))
    document = read(document.text.replace('"0 to 60 mm"', '"0 to 40 %"'), "x.toml")
    for to in (pad - 40.0, pad + 1.0):
        after = apply(document, moved("brake.full", to))
        assert value(after, "brake.travel").nominal == 5.0


def near_an_end(document: Document) -> bool:
    """Return True where a free value is at the end of its range."""
    assert document.design is not None
    values = document.design.values.values()
    return any(
        each.near in (each.low, each.high)
        for each in values
        if each.options == () and each.low is not None
    )


def check_put(document: Document, name: str, to: complex) -> None:
    after = apply(document, moved(name, to))
    wanted = nearest(document, name, to)
    if wanted is not None:
        assert abs(where(after, name) - wanted) < WRITTEN * max(1.0, abs(to) / 500.0)
    else:
        pivot = where(document, name.replace("input", "pivot"))
        assert abs(abs(where(after, name) - pivot) - abs(to - pivot)) < WRITTEN


@pytest.mark.parametrize(("document", "name"), POINTS, ids=IDS)
def test_a_preview_is_what_is_written(document: Document, name: str) -> None:
    """Every point of the design lies, in the preview, where the commit puts it."""
    rng = seeded(name)
    for near in (0.0, 2.0):
        to = where(document, name) + complex(rng.uniform(-3, 3), rng.uniform(-3, 3))
        told = numbers(document, moved(name, to, near))
        after = apply(document, moved(name, to, near))
        assert document.opened is not None
        assert after.opened is not None
        shown, real = Places(document.opened, told.values), Places(after.opened)
        for other in names(document):
            if not other.endswith((".full", ".axis")):
                gap = abs(place_of(shown, other) - place_of(real, other))
                assert gap < 1e-9, other


@pytest.mark.parametrize(("document", "name"), POINTS, ids=IDS)
def test_all_else_stays_to_the_byte(document: Document, name: str) -> None:
    to = where(document, name) + (2.37 - 1.91j)
    after = apply(document, moved(name, to))
    for line in changed(document.text, after.text):
        assert "part =" not in line
    digits = re.compile(r'[-\d./" ]+|near|deg|ahead|back|up|down|forward|=|,')
    one, other = (digits.sub("", text) for text in (document.text, after.text))
    assert one == other


def test_a_number_is_known_by_the_word_that_it_had() -> None:
    """A second nudge may be on its way when the first has turned back into ahead."""
    change = {"value": "brake.pivot.back", "number": -3.0}
    document = next(d for d in DOCUMENTS if d.file == "brake-hanging.toml")
    once = apply(document, [change])
    assert value(once, "brake.pivot.ahead").nominal == 3.0
    assert apply(once, [change]).text == once.text
    again = apply(once, [change | {"number": -4.0}])
    assert value(again, "brake.pivot.ahead").nominal == 4.0
    assert numbers(once, [change | {"number": 5.0}]).values == {
        "brake.pivot.ahead": -5.0
    }


def test_a_point_at_its_place_stays() -> None:
    for document, name in POINTS:
        assert apply(document, moved(name, where(document, name))) is document


def test_only_the_coordinate_that_moved_is_written() -> None:
    at = where(FORMED, "brake.pad")
    after = apply(FORMED, moved("brake.pad", at + 1.25))
    (line,) = changed(FORMED.text, after.text)
    assert line == 'pad = { back = "203.75 +- 1.5", up = "about 262", thick = 10 }'


@pytest.mark.parametrize(
    ("name", "by", "near", "line"),
    [
        ("brake.pad", 2.4j, 1.0, '"205 +- 1.5", up = "about 264"'),
        ("brake.pad", 2.4j, 0.2, '"205 +- 1.5", up = "about 264.4"'),
        ("point.post", 50.0 + 30j, 1.0, 'post = [-10, "300 to 500 near 430"]'),
        ("point.post", 150j, 1.0, 'post = [-60, "300 to 500 near 500"]'),
        ("brake.holes.bare", 2.0 - 3.0j, 1.0, "down = 47, ahead = 2 }"),
        ("brake.holes.bare", -2.0 - 3.0j, 1.0, "down = 47, back = 2 }"),
        ("clutch.clevis", 8.0 - 12.0j, 1.0, 'ahead = 2, down = "3 1/2 in" }'),
        ("clutch.clevis", -0.5j * 25.4, 1.0, 'back = 6, down = "3 1/2 in" }'),
        ("brake.holes.side", 0.5, 0.0, "along = 69.85, ahead = 0.48 }"),
        ("brake.holes.behind", -2.0, 0.0, "along = 229.42, ahead = 10.09 }"),
        ("brake.holes.level", 3.0j, 0.0, 'up = "-8 to 60 near 16.23 +- 0.5" }'),
        ("brake.holes.level", 99.0j, 3.0, 'up = "-8 to 60 near 60 +- 0.5" }'),
        ("brake.pivot", 12.0, 1.0, "shaft = { back = 106, up = 548 }   # the bolt"),
        ("brake.train.2.axis", -4.5j, 1.0, 'axis = "forward, 1 deg down"'),
        ("brake.full", 3.0, 1.0, "full = { back = 59 }"),
        ("clutch.train.1.axis", -2.8j, 0.0, "axis = 180"),
    ],
)
def test_how_a_moved_number_is_spelt(
    name: str, by: complex, near: float, line: str
) -> None:
    after = apply(FORMED, moved(name, where(FORMED, name) + by, near))
    (found,) = changed(FORMED.text, after.text)
    assert line in found


@pytest.mark.parametrize(
    ("said", "by", "after"),
    [
        ('"forward"', 1.4j, '"forward, 1 deg up"'),
        ('"forward"', -1.4j, '"forward, 1 deg down"'),
        ('"Ahead,"', -1.4j, '"Ahead, 1 deg down"'),
        ('"forwards, 2 deg up"', -4.2j, '"forwards, 1 deg down"'),
        ('"ahead, 2 downwards"', 4.2j, '"ahead, 1 up"'),
        ("'forward, 1\u00bd\u00b0 up'", 2.1j, '"forward, 3\u00b0 up"'),
        ("-2", 4.2j, "1"),
        ('"about -2 deg"', 4.2j, '"about 1 deg"'),
        ('"-5 to 5"', 4.2j, '"-5 to 5 near 3"'),
        ('"forward, -5 to 5 deg up"', 4.2j, '"forward, -5 to 5 deg near 3 deg up"'),
    ],
)
def test_a_direction_keeps_its_words(said: str, by: complex, after: str) -> None:
    text = (EXAMPLES / "brake-hanging.toml").read_text()
    text = text.replace('axis = "forward"', f"axis = {said}")
    document = read(text, "x.toml")
    at = where(document, "brake.train.1.axis")
    turned = apply(document, moved("brake.train.1.axis", at + by, 0.7))
    assert changed(text, turned.text) == [f"axis = {after}"]


def test_a_turn_across_its_word_takes_the_other_word() -> None:
    document = next(d for d in DOCUMENTS if d.file == "brake-floor.toml")
    to = where(document, "brake.train.1.output") - 20.0
    after = apply(document, moved("brake.train.1.output", to))
    (line,) = changed(document.text, after.text)
    assert line.endswith(' deg back" }')
    assert abs(where(after, "brake.train.1.output") - to) < WRITTEN


def test_inches_are_caught_by_sixteenths() -> None:
    document = next(d for d in DOCUMENTS if d.file == "brake-inches.toml")
    to = where(document, "brake.pad") + (1.0 + 1.9j)
    (line,) = changed(document.text, apply(document, moved("brake.pad", to, 0.9)).text)
    assert line.startswith(
        'pad = { back = "8 1/16 +- 1/8", up = "10 3/8 +- 1/8", thick = "3/8" }'
    )
    (line,) = changed(document.text, apply(document, moved("brake.pad", to, 0.05)).text)
    assert line.startswith('pad = { back = "8.085 +- 1/8", up = "10.385 +- 1/8"')


def test_a_range_holds_its_number() -> None:
    after = apply(
        FORMED, moved("brake.holes.lower", where(FORMED, "brake.pivot") - 90j)
    )
    lower = (
        value(after, "brake.holes.lower.reach"),
        value(after, "brake.holes.lower.angle"),
    )
    assert [each.nominal for each in lower] == [80.0, math.radians(5.0)]
    assert [each.kind for each in lower] == ["free", "free"]


def test_numbers_of_fields() -> None:
    after = apply(FORMED, [{"value": "brake.train.2.rod", "number": 91.254}])
    assert changed(FORMED.text, after.text) == ["rod = 91.25"]
    after = apply(FORMED, [{"value": "brake.holes.lower.angle", "number": 11.0}])
    assert value(after, "brake.holes.lower.angle").near == math.radians(11.0)
    after = apply(FORMED, [{"value": "brake.train.2.bore", "number": 19.0}])
    assert changed(FORMED.text, after.text) == [
        'bore = { one_of = ["3/4 in", "0.70 in"] }'
    ]


@pytest.mark.parametrize(
    ("path", "text", "line"),
    [
        ("brake.train.1.rod", "4 5/8 in", 'rod = "4 5/8 in"'),
        ("brake.train.1.rod", "110 to 115 near 112", 'rod = "110 to 115 near 112"'),
        ("brake.train.1.rod", "112.50", "rod = 112.50"),
        ("brake.train.2.axis", "3 deg", 'axis = "forward, 3 deg up"'),
        ("brake.train.2.axis", "back, 1 deg up", 'axis = "back, 1 deg up"'),
        ("brake.train.1.name", "bell", 'name = "bell"'),
        ("brake.arm.material", "aluminium", 'material = "aluminium"'),
        ("footwell.floor", "-12", "floor = -12"),
        ("brake.clevis", "upper", 'clevis = { one_of = ["upper", "lower"] }'),
        ("point.post.x", "-61", 'post = [-61, "300 to 500"]'),
        (
            "brake.train.2.bore",
            '{ one_of = ["5/8 in", "3/4 in"] }',
            'bore = { one_of = ["5/8 in", "3/4 in"] }',
        ),
    ],
)
def test_typed_words_stand_as_typed(path: str, text: str, line: str) -> None:
    after = apply(FORMED, [{"value": path, "text": text}])
    assert changed(FORMED.text, after.text) == [line]


def test_a_title_is_any_text() -> None:
    hostile = "\"</script>\\ \U0001f527 ''' \u2028"
    after = apply(FORMED, [{"title": hostile}])
    assert after.design is not None
    assert after.design.title == hostile
    assert after.text.count("# no car at all") == 1


@pytest.mark.parametrize(
    "change",
    [
        {"value": "brake.train.1.rod", "text": "a yard"},
        {"value": "brake.train.1.rod", "text": "-3"},
        {"value": "brake.train.1.rod", "text": '1"\nx = 2'},
        {"value": "brake.pad.sideways", "text": "3"},
        {"value": "brake.pad.sideways", "number": 3.0},
        {"value": "brake.clevis", "text": "nowhere"},
        {"point": "brake.nothing", "to": [0.0, 0.0], "near": 0.0},
        {"point": "brake.train.9.seat", "to": [0.0, 0.0], "near": 0.0},
        {"point": "throttle.pad", "to": [0.0, 0.0], "near": 0.0},
        {"point": "brake.train.1.name", "to": [0.0, 0.0], "near": 0.0},
        {"point": "brake", "to": [0.0, 0.0], "near": 0.0},
        {"value": "brake.full.back", "number": 99_000.0},
        {"target": ["brake", 7], "set": {"is": "3"}},
        {"target": ["brake", 1], "set": {"is": "far"}},
        {"target": ["brake", 1], "set": {"colour": "red"}},
        {"target": ["nobody", 1], "remove": True},
        {"target": ["brake", None], "add": {"of": "luck"}},
        {"lock": "brake.train", "on": True},
        {"lock": "nobody.pivot", "on": True},
    ],
)
def test_what_cannot_be_is_refused(change: dict[str, Any]) -> None:
    with pytest.raises(Refused) as refused:
        apply(FORMED, [{"title": "never seen"}, change])
    assert all(fault.wrong and fault.right for fault in refused.value.faults)


def test_a_document_with_faults_takes_no_change() -> None:
    broken = read("pivot = [", "x.toml")
    for act in (apply, numbers, touched):
        with pytest.raises(Refused) as refused:
            act(broken, [{"title": "x"}])
        assert refused.value.faults == broken.faults


def test_what_is_welded_stays() -> None:
    locked = apply(FORMED, [{"lock": "brake.pivot", "on": True}])
    at = where(locked, "point.shaft")
    changes = moved("point.shaft", at + 5.0), moved("brake.pivot", at + 5.0)
    typed = [{"value": "point.shaft.back", "text": "100"}]
    for change in (*changes, typed):
        with pytest.raises(Refused, match="welded"):
            apply(locked, change)
    with pytest.raises(Refused, match="welded"):
        numbers(locked, changes[0])
    free = apply(locked, [{"lock": "brake.pivot", "on": False}])
    assert free.text == FORMED.text
    assert apply(locked, moved("clutch.pivot", at)) is not locked


def test_a_shared_point_moves_for_all() -> None:
    document = next(d for d in DOCUMENTS if d.file == "three-on-one-shaft.toml")
    after = apply(document, moved("clutch.pivot", -100 + 540j))
    for pedal in ("clutch", "brake", "throttle"):
        assert where(after, f"{pedal}.pivot") == -100 + 540j
    assert len(changed(document.text, after.text)) == 1


def test_points_counted_from_nowhere_are_refused() -> None:
    text = FORMS.replace(
        'side = { line = ["pivot", "pad"]', 'side = { line = ["pivot", "twin"]'
    )
    document = read(
        text.replace(
            "[[pedal.brake.train]]", 'twin = "shaft"\n[[pedal.brake.train]]', 1
        ),
        "x.toml",
    )
    with pytest.raises(Refused, match="are the same place, and give no line"):
        apply(document, moved("brake.holes.side", 3j))


def test_paths_that_collide() -> None:
    one = touched(FORMED, moved("clutch.clevis", 0j))
    assert one == {"clutch.clevis.x", "clutch.clevis.z"}
    assert collide(one, {"clutch.clevis.x"})
    assert collide(one, {""})
    assert not collide(one, touched(FORMED, moved("clutch.pad", 0j)))
    row = touched(FORMED, [{"target": ["brake", 1], "set": {"is": "2"}}])
    assert not collide(row, {"brake.target.2"})
    assert collide(row, touched(FORMED, [{"target": ["brake", 2], "remove": True}]))
    assert touched(FORMED, moved("brake.pivot", 0j)) == {
        "point.shaft.x",
        "point.shaft.z",
    }
    assert touched(FORMED, [{"title": "x"}]) == {"title"}


def test_an_angle_takes_the_near_turn() -> None:
    """A handle carried once round does not jump by whole turns."""
    document = FORMED
    pivot = where(document, "brake.pivot")
    start = where(document, "brake.holes.marked") - pivot
    for step in range(1, 13):
        to = pivot + start * cmath.exp(1j * step * math.tau / 12)
        before = value(document, "brake.holes.marked.angle").nominal
        document = apply(document, moved("brake.holes.marked", to))
        turn = value(document, "brake.holes.marked.angle").nominal - before
        assert abs(abs(turn) - math.tau / 12) < 2e-4 or abs(turn) > math.pi


def test_a_preview_is_quick() -> None:
    """Against the reading of the same text, measured in turn: no more than half."""
    document = next(d for d in DOCUMENTS if d.file == "three-on-one-shaft.toml")
    changes = moved("brake.clevis", where(document, "brake.clevis") + 1.0, 2.0)
    previews, readings = [], []
    for _ in range(15):
        start = time.perf_counter()
        numbers(document, changes)
        middle = time.perf_counter()
        read(document.text, document.file)
        previews.append(middle - start)
        readings.append(time.perf_counter() - middle)
    assert sorted(previews)[7] < 0.5 * sorted(readings)[7]

"""Fixed things on the picture: in their place, to scale, with the least gap on it.

shapely cuts the same polygons by its own road.
"""

import re

import numpy as np
import pytest
import shapely

from export.shapes import Line, Path, Text
from linkage.footwell.clearance import clearances
from linkage.sheets.draughting import HEAD
from linkage.sheets.extents import shown_fixtures
from linkage.sheets.furniture import clipped, edges_of, fixtures_of, plate_of
from linkage.sheets.staging import scene_of
from linkage.sheets.sweep_picture import sweep_picture
from solvers.jet import value
from solvers.plane.measure import perimeter
from tests.cases_count import many
from tests.linkage.footwell.rooms import FULL, design, resting

LOW, HIGH = complex(-10, -5), complex(30, 20)
BOX = shapely.box(-10, -5, 30, 20)


def polygon(points: tuple[complex, ...]) -> shapely.Polygon:
    return shapely.Polygon([(p.real, p.imag) for p in points])


def test_what_lies_in_a_box_is_what_shapely_says() -> None:
    rng = np.random.default_rng(71)
    for _ in range(many(200)):
        turn = (np.arange(6) + rng.uniform(0.0, 0.8, 6)) * np.pi / 3.0
        points = tuple(
            complex(p) for p in rng.uniform(5, 40, 6) * np.exp(1j * turn) + 5
        )
        got, want = clipped(points, LOW, HIGH), polygon(points).intersection(BOX)
        area = polygon(got).area if len(got) > 2 else 0.0
        assert area == pytest.approx(want.area, abs=1e-9)
        inner = polygon(points).exterior.intersection(BOX).length
        drawn = sum(abs(b - a) for a, b in edges_of(got, LOW, HIGH))
        assert drawn == pytest.approx(inner, abs=1e-9)


def test_each_fixed_thing_is_shown_true_and_none_far_away() -> None:
    names = [each.name for each in fixtures_of(design())]
    assert names == ["steering column", "tunnel", "pipe"]
    scene = scene_of(design(), ["brake"])
    (tunnel,) = (each for each in shown_fixtures(scene) if each.name == "tunnel")
    want = np.array([(p.real, p.imag) for p in tunnel.areas[0]])
    rows = np.array(design().footwell.fixed[1].outlines[0])
    assert polygon(tunnel.areas[0]).equals(shapely.Polygon(rows[:, :2]))
    assert len(want) == 6
    assert sum(abs(b - a) for a, b in tunnel.edges) == pytest.approx(perimeter(rows))
    assert [each.name for each in shown_fixtures(scene)] == ["tunnel", "pipe"]
    near = FULL.replace("[[-190, 700], [-420, 540]]", "[[-190, 600], [-420, 540]]")
    shown = [each.name for each in shown_fixtures(scene_of(design(near), ["brake"]))]
    assert shown == ["steering column", "tunnel", "pipe"]


def test_the_picture_has_their_edges_hatch_and_names() -> None:
    scene = scene_of(design(), ["brake"])
    shown = [each.name for each in shown_fixtures(scene)]
    drawing = sweep_picture(scene)
    fixed = [s for s in drawing.items if isinstance(s, Path) and s.role == "fixed"]
    assert len(fixed) == len(shown) == 2
    runs = [run for path in fixed for run in path.runs]
    width, height = drawing.width, drawing.height
    assert all(0 < p.real < width and 0 < p.imag < height for run in runs for p in run)
    letters = {s.text for s in drawing.items if isinstance(s, Text)}
    assert {*shown} <= letters


def test_the_least_gap_is_dimensioned_to_scale() -> None:
    """Of a part whose nearest thing is a wall: its length on paper, by the scale."""
    text = FULL.partition("[pedal.throttle]")[0].replace(
        "shoe = { length = 300, height = 66 }", "shoe = { length = 200, height = 40 }"
    )
    scene = scene_of(design(text), ["brake"])
    seen = clearances(resting(text), 120.0)[0]
    assert seen.gap > 0.0
    (least,) = (each for each in scene.lengths if each.bold)
    assert least.text == f"{seen.thing} {seen.gap:.1f} off at {seen.travel:.0f}"
    assert abs(least.b - least.a) == pytest.approx(seen.gap)
    drawing = sweep_picture(scene)
    letters = {s.text for s in drawing.items if isinstance(s, Text)}
    assert least.text in letters
    spans = [
        abs(s.b - s.a)
        for s in drawing.items
        if isinstance(s, Line) and s.role == "dimension"
    ]
    (scale,) = (
        re.search(r"scale 1:([\d.]+)", text) for text in letters if "scale" in text
    )
    assert scale is not None
    paper = seen.gap / float(scale[1])
    heads = 2 * 2.2 * HEAD if paper < 2.6 * HEAD else 0.0  # outside, where it is narrow
    assert any(span == pytest.approx(paper + heads, abs=1e-6) for span in spans)


def test_a_pad_s_plate_leans_and_is_as_high_as_it_was_given() -> None:
    half, turn = plate_of(resting())
    rest = resting()
    pivot, pad = complex(value(rest.pivot)), complex(value(rest.pad))
    face = turn * (pad - pivot) / abs(pad - pivot)
    assert half == 27.5
    # Upright and 12 degrees forward at its top: that is down and 12 degrees back.
    assert np.degrees(np.angle(face / -1j)) == pytest.approx(-12.0)
    plain = FULL.replace(", wide = 70, high = 55, lean = 12", "")
    half, turn = plate_of(resting(plain))
    assert half == 32.0
    assert turn == pytest.approx(1.0)

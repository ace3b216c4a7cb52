"""SVG text: its size, its inertness, its numbers, and the geometry read back."""

import cmath
import math
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from msgspec.structs import replace

from export.shapes import Arc, Contour, Line
from export.svg import number, svg_text
from tests.export.sample import HOSTILE, ITEMS, PAGE, titled

SVG = "{http://www.w3.org/2000/svg}"


def test_the_page_is_sized_in_millimetres() -> None:
    root = ET.fromstring(svg_text(PAGE))  # noqa: S314 - our own text
    assert root.get("width") == "210mm"
    assert root.get("height") == "297mm"
    assert root.get("viewBox") == "0 0 210 297"


def test_mark_and_title_are_carried() -> None:
    root = ET.fromstring(svg_text(PAGE))  # noqa: S314
    assert root.findtext(f"{SVG}metadata") == "m 1"
    assert root.findtext(f"{SVG}title") == "Sample"


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_stays_text(text: str) -> None:
    out = svg_text(titled(text))
    out.encode("utf-8")
    root = ET.fromstring(out)  # noqa: S314
    tags = [element.tag.removeprefix(SVG) for element in root.iter()]
    assert tags == ["svg", "title", "metadata", "rect", "text"]
    allowed = {"x", "y", "font-family", "font-size", "fill"}
    assert set(root[-1].attrib) == allowed
    assert not any(c in out for c in "\u202e\u2066\x00\x07\x1b\ufffe")


def test_same_drawing_same_text() -> None:
    assert svg_text(PAGE) == svg_text(replace(PAGE))


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (-0.0, "0"),
        (-0.0004, "0"),
        (1.0, "1"),
        (1 / 3, "0.333"),
        (-2.5, "-2.5"),
        (10, "10"),
    ],
)
def test_numbers_have_no_minus_zero(value: float, text: str) -> None:
    assert number(value) == text


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_what_is_no_place_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="not a place"):
        svg_text(replace(PAGE, items=(Line(complex(value, 0), 1j, "outline"),)))


def test_a_role_without_a_style_is_refused() -> None:
    with pytest.raises(KeyError):
        svg_text(replace(PAGE, items=(Line(0j, 1j, "unheard"),)))


def test_y_goes_up() -> None:
    out = svg_text(replace(PAGE, items=(Line(20 + 20j, 120 + 30j, "outline"),)))
    assert 'd="M20 277L120 267"' in out


def _circle_through(a: complex, b: complex, radius: float, turn: bool) -> complex:
    """Centre of a small SVG arc by the rules of SVG 1.1, appendix F.6.5, y down."""
    chord = b - a
    height = math.sqrt(radius**2 - abs(chord) ** 2 / 4)
    return (a + b) / 2 + (1 if turn else -1) * height * 1j * chord / abs(chord)


def _pieces(text: str) -> list[tuple[complex, complex, float, bool]]:
    """Arc commands of the first path as start, end, radius and turn, y down."""
    found, at = [], 0j
    steps = re.findall(r'd="([^"]*)"', text)[0]
    for letter, rest in re.findall(r"([MLA])([^MLAZ]*)", steps):
        values = [float(v) for v in rest.split()]
        end = complex(values[-2], values[-1])
        if letter == "A":
            assert values[3] == 0.0
            found.append((at, end, values[0], values[4] == 1.0))
        at = end
    return found


def _expect(item: Arc | Contour, centre: complex, radius: float, sweep: float) -> None:
    """All pieces lie on one circle, none over a quarter, and add up to the sweep."""
    total = 0.0
    for a, b, size, turn in _pieces(svg_text(replace(PAGE, items=(item,)))):
        assert size == pytest.approx(radius, abs=5e-4)
        seen = _circle_through(a, b, size, turn)
        assert seen.conjugate() + 297j == pytest.approx(centre, abs=5e-3)
        angle = -cmath.phase((b - seen) / (a - seen))
        assert abs(angle) < math.pi / 2 + 1e-3
        assert (angle < 0) == turn
        total += angle
    assert total == pytest.approx(sweep, abs=1e-3)


@pytest.mark.parametrize("bulge", [0.4, -0.4, 0.999, 1.0, 1.7, -1.7])
def test_a_bulged_piece_is_its_arc(bulge: float) -> None:
    """The bulge is the height of the arc over half the chord, right of its way."""
    a, b = 40 + 50j, 90 + 70j
    rows = np.array([[40.0, 50.0, bulge], [90.0, 70.0, 0.0]])
    top = (a + b) / 2 - 1j * bulge * (b - a) / 2
    other = (a + b) / 2 + 1j * (b - a) / 2 / bulge
    centre, radius = (top + other) / 2, abs(top - other) / 2
    contour = Contour(rows=rows, role="outline")
    _expect(contour, centre, radius, 4 * math.atan(bulge))


@pytest.mark.parametrize("sweep", [1.0, -1.0, 4.0, -5.0, 2 * math.pi])
def test_an_arc_is_on_its_circle(sweep: float) -> None:
    arc = Arc(centre=100 + 100j, radius=30.0, start=0.3, sweep=sweep, role="outline")
    _expect(arc, 100 + 100j, 30.0, sweep)


def test_every_window_has_a_clip_of_its_own() -> None:
    out = svg_text(replace(PAGE, items=(ITEMS[-1], ITEMS[-1])))
    assert re.findall(r'clipPath id="(\w+)"', out) == re.findall(r"url\(#(\w+)\)", out)
    assert len(set(re.findall(r'clipPath id="(\w+)"', out))) == 2

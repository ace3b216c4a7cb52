"""Fixed things, the shoe and the plate of a pad: read right, or refused in one line."""

import math
from pathlib import Path

import numpy as np
import pytest

from linkage.design.records import Design
from linkage.faults import DesignError
from linkage.loading import load_text
from solvers.plane.measure import area, centroid, perimeter
from tests.linkage.design.samples import BRAKE


def design(fixed: str, file: str = "brake.toml") -> Design:
    return load_text(
        BRAKE.replace("[pedal.brake]\n", f"{fixed}\n[pedal.brake]\n"), file
    )


def thing(keys: str, file: str = "brake.toml") -> np.ndarray:
    """Return the one outline of one fixed thing."""
    text = f'[[footwell.fixed]]\nname = "thing"\n{keys}\n'
    (fixed,) = design(text, file).footwell.fixed
    (outline,) = fixed.outlines
    return np.array(outline)


def refused(fixed: str, file: str = "brake.toml") -> str:
    with pytest.raises(DesignError) as refusal:
        design(fixed, file)
    (line,) = str(refusal.value).splitlines()
    return line.partition(": ")[2]


def test_a_polygon_and_a_circle_have_their_area() -> None:
    assert abs(area(thing("polygon = [[0, 0], [30, 0], [30, 40]]"))) == 600.0
    disc = thing("circle = { back = 320, up = 560, diameter = 60 }")
    assert area(disc) == pytest.approx(900.0 * math.pi)
    assert centroid(disc) == pytest.approx(-320 + 560j)


def test_a_line_has_no_inside_and_a_thick_one_is_a_bar() -> None:
    assert area(thing("line = [[0, 0], [30, 0], [30, 40]]")) == 0.0
    assert perimeter(thing("line = [[0, 0], [30, 0], [30, 40]]")) == 140.0
    bar = thing("line = [[0, 0], [30, 40]]\nthick = 10")
    assert area(bar) == pytest.approx(500.0 + 25.0 * math.pi)


@pytest.mark.parametrize("over", [30.0, 90.0, 170.0, -20.0, -120.0, 250.0])
@pytest.mark.parametrize("sweep", [200.0, -340.0])
def test_an_arc_goes_through_its_three_points(over: float, sweep: float) -> None:
    """On a circle of radius 50 about (7, 9), from 10 degrees."""
    middle = 10.0 + sweep * (abs(over) % 97.0 + 1.0) / 100.0
    turns = np.radians([10.0, middle, 10.0 + sweep])
    points = 7 + 9j + 50.0 * np.exp(1j * turns)
    keys = ", ".join(f"[{p.real:.9f}, {p.imag:.9f}]" for p in points)
    got = thing(f"arc = [{keys}]")
    assert perimeter(got) == pytest.approx(100.0 * math.radians(abs(sweep)), rel=1e-7)
    assert math.tan(math.radians(sweep) / 4.0) == pytest.approx(got[0, 2], rel=1e-6)


def test_inches_and_places_across() -> None:
    text = '[[footwell.fixed]]\nname = "x"\nline = [["1 in", 0], [2, 0]]\nacross = [30, -40]'
    (fixed,) = design(text).footwell.fixed
    assert fixed.outlines[0][0] == (25.4, 0.0, 0.0)
    assert fixed.across == (-40.0, 30.0)


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        (
            "polygon = [[0, 0], [10, 10]]",
            "footwell.fixed.polygon: polygon takes three points or more. "
            "Write polygon = [[-90, 0], [0, 0], [0, 120]].",
        ),
        (
            "polygon = [[0, 0], [10, 10], [10, 0], [0, 10]]",
            "footwell.fixed.polygon: its outline crosses or touches itself. "
            "Give its corners in order round it, each once.",
        ),
        (
            "polygon = [[0, 0], [10, 10], [20, 20]]",
            "footwell.fixed.polygon: its outline crosses or touches itself. "
            "Give its corners in order round it, each once.",
        ),
        (
            "line = [[0, 0], [0, 0]]",
            "footwell.fixed.line: one point stands twice in a row. Take one out.",
        ),
        (
            "arc = [[0, 0], [10, 0], [20, 0]]",
            "footwell.fixed.arc: its three points lie on one line. "
            "Write line = [...] for a line.",
        ),
        (
            "circle = { back = 320, up = 560 }",
            "footwell.fixed.circle: circle takes a middle and a diameter. "
            "Write circle = { back = 320, up = 560, diameter = 60 }.",
        ),
        (
            'polygon = [["0 to 5", 0], [10, 10], [9, 0]]',
            "footwell.fixed.polygon: a fixed thing is not placed. Write one number.",
        ),
        (
            "line = [[0, 0], [9, 9]]\nacross = 5",
            "footwell.fixed.across: across is two numbers, from and to. "
            "Write across = [-40, 60], plus to the driver's right.",
        ),
        (
            "circle = { back = 1, up = 1, diameter = 2 }\nthick = 5",
            "footwell.fixed.thick: thick goes with line, and this thing has circle. "
            "Take it out.",
        ),
        (
            "line = [[0, 0], [9, 9]]\narc = [[0, 0], [5, 6], [9, 9]]",
            "footwell.fixed.arc: line and arc stand in one thing. "
            "Make two things of it.",
        ),
        (
            'outline = "gone.dxf"',
            "footwell.fixed.outline: there is no file gone.dxf. "
            "Put it beside the design file.",
        ),
        (
            'outline = "tunnel.svg"',
            "footwell.fixed.outline: tunnel.svg is no DXF. "
            'Write outline = "tunnel.dxf", say.',
        ),
    ],
)
def test_what_makes_no_outline_is_refused(keys: str, said: str) -> None:
    assert refused(f'[[footwell.fixed]]\nname = "thing"\n{keys}\n') == said


def test_a_thing_needs_a_name_and_a_shape() -> None:
    with pytest.raises(DesignError) as refusal:
        design("[[footwell.fixed]]\nacross = [0, 1]\n")
    said = str(refusal.value)
    assert "name is missing" in said
    assert "line is missing" in said


def test_a_shoe_takes_guesses_and_a_pad_its_plate() -> None:
    text = "[driver]\nheel = { back = 600, up = 0 }\nshoe = { length = 290 }\n"
    shoe = design(text).driver.shoe
    assert shoe is not None
    assert (shoe.length.nominal, shoe.length.guess) == (290.0, False)
    assert (shoe.width.nominal, shoe.width.guess) == (125.0, True)
    assert design(text).driver.heel is not None
    pad = BRAKE.replace("[35, 255]", "{ ahead = 35, up = 255, wide = 55, lean = 20 }")
    brake = load_text(pad).pedals["brake"]
    assert brake.pad_wide is not None
    assert brake.pad_wide.nominal == 55.0
    assert brake.pad_high is None
    assert brake.pad_lean is not None
    assert brake.pad_lean.nominal == pytest.approx(math.radians(20.0))


def test_a_sole_is_thinner_than_its_shoe() -> None:
    said = refused("[driver]\nshoe = { sole = 40, height = 38 }\n")
    assert said.startswith("driver.shoe.sole: the sole is as thick as the whole shoe")


def test_a_traced_file_lies_beside_the_design(tmp_path: Path) -> None:
    import ezdxf

    drawing = ezdxf.new(units=4)
    drawing.modelspace().add_circle((10, 20), 5)
    drawing.saveas(tmp_path / "tunnel.dxf")
    keys = 'outline = "tunnel.dxf"\nat = { back = 100, up = 7 }'
    disc = thing(keys, str(tmp_path / "brake.toml"))
    assert centroid(disc) == pytest.approx(-90 + 27j)
    assert area(disc) == pytest.approx(25.0 * math.pi)

"""Traced drawings: what ezdxf wrote, judged by shapely; and all that is refused."""

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import numpy as np
import pytest

from linkage.design.traced import Chain, Untraced, join, read_traced, turned
from solvers.plane.measure import area
from tests.solvers.plane.outlines import faceted

Draw = Callable[[Any], object]


def traced(
    folder: Path,
    draw: Draw,
    units: int = 4,
    unit: str | None = None,
    form: str = "R2010",
) -> tuple[Chain, ...]:
    drawing = ezdxf.new(form)
    drawing.header["$INSUNITS"] = units
    draw(drawing.modelspace())
    drawing.saveas(folder / "tunnel.dxf")
    return read_traced(folder / "tunnel.dxf", unit)


def refused(folder: Path, draw: Draw, **how: Any) -> str:
    with pytest.raises(Untraced) as refusal:
        traced(folder, draw, **how)
    return f"{refusal.value.wrong} {refusal.value.right}"


def loose(space: Any) -> None:
    """A slot of loose lines and arcs, in no order and not all the same way round."""
    space.add_line((30, 10), (0, 10))
    space.add_arc((30, 0), 10, 270, 90)
    space.add_line((30, -10), (0, -10))
    space.add_arc((0, 0), 10, 90, 270)


@pytest.mark.parametrize("form", ["R12", "R2000", "R2010"])
def test_loose_lines_and_arcs_are_joined_to_a_closed_outline(
    form: str, tmp_path: Path
) -> None:
    unit = "mm" if form == "R12" else None  # R12 has nowhere to say it
    (chain,) = traced(tmp_path, loose, form=form, unit=unit)
    assert chain.closed
    got = np.array(chain.rows)
    assert abs(area(got)) == pytest.approx(600.0 + 100.0 * math.pi)
    assert faceted(got, 1e-2).is_valid


@pytest.mark.parametrize(("units", "size"), [(4, 1.0), (5, 10.0), (1, 25.4), (6, 1e3)])
def test_the_drawing_says_its_unit(units: int, size: float, tmp_path: Path) -> None:
    (chain,) = traced(tmp_path, lambda space: space.add_circle((1, 2), 3), units=units)
    assert area(np.array(chain.rows)) == pytest.approx(9.0 * math.pi * size**2)


def test_polylines_keep_their_bulges(tmp_path: Path) -> None:
    rows = [(0.0, 0.0, 0.0), (40.0, 0.0, 0.4), (40.0, 30.0, -0.2), (0.0, 30.0, 0.0)]

    def draw(space: Any) -> None:
        space.add_lwpolyline(rows, format="xyb", close=True)
        space.add_polyline2d([(0, 90, 0.3), (50, 90, 0.0)], format="xyb")

    closed, chain = traced(tmp_path, draw)
    assert closed == Chain(tuple(rows), closed=True)
    assert chain == Chain(((0.0, 90.0, 0.3), (50.0, 90.0, 0.0)), closed=False)


def test_a_chain_turned_twice_is_itself() -> None:
    chain = Chain(((0.0, 0.0, 0.5), (4.0, 0.0, -0.1), (9.0, 3.0, 0.0)), closed=False)
    assert turned(turned(chain)) == chain
    assert turned(chain).rows[0] == (9.0, 3.0, 0.1)


def test_what_does_not_meet_stays_apart() -> None:
    one = Chain(((0.0, 0.0, 0.0), (4.0, 0.0, 0.0)), closed=False)
    far = Chain(((4.1, 0.0, 0.0), (9.0, 0.0, 0.0)), closed=False)
    assert join([one, far]) == [one, far]


@pytest.mark.parametrize(
    ("draw", "how", "said"),
    [
        (
            lambda space: space.add_spline([(0, 0), (2, 0), (3, 3)]),
            {},
            "tunnel.dxf holds a SPLINE (layer 0). "
            "Leave lines, arcs, circles and polylines; delete or convert it.",
        ),
        (
            lambda space: space.add_text("tunnel", dxfattribs={"layer": "notes"}),
            {},
            "tunnel.dxf holds a TEXT (layer notes). "
            "Leave lines, arcs, circles and polylines; delete or convert it.",
        ),
        (
            loose,
            {"units": 0},
            'tunnel.dxf does not say its unit. Write unit = "mm" beside it, say.',
        ),
        (
            loose,
            {"unit": "in"},
            "tunnel.dxf says another unit of itself than in. "
            "Take unit out, if the drawing is right.",
        ),
        (lambda _: None, {}, "tunnel.dxf is empty. Trace the outline into it."),
        (
            lambda space: space.add_arc(
                (0, 0), 5, 0, 90, dxfattribs={"extrusion": (0, 0, -1)}
            ),
            {},
            "tunnel.dxf holds a ARC that is drawn from behind. "
            "Draw it in the plane, seen from above.",
        ),
        (
            lambda space: space.add_polyline3d([(0, 0, 0), (1, 1, 5), (2, 0, 0)]),
            {},
            "tunnel.dxf holds a POLYLINE that is curved or no plane one. "
            "Convert it to lines and arcs.",
        ),
    ],
)
def test_what_is_no_outline_is_refused_by_name(
    draw: Draw, how: dict[str, Any], said: str, tmp_path: Path
) -> None:
    assert refused(tmp_path, draw, **how) == said


def test_a_unit_may_be_stated_for_a_drawing_without(tmp_path: Path) -> None:
    (chain,) = traced(tmp_path, loose, units=0, unit="cm")
    assert abs(area(np.array(chain.rows))) == pytest.approx(60_000 + 10_000 * math.pi)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"\x00\xff" * 300, "cannot be read as a DXF"),
        (b"hello\nworld\n", "cannot be read as a DXF"),
        (b"  0\nSECTION\n  2\nENTITIES\n  0\nLINE\n", "tunnel.dxf"),
        (b"", "tunnel.dxf"),
        (b"0" * 5_000_001, "is larger than 5 MB"),
    ],
)
def test_what_cannot_be_read_is_said(data: bytes, said: str, tmp_path: Path) -> None:
    (tmp_path / "tunnel.dxf").write_bytes(data)
    with pytest.raises(Untraced) as refusal:
        read_traced(tmp_path / "tunnel.dxf", None)
    assert said in refusal.value.wrong


def test_a_folder_of_that_name_is_said(tmp_path: Path) -> None:
    (tmp_path / "tunnel.dxf").mkdir()
    with pytest.raises(Untraced) as refusal:
        read_traced(tmp_path / "tunnel.dxf", None)
    assert "cannot be read: is a directory" in refusal.value.wrong


def test_a_drawing_of_too_many_pieces_is_refused(tmp_path: Path) -> None:
    rows = [(float(k), float(k * k % 7)) for k in range(600)]
    said = refused(tmp_path, lambda space: space.add_lwpolyline(rows))
    assert said == (
        "tunnel.dxf holds 600 corners and pieces. Trace it with fewer: 500 at most."
    )

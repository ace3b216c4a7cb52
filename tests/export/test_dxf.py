"""The cut file as other people's readers see it."""

import io
import math
import re
from pathlib import Path

import ezdxf
import msgspec
import numpy as np
import pytest
from ezdxf.filemanagement import read as read_by_ezdxf

from export.dxf import FORMS, MM, UNITS, CutDrawing, Form, Unit, dxf_bytes
from export.dxf_read import read_dxf
from tests.export.outside import audit_faults, by_gdal, by_trimesh

THIRD = 1.0 / 3.0  # infinite decimals show lost digits
SLOT = np.array([[5, 0, 0], [35, 0, 1], [35, 10, 0], [5, 10, 1]], dtype=float)
WAIST = np.array(
    [[0, 0, 0], [40, 0, 0.5], [40, 20, 0], [30, 20, -0.25], [10, 20, 0], [0, 20, 0.5]]
) + [100 * THIRD, THIRD, 0]
LENS = np.array([[0, 0, THIRD], [30, 0, 1.0]])
NONE = np.empty((0, 3))


def drawing(contour: np.ndarray, circles: np.ndarray = NONE) -> CutDrawing:
    corners = [contour[:, 0].min(), contour[:, 1].min()]
    corners += [contour[:, 0].max(), contour[:, 1].max()]
    x0, z0, x1, z1 = map(float, corners)
    cross = np.array([[x0 + 8 + THIRD, z0 + 5, 2.0]])
    return CutDrawing(
        contours=[contour], circles=circles, crosses=cross, box=(x0, z0, x1, z1)
    )


CORPUS = {
    "slot": drawing(SLOT, np.array([[20, 5, 2 + THIRD]])),
    "waist": drawing(WAIST, np.array([[45, 10, 3.0], [60, 12, 1 + THIRD]])),
    "lens": drawing(LENS),
}
EACH = pytest.mark.parametrize("one", CORPUS.values(), ids=CORPUS.keys())
IN_FORM = pytest.mark.parametrize("form", FORMS)
IN_UNIT = pytest.mark.parametrize("unit", UNITS)


def segment(row: np.ndarray, end: np.ndarray) -> float:
    """Area between an arc and its chord, from chord and bulge alone."""
    b = float(row[2])
    if b == 0.0:
        return 0.0
    angle = 4.0 * math.atan(b)
    r = math.dist(end[:2], row[:2]) * (1 + b * b) / (4.0 * abs(b))
    return 0.5 * r * r * (angle - math.sin(angle))


def net_area(one: CutDrawing) -> float:
    contour = one.contours[0]
    ahead = np.roll(contour, -1, axis=0)
    cross = contour[:, 0] * ahead[:, 1] - contour[:, 1] * ahead[:, 0]
    outer = 0.5 * cross.sum() + sum(map(segment, contour, ahead))
    return float(outer - math.pi * np.sum(one.circles[:, 2] ** 2))


def test_the_slot_is_the_worked_one() -> None:
    """300 + 25 pi, less the hole."""
    want = 378.5398163397 - math.pi * (2 + THIRD) ** 2
    assert net_area(CORPUS["slot"]) == pytest.approx(want, abs=1e-9)


@EACH
@IN_FORM
@IN_UNIT
def test_two_outside_readers_measure_the_same(
    one: CutDrawing, form: Form, unit: Unit, tmp_path: Path
) -> None:
    path = tmp_path / "part.dxf"
    path.write_bytes(dxf_bytes(one, form=form, unit=unit))
    square = MM[unit] ** 2
    want = net_area(one)
    faceted, exact = by_gdal(path), by_trimesh(path)
    assert faceted.area * square == pytest.approx(want, rel=2e-6)
    assert exact.area * square == pytest.approx(want, rel=1e-12)
    assert exact.loops == faceted.loops == 1 + len(one.circles)
    assert exact.unit == {"mm": "millimeters", "in": "inches"}[unit]
    bent = int(np.count_nonzero(one.contours[0][:, 2]))
    assert exact.arcs == bent + len(one.circles)


@EACH
@IN_FORM
@IN_UNIT
def test_the_audit_is_clean(one: CutDrawing, form: Form, unit: Unit) -> None:
    data = dxf_bytes(one, form=form, unit=unit)
    assert audit_faults(data) == []
    doc = read_by_ezdxf(io.StringIO(data.decode("ascii")))
    assert {entity.dxf.layer for entity in doc.modelspace()} == {"cut", "mark"}
    assert doc.units == {"mm": ezdxf.units.MM, "in": ezdxf.units.IN}[unit]
    assert doc.header["$MEASUREMENT"] == {"mm": 1, "in": 0}[unit]


@EACH
@IN_UNIT
def test_bulges_and_corners_come_back_exactly(one: CutDrawing, unit: Unit) -> None:
    for form in ("r12", "r2010"):
        file = read_dxf(dxf_bytes(one, form=form, unit=unit))
        row = file.items[0].contour()
        want = one.contours[0] / [MM[unit], MM[unit], 1.0]
        np.testing.assert_allclose(row, want, rtol=1e-15, atol=1e-15)


@EACH
@IN_FORM
def test_same_drawing_same_bytes(one: CutDrawing, form: Form) -> None:
    assert dxf_bytes(one, form=form) == dxf_bytes(one, form=form)
    assert b"-0.0\n" not in dxf_bytes(one, form=form)


@IN_FORM
def test_extents_are_the_box_also_at_the_origin(form: Form) -> None:
    """A writer's empty extents, 1e+20, show as an empty page in some programs."""
    data = dxf_bytes(CORPUS["lens"], form=form)
    assert b"e+20" not in data.lower()
    header = read_dxf(data).header
    assert header["$EXTMIN"][10] == header["$EXTMIN"][20] == "0.0"
    assert float(header["$EXTMAX"][10]) == 30.0
    assert float(header["$LIMMAX"][10]) == 30.0


def test_arc_angles_lie_in_a_full_turn() -> None:
    """Some readers throw on a negative start angle."""
    for turn in np.linspace(0.0, 2.0 * np.pi, 37):
        spin = np.exp(1j * turn) * (SLOT[:, 0] + 1j * SLOT[:, 1])
        contour = np.column_stack([spin.real, spin.imag, SLOT[:, 2]])
        file = read_dxf(dxf_bytes(drawing(contour), form="pieces"))
        arcs = [item.numbers for item in file.items if item.kind == "ARC"]
        assert len(arcs) == 2
        assert all(0.0 <= arc[code] < 360.0 for arc in arcs for code in (50, 51))


def test_a_clockwise_arc_is_written_the_way_the_format_runs() -> None:
    contour = np.array([[0, 0, -1.0], [10, 0, 0], [10, -10, 0], [0, -10, 0]])
    file = read_dxf(dxf_bytes(drawing(contour), form="pieces"))
    (arc,) = (item.numbers for item in file.items if item.kind == "ARC")
    assert (arc[10], arc[20], arc[40]) == (5.0, 0.0, 5.0)
    assert (arc[50], arc[51]) == (0.0, 180.0)


@IN_FORM
def test_the_note_is_one_plain_line(form: Form, tmp_path: Path) -> None:
    one = CORPUS["slot"]
    noted = CutDrawing(
        contours=one.contours,
        circles=one.circles,
        crosses=one.crosses,
        box=one.box,
        note="arm.toml\n  0\nEOF  caf\u00e9 7f3a",
    )
    data = dxf_bytes(noted, form=form)
    assert read_dxf(data).comments == ("arm.toml 0 EOF caf? 7f3a",)
    assert audit_faults(data) == []
    (tmp_path / "noted.dxf").write_bytes(data)
    assert by_trimesh(tmp_path / "noted.dxf").loops == 2
    assert by_gdal(tmp_path / "noted.dxf").loops == 2


@pytest.mark.parametrize("bad", [math.nan, math.inf])
def test_no_number_no_file(bad: float) -> None:
    broken = SLOT.copy()
    broken[1, 0] = bad
    with pytest.raises(ValueError, match="not a finite number"):
        dxf_bytes(drawing(broken))


def test_unknown_form_or_unit() -> None:
    with pytest.raises(ValueError, match="r12, r2010, pieces"):
        dxf_bytes(CORPUS["slot"], form="r14")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="mm, in"):
        dxf_bytes(CORPUS["slot"], unit="ft")  # type: ignore[arg-type]


def test_writing_leaves_the_library_as_it_was() -> None:
    before = ezdxf.options.write_fixed_meta_data_for_testing
    dxf_bytes(CORPUS["slot"])
    assert ezdxf.options.write_fixed_meta_data_for_testing == before


@IN_FORM
@IN_UNIT
def test_extents_hold_no_dust(form: Form, unit: Unit) -> None:
    """A sum that should be 0 is 0 in the header, without a minus."""
    one = msgspec.structs.replace(CORPUS["slot"], box=(-1e-16, -3.55e-15, 40.0, 10.0))
    text = dxf_bytes(one, form=form, unit=unit).decode()
    found = re.search(r"\$EXTMIN\s+10\s+(\S+)\s+20\s+(\S+)", text)
    assert found is not None
    assert found.groups() == ("0.0", "0.0")

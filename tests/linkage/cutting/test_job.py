"""The whole cut chain against other people's readers, in every form and unit."""

import math
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace

from export.dxf import FORMS, MM, UNITS, Form, Unit
from export.dxf_read import read_dxf
from linkage.arm.plan import ArmPlan
from linkage.cutting.job import CutJob, cut_arm
from linkage.faults import DesignError
from solvers.plane.measure import area, extents
from tests.cases_count import many
from tests.export.outside import audit_faults, by_gdal, by_trimesh
from tests.linkage.arm.plans import HANGING, LAYOUTS, random_arms

EACH = pytest.mark.parametrize("plan", LAYOUTS.values(), ids=LAYOUTS.keys())
IN_FORM = pytest.mark.parametrize("form", FORMS)
IN_UNIT = pytest.mark.parametrize("unit", UNITS)


def agree(job: CutJob, path: Path) -> None:
    """Audit clean, and two outside readers find the size and area told."""
    path.write_bytes(job.data)
    assert audit_faults(job.data) == []
    scale, figures = MM[job.unit], job.figures
    cut = sum(bore.cut is not None for bore in job.bores)
    exact, faceted = by_trimesh(path), by_gdal(path)
    assert exact.area * scale**2 == pytest.approx(figures.area, rel=1e-9)
    assert exact.unit == {"mm": "millimeters", "in": "inches"}[job.unit]
    bent = int(np.count_nonzero(job.contour[:, 2]))
    assert exact.arcs == bent + cut
    assert faceted.area * scale**2 == pytest.approx(figures.area, rel=5e-7)
    assert exact.loops == faceted.loops == figures.pierces == 1 + cut
    box = (0.0, 0.0, figures.size.real, figures.size.imag)
    assert np.array(exact.box) * scale == pytest.approx(box, abs=1e-9)
    # A facet's middle is 4e-7 of the radius inside its arc.
    assert np.array(faceted.box) * scale == pytest.approx(box, abs=1e-4)


@EACH
@IN_FORM
@IN_UNIT
def test_outside_readers_agree(
    plan: ArmPlan, form: Form, unit: Unit, tmp_path: Path
) -> None:
    job = cut_arm(plan, form=form, units=unit)
    assert job.ok, [verdict for verdict in job.verdicts if not verdict.ok]
    agree(job, tmp_path / "arm.dxf")


def test_random_arms_in_every_form_and_unit(tmp_path: Path) -> None:
    for plan in random_arms(many(200), 41):
        for form in FORMS:
            for unit in UNITS:
                job = cut_arm(plan, form=form, units=unit)
                assert job.ok, [one for one in job.verdicts if not one.ok]
                agree(job, tmp_path / "arm.dxf")


@IN_FORM
@IN_UNIT
def test_same_plan_same_bytes(form: Form, unit: Unit) -> None:
    first = cut_arm(HANGING, form=form, units=unit, stem="brake-arm", mark="7f3a")
    again = cut_arm(HANGING, form=form, units=unit, stem="brake-arm", mark="7f3a")
    assert first.data == again.data


def test_same_bytes_in_another_process() -> None:
    """No hash order, no clock."""
    ask = (
        "import hashlib; from tests.linkage.arm.plans import LAYOUTS;"
        "from linkage.cutting.job import cut_arm;"
        "print(hashlib.sha256(b''.join(cut_arm(p, form='r2010').data"
        " for p in LAYOUTS.values())).hexdigest())"
    )
    told = {
        subprocess.run(
            [sys.executable, "-c", ask],
            capture_output=True,
            text=True,
            check=True,
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": "."},
        ).stdout
        for seed in ("1", "2")
    }
    assert len(told) == 1


@EACH
def test_the_part_keeps_its_lengths(plan: ArmPlan) -> None:
    """Laid flat, every distance between holes is what it was in the car."""
    job = cut_arm(plan)
    names = list(plan.centres)
    for one in names:
        for other in names:
            there = abs(plan.centres[one] - plan.centres[other])
            here = abs(job.centres[one] - job.centres[other])
            assert here == pytest.approx(there, abs=1e-9)


def test_the_part_is_laid_flat_and_not_mirrored() -> None:
    """Seen from the same side: the clevis stays to the left on the way to the pad."""
    plan = LAYOUTS["lobe ahead"]
    left = np.conj(plan.pad - plan.pivot) * (plan.holes["clevis"] - plan.pivot)
    job = cut_arm(plan)
    here = job.centres["clevis"] - job.centres["pivot"]
    assert np.sign(left.imag) == np.sign(here.imag)
    assert abs(here.imag) > 20.0
    low, high = extents(job.contour)
    assert abs(low) < 1e-9
    assert high.real > 3.0 * high.imag


def test_the_builders_figures() -> None:
    """25.0 and 25.4 bores in 8 mm steel by laser: cut 24.6 and 25.0."""
    job = cut_arm(HANGING)
    assert [bore.cut for bore in job.bores] == pytest.approx([24.6, 25.0])
    figures = job.figures
    reach = math.hypot(120 - 106, 545 - 484.5)
    assert figures.reaches == pytest.approx({"clevis": reach})
    assert figures.between == pytest.approx(reach - 12.5 - 12.7)
    assert figures.around == pytest.approx(10.0, abs=0.01)
    assert figures.pierces == 3
    holes = math.pi * (12.3**2 + 12.5**2)
    assert figures.area == pytest.approx(area(job.contour) - holes)
    assert figures.mass == pytest.approx(figures.area * 8.0 * 7.85e-6)
    assert figures.size.imag == pytest.approx(45.7, abs=0.1)


def test_a_slot_shaped_arm_by_hand() -> None:
    """Two discs and their tangents: length, area and mass from the textbook."""
    plan = ArmPlan(
        pivot=0,
        pad=200,
        holes={},
        plate=10.0,
        material="6061-T6",
        bores={"pivot": 20.0},
        bosses={"pivot": 30.0, "pad": 14.0},
        loose=frozenset({"pivot"}),
    )
    job = cut_arm(plan)
    lean = math.asin(16 / 200)
    tangent = 200 * math.cos(lean)
    edge = 2 * tangent + 30 * (math.pi + 2 * lean) + 14 * (math.pi - 2 * lean)
    inner = tangent * (30 + 14)
    inner += 30**2 * (math.pi / 2 + lean) + 14**2 * (math.pi / 2 - lean)
    figures = job.figures
    assert figures.cut_length == pytest.approx(edge + 20 * math.pi, rel=1e-12)
    assert figures.area == pytest.approx(inner - 100 * math.pi, rel=1e-12)
    assert figures.mass == pytest.approx(figures.area * 10.0 * 2.7e-6, rel=1e-12)
    assert (figures.straights, figures.arcs) == (2, 2)
    assert figures.between is None
    assert figures.size == pytest.approx(244 + 60j)


def test_marks_are_cut_in_no_file() -> None:
    job = cut_arm(LAYOUTS["plasma"])
    assert job.figures.pierces == 1
    items = read_dxf(job.data).items
    assert [item.kind for item in items if item.layer == "cut"] == ["POLYLINE"]
    crosses = [item.numbers for item in items if item.layer == "mark"]
    assert len(crosses) == 4
    for numbers in crosses:
        stroke = complex(numbers[11] - numbers[10], numbers[21] - numbers[20])
        assert abs(stroke) == pytest.approx(3.0)


def test_the_file_says_what_it_is() -> None:
    job = cut_arm(HANGING, stem="brake-arm", mark="marlpit.toml 7f3a21")
    (note,) = read_dxf(job.data).comments
    for words in ("brake-arm.dxf", "8 mm steel", "laser", "mm", "marlpit.toml 7f3a21"):
        assert words in note


def test_a_design_that_cannot_be_cut_is_refused() -> None:
    with pytest.raises(DesignError, match="laser cuts"):
        cut_arm(replace(HANGING, plate=22.0, bores={}))

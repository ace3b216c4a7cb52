"""From ``new --ask`` with what was measured in a car to the file of the cutting table.

The measured numbers differ from those of the starting file; they are typed in mm or in
inches, and looked for again in what each command says and in the DXF.
"""

import json
from itertools import pairwise
from pathlib import Path

import ezdxf
import pytest
from click.testing import CliRunner, Result

from linkage.commands import footwell
from linkage.loading import load, load_text
from linkage.templates import TEMPLATES, Template

#: Added to each measured number of the starting file, mm, in turn.
OFF = (1.5, -2.0, 0.5, 1.0, 0.8)


def run(*words: object, answers: str = "") -> Result:
    return CliRunner().invoke(footwell, [str(word) for word in words], input=answers)


def measured(template: Template, unit: str) -> dict[str, tuple[str, float]]:
    """What a builder reads off: as typed, and in mm."""
    start = load_text(template.text).values
    found = {}
    for k, ask in enumerate(template.asks):
        whole = start[ask.path].nominal + OFF[k % len(OFF)]
        if unit == "mm":
            found[ask.path] = f"{whole:g}", float(f"{whole:g}")
            continue
        parts = round(whole / 25.4 * 16)
        typed = (
            f"{parts // 16} {parts % 16}/16 in" if parts % 16 else f"{parts // 16} in"
        )
        found[ask.path] = typed.removeprefix("0 "), parts / 16 * 25.4
    return found


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("kind", TEMPLATES)
def test_the_whole_way(
    kind: str, unit: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    template = TEMPLATES[kind]
    typed = measured(template, unit)
    answers = "".join(f"{said}\n" for said, _ in typed.values())
    made = run("new", kind, "-o", "mine.toml", "--ask", answers=answers)
    assert made.exit_code == 0, made.output
    design = load("mine.toml")
    for path, (_, number) in typed.items():
        assert design.values[path].nominal == pytest.approx(number, abs=1e-9), path

    shown = run("show", "mine.toml")
    assert shown.exit_code == 0, shown.output
    assert "hole" in shown.stdout

    swept = run("sweep", "mine.toml")
    assert swept.exit_code == 0, swept.output
    assert (tmp_path / "mine-sweep.svg").exists()
    told = json.loads(run("sweep", "mine.toml", "--json").stdout)
    assert told["limit"] is None
    name = "stroke" if "stroke" in told["columns"] else "cable_pull"
    moved = told["columns"][name]["values"]
    assert all(b >= a for a, b in pairwise(moved))
    assert moved[-1] > 5.0

    cut = run("cut", "mine.toml", "-o", "arm.dxf", "--units", unit)
    assert cut.exit_code == 0, cut.output
    reach = abs(hole_at({k: v for k, (_, v) in typed.items()}))
    assert found_in(tmp_path / "arm.dxf", unit) == pytest.approx(reach, abs=1e-3)


def hole_at(mm: dict[str, float]) -> complex:
    """The hole from the pivot, by a string from pivot to pad or by rule: plain sums."""
    own = {path.partition(".")[2]: number for path, number in mm.items()}
    if "clevis.up" in own:
        return complex(own["clevis.ahead"], own["clevis.up"])
    return complex(own["clevis.along"], own["clevis.ahead"])  # square to each other


def found_in(file: Path, unit: str) -> float:
    """The distance of the two holes, mm, by another program's reader."""
    document = ezdxf.readfile(file)
    assert not document.audit().errors
    assert document.header["$INSUNITS"] == {"mm": 4, "in": 1}[unit]
    scale = {"mm": 1.0, "in": 25.4}[unit]
    centres = [
        complex(*circle.dxf.center.vec2) * scale
        for circle in document.modelspace().query("CIRCLE")
    ]
    strokes = document.modelspace().query('LINE[layer=="mark"]')
    middles = [(line.dxf.start + line.dxf.end) / 2 for line in strokes]
    centres += {complex(round(m.x, 5), round(m.y, 5)) * scale for m in middles}
    assert len(centres) == 2
    return abs(centres[0] - centres[1])

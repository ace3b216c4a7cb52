"""``footwell effort``: its load, its outputs, its faults."""

import csv
import json
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner, Result

from linkage.commands import footwell
from linkage.loading import load_text
from linkage.sweeping import sweep
from linkage.templates import TEMPLATES
from tests.documents import ROOT, blocks

BRAKE = ROOT / "examples" / "brake-hanging.toml"
SPRUNG = """
[pedal.brake.friction]
seal = "30 N"
[pedal.brake.spring]
kind = "extension"
on_arm = { line = ["pivot", "pad"], along = 100, back = 8 }
fixed = { back = 230, up = 480 }
rate = "1.2 N/mm"
preload = "40 N"
"""


@pytest.fixture
def brake(tmp_path: Path) -> str:
    file = tmp_path / "brake.toml"
    file.write_text(BRAKE.read_text(encoding="utf-8") + SPRUNG, encoding="utf-8")
    return str(file)


def effort(*words: str) -> Result:
    return CliRunner().invoke(footwell, ["effort", *words])


def document(*words: str) -> Any:
    done = effort(*words, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def test_the_document(brake: str) -> None:
    said = document(brake, "--pressure", "1000 psi", "--at", "0,60,30")
    assert said["pedal"] == "brake"
    assert said["stated"]["what"] == "pressure"
    assert said["stated"]["size"] == pytest.approx(6.894757293168361, rel=1e-15)
    assert said["stated"]["unit"] == "MPa"
    columns = said["columns"]
    assert columns["travel"]["values"] == [0.0, 60.0, 30.0]
    assert all(len(each["values"]) == 3 for each in columns.values())
    piston, pressure = (columns[k]["values"] for k in ("piston_force", "pressure"))
    assert pressure[0] == 0.0
    assert pressure[1:] == pytest.approx([6.894757293168361] * 2, rel=1e-12)
    assert piston[1] == pytest.approx(6.894757293168361 * 285.0229570, rel=1e-9)
    assert columns["effort"]["values"][1] > columns["effort_returning"]["values"][1]
    assert [mark["what"] for mark in said["marks"]] == ["gap closed"]
    assert 0.0 < said["return"]["time"] < 0.2
    assert "friction of pins 0.15" in said["guesses"]
    assert "licensed person" in said["caution"]


def test_effort_and_foot_are_each_others_reverse(brake: str) -> None:
    at = ("--at", "50")
    asked = document(brake, "--end", "2 kN", *at)["columns"]["effort"]["values"][0]
    given = document(brake, "--foot", f"{asked!r} N", *at)["columns"]
    assert given["piston_force"]["values"][0] == pytest.approx(2000.0, rel=1e-9)


def test_power_without_friction_or_spring() -> None:
    """Effort x ratio = force on the piston, the ratio taken from the sweep."""
    said = document(str(BRAKE), "--end", "2 kN", "--at", "10,50,150")["columns"]
    swept = CliRunner().invoke(
        footwell, ["sweep", str(BRAKE), "--json", "--at", "10,50,150"]
    )
    ratio = np.array(json.loads(swept.stdout)["columns"]["ratio"]["values"])
    nothing = document(str(BRAKE), "--end", "0 N", "--at", "10,50,150")["columns"]
    own = np.array(said["effort"]["values"]) - np.array(nothing["effort"]["values"])
    assert own * ratio == pytest.approx(2000.0, rel=1e-12)


def test_the_table_and_its_sentences(brake: str) -> None:
    said = effort(brake, "--pressure", "1000 psi").stdout
    for word in ("6.89 MPa (1000 psi)", "gap closed", "way", "less on the way home"):
        assert word in said
    assert "Spring 1 (extension) 40 N at rest" in said
    assert "is home in 0.0" in said
    assert "licensed person" in " ".join(said.split())
    assert "nan" not in said
    assert max(map(len, said.splitlines())) <= 96


def test_without_friction_it_says_so() -> None:
    said = effort(str(BRAKE)).stdout
    assert "500 N (112.4 lbf) of foot" in said
    assert "no [pedal.brake.friction]" in said


@pytest.mark.parametrize("ending", ["svg", "csv", "json", "png", "pdf"])
def test_files(brake: str, ending: str, tmp_path: Path) -> None:
    out = tmp_path / f"out.{ending}"
    assert effort(brake, "--end", "2 kN", "-o", str(out)).exit_code == 0
    first = out.read_bytes()
    assert effort(brake, "--end", "2 kN", "-o", str(out), "--force").exit_code == 0
    assert out.read_bytes() == first
    if ending == "csv":
        rows = list(csv.reader(first.decode().splitlines()))
        assert rows[0][:2] == ["travel, mm", "effort, N"]
        assert len(rows) == 42
    if ending == "svg":
        assert b"your local code" in first
        assert b"nan" not in first


@pytest.mark.parametrize(
    ("words", "wrong"),
    [
        (["--end", "2"], "--end: 2 is a force and needs its unit"),
        (["--end", "-3 N"], "not one size from 0 up"),
        (["--foot", "2 to 3 N"], "not one size from 0 up"),
        (["--pressure", "3 N"], "a pressure belongs here"),
        (["--torque", "3 N m"], "which turns nothing"),
        (["--foot", "3 N", "--end", "2 N"], "says what is stated, and so does --foot"),
        (["--push", "leg"], "nothing says where the leg pushes from"),
        (["--at", "x"], '"x" is no place of the travel'),
        (["--positions", "1"], "1 positions make no sweep"),
    ],
)
def test_one_clear_line(words: list[str], wrong: str) -> None:
    done = effort(str(BRAKE), *words)
    assert done.exit_code == 2
    assert wrong in done.stderr
    assert len(done.stderr.splitlines()) == 1


@pytest.mark.parametrize(
    ("old", "new", "words", "wrong"),
    [
        ('bore = "3/4 in"\n', "", ["--pressure", "1 MPa"], "a pressure needs the bore"),
        (
            "[footwell]",
            "[driver]\nhip = [900, 300]\n[footwell]",
            [],
            "a leg cannot press the brake pedal",
        ),
    ],
)
def test_what_the_file_lacks(
    old: str, new: str, words: list[str], wrong: str, tmp_path: Path
) -> None:
    file = tmp_path / "brake.toml"
    text = BRAKE.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    done = effort(str(file), *words)
    assert done.exit_code == 2
    assert wrong in done.stderr


def bare(tmp_path: Path, more: str = "", travel: int = 120) -> str:
    file = tmp_path / "bare.toml"
    head = f"[pedal.brake]\npivot = [0, 0]\npad = [0, -300]\ntravel = {travel}\n"
    file.write_text(head + more, encoding="utf-8")
    return str(file)


def test_a_pedal_without_a_train_has_weight_springs_and_nothing_else(
    tmp_path: Path,
) -> None:
    spring = '[pedal.brake.spring]\nkind = "torsion"\nrate = "1 N m/deg"\n'
    said = effort(bare(tmp_path, spring))
    assert said.exit_code == 0
    assert "Spring 1 (torsion) 0 N m at rest, 22.92 N m at full" in said.stdout
    refused = effort(bare(tmp_path), "--end", "2 N")
    assert "it has no train to load" in refused.stderr
    assert refused.exit_code == 2


def test_every_guess_stands_beside_the_forces(brake: str) -> None:
    text = Path(brake).read_text(encoding="utf-8").replace('"1.2 N', '"about 1.2 N')
    Path(brake).write_text(text, encoding="utf-8")
    said = " ".join(effort(brake).stdout.split())
    assert 'About spring, 1, rate "about 1.2 N/mm": said to be guesses' in said
    assert "friction of pins 0.15, pivot pin 16 mm, rod pin 8 mm: not given" in said
    told = document(brake)["guesses"]
    assert "brake.spring.1.rate: about 1.2 N/mm" in told
    assert "rod pin 8 mm" in told


def test_a_limit_on_the_way_is_said_and_ends_with_1(tmp_path: Path) -> None:
    rod = 'clevis = [30, -60]\n[[pedal.brake.train]]\npart = "cylinder"\n'
    rod += 'seat = [150, -60]\naxis = "forward"\n'
    file = bare(tmp_path, rod, travel=400)
    said = effort(file, "--end", "1 kN")
    assert said.exit_code == 1
    assert "LIMIT  dead centre after 234.2 of pad" in said.stdout
    done = effort(file, "--end", "1 kN", "--json")
    assert done.exit_code == 1
    told = json.loads(done.stdout)
    assert told["limit"]["kind"] == "dead centre"
    assert max(told["columns"]["travel"]["values"]) < told["limit"]["travel"]
    assert None not in told["columns"]["effort"]["values"]


def test_a_solid_spring_is_a_limit(tmp_path: Path) -> None:
    spring = '[pedal.brake.spring]\nkind = "compression"\non_arm = [0, -100]\n'
    spring += 'fixed = [90, -100]\nrate = "2 N/mm"\nfree_length = 95\nsolid = 60\n'
    done = effort(bare(tmp_path, spring), "--json")
    assert done.exit_code == 1
    told = json.loads(done.stdout)
    assert told["limit"]["kind"] == "spring solid"
    assert told["marks"][-1]["what"] == "spring solid"


def test_the_leg_line_loses_what_it_pushes_aside(tmp_path: Path) -> None:
    """The foot along the leg: more by 1 / cos of its angle to the path.

    25 degrees off the path leave cos 25 = 0.91 (own arithmetic).
    """
    file = tmp_path / "brake.toml"
    text = BRAKE.read_text(encoding="utf-8")
    file.write_text(
        text.replace(
            "[footwell]", "[driver]\nhip = { back = 1020, up = 300 }\n[footwell]"
        ),
        encoding="utf-8",
    )
    leg = document(str(file), "--end", "2 kN", "--at", "3")["columns"]["effort"]
    path = document(str(file), "--end", "2 kN", "--at", "3", "--push", "path")
    pad, pivot = complex(-207, 262), complex(-118, 548)
    pad = pivot + (pad - pivot) * np.exp(3j / abs(pad - pivot))
    way = 1j * (pad - pivot) / abs(pad - pivot)
    line = pad - complex(-1020, 300)
    cosine = (np.conj(way) * line).real / abs(line)
    straight = path["columns"]["effort"]["values"][0]
    assert leg["values"][0] == pytest.approx(straight / cosine, rel=1e-9)
    assert np.cos(np.radians(25.0)) == pytest.approx(0.91, abs=0.005)


def test_the_readme_s_springs_and_friction_can_be_read(tmp_path: Path) -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    told = [b.body for b in blocks(readme, "toml") if "pedal.brake.spring" in b.body]
    file = tmp_path / "brake.toml"
    assert (
        CliRunner()
        .invoke(footwell, ["new", "hanging-brake", "-o", str(file)])
        .exit_code
        == 0
    )
    with file.open("a", encoding="utf-8") as end:
        end.write(told[0])
    said = effort(str(file), "--pressure", "7 MPa").stdout
    assert re.search(r"% less on the way home", said)
    assert "along the leg" in said


SHORT = TEMPLATES["hanging-brake"].text.replace(
    'stroke    = "1.1 in"', "stroke    = 24"
)


def test_the_pressure_stops_where_the_piston_is_at_its_end(tmp_path: Path) -> None:
    file = tmp_path / "b.toml"
    file.write_text(SHORT, encoding="utf-8")
    end = sweep(load_text(SHORT), "brake").ends[0]
    assert end.what == "cylinder full"
    runner = CliRunner()
    told = runner.invoke(footwell, ["effort", str(file)])
    assert told.exit_code == 0  # an end, and no limit
    assert f"the piston is at its end at {end.travel:.1f} mm of pad" in told.stdout
    assert "metal on metal" in told.stdout
    rows = re.findall(r"^ +(\d+\.\d) .*$", told.stdout, re.MULTILINE)
    assert rows[-1] == f"{end.travel:.1f}"
    assert "piston at its end\n" in told.stdout
    assert "the piston is at its end" in told.stderr
    said = runner.invoke(
        footwell, ["effort", str(file), "--json", "--positions", "101"]
    )
    document = json.loads(said.stdout)
    travels = document["columns"]["travel"]["values"]
    assert max(travels) <= end.travel < max(travels) + 1.53
    (mark,) = [m for m in document["marks"] if m["what"] == "cylinder full"]
    assert mark["travel"] == pytest.approx(end.travel, abs=1e-9)
    assert document["limit"] is None


def test_a_load_that_nobody_stated_is_said_to_be_taken(tmp_path: Path) -> None:
    file = tmp_path / "b.toml"
    file.write_text(TEMPLATES["hanging-brake"].text, encoding="utf-8")
    runner = CliRunner()
    told = runner.invoke(footwell, ["effort", str(file)]).stdout
    assert "500 N (112.4 lbf) of foot" in told.splitlines()[0]
    assert "no load was stated" in " ".join(told.splitlines()[:2])
    told = runner.invoke(footwell, ["effort", str(file), "--foot", "500 N"]).stdout
    assert "no load was" not in told

"""``footwell budget``: its question, its outputs, its faults."""

import csv
import json
import re
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from linkage.commands import footwell
from tests.documents import ROOT

MANUAL = ROOT / "examples" / "brake-manual.toml"
BOOSTED = ROOT / "examples" / "brake-boosted.toml"

INCHES = """
units = "in"
[pedal.brake]
pivot = [0, 0]
pad = [0, -12]
clevis = [0, -2]
travel = 6
[[pedal.brake.train]]
part = "cylinder"
seat = [6, -2]
axis = "forward"
bore = "1 in"
circuits = "front"
[circuit.front]
brake = { kind = "floating disc", piston = 2, radius = 4 }
"""


def budget(*words: str) -> Result:
    return CliRunner().invoke(footwell, ["budget", *words])


def document(*words: str) -> Any:
    done = budget(*words, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def test_the_document() -> None:
    said = document(str(BOOSTED), "--deceleration", "0.5 g0")
    assert said["stated"] == {
        "what": "deceleration",
        "size": pytest.approx(0.5, rel=1e-15),
        "unit": "g0",
        "booster": "works",
        "lost": None,
    }
    assert said["missed"] is None
    assert said["car"]["deceleration"] == pytest.approx(0.5, rel=1e-9)
    weight = 1150.0 * 9.80665
    drags = said["car"]["front_drag"] + said["car"]["rear_drag"]
    assert drags == pytest.approx(0.5 * weight, rel=1e-9)
    assert sum(row["pad"] for row in said["budget"]) == pytest.approx(said["travel"])
    assert said["travel"] + said["travel_left"] == pytest.approx(154.0)
    volumes = sum(row["volume"] or 0.0 for row in said["budget"])
    rods = sum(row["rod"] for row in said["budget"] if row["volume"] is not None)
    assert volumes / rods == pytest.approx(387.9479137, rel=1e-9)  # a 7/8 in bore
    assert [each["axle"] for each in said["locks"]] == ["front", "rear"]
    paths = {guess["path"] for guess in said["guesses"]}
    assert {"circuit.rear.bulk", "brake.train.1.cut_off", "vehicle.cg_height"} <= paths
    assert "licensed person" in said["caution"]


def test_a_dead_booster_is_pushed_harder() -> None:
    """Each newton more at the rod is one of output less: gain 4, and the spring."""
    alive = document(str(BOOSTED), "--pressure", "3 MPa")
    dead = document(str(BOOSTED), "--pressure", "3 MPa", "--dead")
    assert dead["stated"]["booster"] == "dead"
    push = 3.0 * 387.9479137
    assert dead["rod_force"] == pytest.approx(push + 100.0, rel=1e-9)
    assert alive["rod_force"] == pytest.approx(80.0 + (push - 300.0) / 4.0, rel=1e-9)
    assert document(str(MANUAL))["stated"]["booster"] is None


def test_a_lost_circuit() -> None:
    """The front gone: the rear drums alone, and much more of the pad's travel."""
    said = document(str(MANUAL), "--lost", "front", "--foot", "250 N")
    assert said["stated"]["lost"] == "front"
    assert said["pressure"]["front"] == 0.0
    assert said["pressure"]["rear"] > 0.0
    assert said["car"]["front_drag"] == 0.0
    whole = document(str(MANUAL), "--foot", "250 N")
    assert said["travel"] > whole["travel"] + 40.0
    text = " ".join(budget(str(MANUAL), "--lost", "rear").stdout.split())
    assert "rear circuit lost" in text
    assert "rear lost circuit" in text


def test_left_out_the_car_stops_hard() -> None:
    stated = document(str(MANUAL))["stated"]
    assert (stated["what"], stated["size"]) == ("deceleration", 0.8)


def test_a_cylinder_that_never_gets_to_press(tmp_path: Path) -> None:
    """Clearance as of worn-out wheel bearings: pistons and pedal end before it is gone."""
    text = MANUAL.read_text(encoding="utf-8")
    file = tmp_path / "brake.toml"
    file.write_text(text.replace('"about 0.7"', "9"), encoding="utf-8")
    done = budget(str(file))
    said = " ".join(done.stdout.split())
    assert done.exit_code == 1
    assert "used up before there is any pressure" in said
    assert "at its end before that" in said
    assert "nan" not in said


def test_metres_per_second_squared_are_the_same() -> None:
    a = document(str(MANUAL), "--deceleration", "0.5 g0")
    b = document(str(MANUAL), "--deceleration", "4.903325 m/s2")
    assert a["effort"] == pytest.approx(b["effort"], rel=1e-12)


def test_words() -> None:
    done = budget(str(BOOSTED), "--foot", "500 N", "--dead")
    said = " ".join(done.stdout.split())
    assert done.exit_code == 0
    for words in (
        "500 N of foot, booster dead",
        "front clearance",
        "behind its valve",
        "Next measure these, in order:",
        "licensed person",
    ):
        assert words in said
    assert "nan" not in said
    assert max(map(len, done.stdout.splitlines())) <= 88


def test_words_of_a_file_in_inches(tmp_path: Path) -> None:
    """Pounds and psi first; the travel in inches is that in mm."""
    file = tmp_path / "brake.toml"
    file.write_text(INCHES, encoding="utf-8")
    said = budget(str(file), "--pressure", "1000 psi").stdout
    assert "Lengths in inches" in said
    assert "front 1000 psi (6.89 MPa)" in said
    travel = document(str(file), "--pressure", "1000 psi")["travel"] / 25.4
    assert f"{travel:.3f}" in said
    assert "lbf (" in said
    (measure,) = re.findall(r"Next .*?moves .*?moves", " ".join(said.split()))
    assert re.search(r"clearance \(0\.\d+ in; 0\.\d+ to 0\.\d+ in moves", measure)
    assert "mm;" not in measure


def test_what_the_road_does_not_hold_is_missed() -> None:
    done = budget(str(MANUAL), "--deceleration", "1.1 g0")
    assert done.exit_code == 1
    assert "MISSED the tyres hold 0.90 g0 and no more" in done.stdout


@pytest.mark.parametrize("ending", ["svg", "csv", "json", "png", "pdf"])
def test_files(ending: str, tmp_path: Path) -> None:
    out = tmp_path / f"out.{ending}"
    assert budget(str(MANUAL), "-o", str(out)).exit_code == 0
    first = out.read_bytes()
    assert budget(str(MANUAL), "-o", str(out), "--force").exit_code == 0
    assert out.read_bytes() == first
    if ending == "csv":
        rows = list(csv.reader(first.decode().splitlines()))
        assert rows[0][:2] == ["cause", "circuit"]
        assert sum(float(row[4]) for row in rows[1:]) == pytest.approx(
            document(str(MANUAL))["travel"], abs=1e-5
        )
        assert "brake-manual.toml" in rows[1][-1]
    if ending == "svg":
        assert b"your local code" in first
        assert b"front clearance" in first
        assert b"nan" not in first


def test_a_picture_of_its_own_is_replaced(tmp_path: Path) -> None:
    out = tmp_path / "out.svg"
    for foot in ("100 N", "200 N"):
        assert budget(str(MANUAL), "--foot", foot, "-o", str(out)).exit_code == 0


@pytest.mark.parametrize(
    ("name", "words", "wrong"),
    [
        (MANUAL, ["--foot", "5"], "--foot: 5 is a force and needs its unit"),
        (MANUAL, ["--deceleration", "3 N"], "belongs here"),
        (MANUAL, ["--foot", "1 N", "--pressure", "1 MPa"], "and so does --foot"),
        (MANUAL, ["--pressure", "-1 MPa"], "not one size from 0 up"),
        (MANUAL, ["--lost", "left"], 'fills no circuit "left"'),
        (MANUAL, ["--dead"], "has no booster that could be dead"),
        (MANUAL, ["--pedal", "clutch"], 'there is no pedal "clutch"'),
        (MANUAL, ["-o", "a.dxf"], "names no form that this command writes"),
        (ROOT / "examples" / "brake-hanging.toml", [], "nothing says which circuits"),
        (ROOT / "examples" / "clutch-cable.toml", [], "it has no fluid"),
    ],
)
def test_one_clear_line(name: Path, words: list[str], wrong: str) -> None:
    done = budget(str(name), *words)
    assert done.exit_code == 2
    assert wrong in done.stderr
    assert len(done.stderr.splitlines()) == 1


@pytest.mark.parametrize(
    ("gone", "words", "code", "told"),
    [
        (True, [], 0, "the file has no [vehicle]"),
        (True, ["--deceleration", "0.5 g0"], 2, "needs the car"),
        (False, [], 0, "0.80 g0"),
    ],
)
def test_a_file_without_a_car(
    gone: bool, words: list[str], code: int, told: str, tmp_path: Path
) -> None:
    text = MANUAL.read_text(encoding="utf-8")
    head, _, rest = text.partition("[vehicle]\n")
    tail = rest[rest.index("[circuit.front]") :]
    file = tmp_path / "brake.toml"
    file.write_text(head + tail if gone else text, encoding="utf-8")
    done = budget(str(file), *words)
    assert done.exit_code == code
    assert told in " ".join((done.stdout + done.stderr).split())


def test_of_several_pedals_the_one_with_circuits(tmp_path: Path) -> None:
    clutch = (
        "[pedal.clutch]\npivot = [0, 0]\npad = [0, -300]\nclevis = [0, 60]\ntravel = 100\n"
        '[[pedal.clutch.train]]\npart = "cable"\nferrule = [200, 60]\n'
    )
    file = tmp_path / "two.toml"
    file.write_text(MANUAL.read_text(encoding="utf-8") + clutch, encoding="utf-8")
    assert document(str(file))["pedal"] == "brake"

"""The sweep command: its document, its files, its exit codes, its faults."""

import csv
import io
import json
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result

from linkage.commands import footwell

BRAKE = """
title = "Quillet two-seater"
[pedal.brake]
pivot = [120, 545]
pad = [35, 255]
clevis = [106, 484.5]
travel = 120
[[pedal.brake.train]]
part = "cylinder"
seat = [233, 487]
axis = "forward"
bore = "3/4 in"
stroke = "1.4 in"
free_play = 0.5
"""


def _run(*arguments: object) -> Result:
    return CliRunner().invoke(footwell, [str(each) for each in arguments])


@pytest.fixture
def brake(tmp_path: Path) -> Path:
    path = tmp_path / "brake.toml"
    path.write_text(BRAKE)
    return path


def test_json_contract(brake: Path) -> None:
    result = _run("sweep", brake, "--json")
    assert result.exit_code == 0
    told = json.loads(result.stdout)
    assert list(told) == ["pedal", "columns", "limit", "ends"]
    units = {name: column["unit"] for name, column in told["columns"].items()}
    assert units == {
        "travel": "mm",
        "arm_angle": "deg",
        "stroke": "mm",
        "ratio": "1",
        "rod_angle": "deg",
        "crank_angle": "deg",
    }
    lengths = {len(column["values"]) for column in told["columns"].values()}
    assert lengths == {41}
    assert told["columns"]["travel"]["values"][-1] == 120.0
    assert told["limit"] is None
    assert told["ends"] == []
    # Nothing else stands on standard output, and no file was written beside it.
    assert [path.name for path in brake.parent.iterdir()] == ["brake.toml"]


def test_stroke_by_plain_trigonometry(brake: Path) -> None:
    """The hole's place by rotation, the rod's end by Pythagoras."""
    told = json.loads(_run("sweep", brake, "--json", "--at", "80,0,20").stdout)
    travel = np.array(told["columns"]["travel"]["values"])
    assert travel.tolist() == [80.0, 0.0, 20.0]
    radius, rod = abs(complex(-85, -290)), abs(complex(127, 2.5))
    hole = (120 + 545j) + complex(-14, -60.5) * np.exp(1j * travel / radius)
    end = hole.real + np.sqrt(rod**2 - (hole.imag - 487.0) ** 2)
    stroke = np.maximum(end - 233.0 - 0.5, 0.0)
    got = told["columns"]["stroke"]["values"]
    np.testing.assert_allclose(got, stroke, rtol=1e-12, atol=1e-12)


def test_places_may_go_beyond_travel_and_meet_what_is_used_up(brake: Path) -> None:
    told = json.loads(_run("sweep", brake, "--json", "--at", "10,190").stdout)
    (end,) = told["ends"]
    assert (end["what"], end["part"]) == ("cylinder full", "train.1")
    full = json.loads(
        _run("sweep", brake, "--json", "--at", repr(end["travel"])).stdout
    )
    assert full["columns"]["stroke"]["values"][0] == pytest.approx(35.56, abs=1e-9)


def test_a_limit_is_exit_1_and_ends_the_rows(brake: Path) -> None:
    brake.write_text(BRAKE.replace("travel = 120", "travel = 560"))
    result = _run("sweep", brake, "--json")
    assert result.exit_code == 1
    told = json.loads(result.stdout)
    assert told["limit"]["kind"] == "dead centre"
    assert told["columns"]["travel"]["values"][-1] < told["limit"]["travel"] <= 560.0
    # Where rod and arm are in one line: the angle at the hole is 180 or 0.
    near = json.loads(
        _run("sweep", brake, "--json", "--at", told["limit"]["travel"] - 1e-6).stdout
    )
    assert near["columns"]["crank_angle"]["values"][0] == pytest.approx(180, abs=1e-4)


def test_files_by_ending(brake: Path) -> None:
    names = [
        brake.with_suffix(end) for end in (".svg", ".png", ".pdf", ".csv", ".json")
    ]
    result = _run("sweep", brake, *(part for name in names for part in ("-o", name)))
    assert result.exit_code == 0, result.stderr
    svg, png, pdf, table, document = (name.read_bytes() for name in names)
    assert ET.fromstring(svg).tag.endswith("svg")  # noqa: S314 - our own file
    assert png.startswith(b"\x89PNG")
    assert pdf.startswith(b"%PDF")
    rows = list(csv.reader(io.StringIO(table.decode())))
    assert rows[0][:3] == ["travel, mm", "arm_angle, deg", "stroke, mm"]
    assert len(rows) == 42
    told = json.loads(document)
    assert float(rows[-1][2]) == told["columns"]["stroke"]["values"][-1]


def test_without_o_a_picture_stands_beside_the_file_and_may_be_replaced(
    brake: Path,
) -> None:
    picture = brake.with_name("brake-sweep.svg")
    assert _run("sweep", brake).exit_code == 0
    first = picture.read_bytes()
    brake.write_text(BRAKE.replace("travel = 120", "travel = 100"))
    assert _run("sweep", brake).exit_code == 0
    assert picture.read_bytes() != first
    picture.write_text("my own drawing")
    result = _run("sweep", brake)
    assert result.exit_code == 2
    assert picture.read_text() == "my own drawing"
    assert _run("sweep", brake, "--force").exit_code == 0


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--at", "ten"), "no place of the travel"),
        (("--at", "-5"), "no place of the travel"),
        (("--at", "2 1/2"), "no place of the travel"),
        (("--at", "5 deg"), "no place of the travel"),
        (("--at", "1 to 2 in"), "no place of the travel"),
        (("--at", "nan"), "no place of the travel"),
        (("--positions", "1"), "make no sweep"),
        (("--pedal", "clutch"), "This file has: brake"),
        (("-o", "x.docx"), "names no form"),
        (("-o", "/nowhere/at/all/x.svg"), "/nowhere/at/all"),
    ],
)
def test_bad_usage_is_one_clear_line(
    brake: Path, arguments: tuple[str, ...], says: str
) -> None:
    result = _run("sweep", brake, *arguments)
    assert result.exit_code == 2
    assert says in result.stderr
    assert "Traceback" not in result.output
    assert [path.name for path in brake.parent.iterdir()] == ["brake.toml"]


def test_a_place_may_say_its_unit(brake: Path) -> None:
    told = _run("sweep", brake, "--json", "--at", '1 in,3 1/2",10,2cm')
    travel = json.loads(told.stdout)["columns"]["travel"]["values"]
    assert travel == pytest.approx([25.4, 88.9, 10.0, 20.0])


@pytest.mark.parametrize("command", ["sweep", "effort"])
@pytest.mark.parametrize("at", ["0,20,500", "500"])
def test_a_place_behind_a_limit_does_not_vanish_in_silence(
    brake: Path, command: str, at: str
) -> None:
    """No arm of a pedal turns so far that its rod pushes on: half a turn and more."""
    flat = " ".join(_run(command, brake, "--at", at).stdout.split())
    assert "No row for 500 mm of pad: before that lies" in flat
    assert "No row" not in _run(command, brake, "--at", "0,20").stdout


def test_a_lost_sign_is_told_in_words(brake: Path) -> None:
    brake.write_text(BRAKE.replace('axis = "forward"', 'axis = "back"'))
    result = _run("sweep", brake, "--json")
    assert result.exit_code == 2
    (fault,) = json.loads(result.stdout)["faults"]
    assert fault["line"] in range(8, 14)
    assert "behind its hole" in fault["wrong"]
    assert "sign lost" in fault["right"]


def test_a_missing_file_and_a_folder(tmp_path: Path) -> None:
    for path in (tmp_path / "none.toml", tmp_path):
        result = _run("sweep", path)
        assert result.exit_code == 2
        assert str(path) in result.stderr
        assert len(result.stderr.splitlines()) == 1


def test_what_is_still_free_is_said_in_table_picture_and_beside_json(
    brake: Path,
) -> None:
    """Near, else the middle, else the first: with one number each nothing is said."""
    said = "still free: read as near, else the middle, else the first choice"
    plain = _run("sweep", brake, "--json")
    assert said not in plain.stderr
    free = BRAKE.replace("[120, 545]", '["110 to 130 near 118", 545]')
    free = free.replace('"3/4 in"', '{ one_of = ["0.70 in", "3/4 in"] }')
    brake.write_text(free)
    told = _run("sweep", brake)
    assert f"Free   2 values are {said}." in " ".join(told.stdout.split("\n"))
    picture = brake.with_name("brake-sweep.svg").read_text()
    assert f"brake: 2 values are {said}" in picture
    document = _run("sweep", brake, "--json")
    assert f"brake: 2 values are {said}." in document.stderr
    assert list(json.loads(document.stdout)) == ["pedal", "columns", "limit", "ends"]
    near = brake.with_name("near.toml")
    near.write_text(BRAKE.replace("[120, 545]", "[118, 545]"))
    columns = json.loads(_run("sweep", near, "--json").stdout)["columns"]
    assert json.loads(document.stdout)["columns"] == columns


def test_a_working_is_no_document(brake: Path) -> None:
    result = _run("sweep", brake, "--working", "--json")
    assert result.exit_code == 2
    (fault,) = json.loads(result.stdout)["faults"]
    assert fault["key"] == "--working"


def test_a_table_of_several_pedals_is_refused_before_any_output(
    tmp_path: Path,
) -> None:
    three = "examples/three-on-one-shaft.toml"
    for name in ("t.csv", "t.json"):
        result = _run("sweep", three, "-o", tmp_path / name)
        assert result.exit_code == 2
        assert result.stdout == ""
        assert "Say which: --pedal clutch" in result.stderr
    one = _run("sweep", three, "--pedal", "brake", "-o", tmp_path / "t.csv")
    assert one.exit_code == 0

"""``footwell ladder``: its tables, its outputs, its faults."""

import csv
import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from linkage.commands import footwell
from tests.documents import ROOT

MANUAL = ROOT / "examples" / "brake-manual.toml"
BOOSTED = ROOT / "examples" / "brake-boosted.toml"


def ladder(*words: str) -> Result:
    return CliRunner().invoke(footwell, ["ladder", *words])


def document(*words: str) -> Any:
    done = ladder(*words, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def test_the_document() -> None:
    said = document(str(BOOSTED))
    assert said["stated"] == {
        "what": "deceleration",
        "size": 0.8,
        "unit": "g0",
        "foot": 500.0,
    }
    assert len(said["pairs"]) == 5 * 11
    (now,) = [row for row in said["pairs"] if row["present"]]
    assert now["stock"] == "7/8 in"
    assert now["bore"] == 22.225
    budget = CliRunner().invoke(footwell, ["budget", str(BOOSTED), "--json"])
    same = json.loads(budget.stdout)
    assert now["effort"] == pytest.approx(same["effort"], rel=1e-9)
    assert now["travel"] == pytest.approx(same["travel"], rel=1e-9)
    assert now["pressure"] == pytest.approx(same["pressure"]["front"], rel=1e-9)
    assert said["judged_by"]["effort"] == "boosted effort"
    assert "licensed person" in said["caution"]


def test_words() -> None:
    done = ladder(str(BOOSTED))
    assert done.exit_code == 0
    lines = done.stdout.splitlines()
    assert max(map(len, lines)) <= 88
    assert sum(line.rstrip().endswith("now") for line in lines) == 2
    assert sum("[!]" in line for line in lines) == 1
    for words in ("0.700 in", "all met", "Limits foot 200 at most", "licensed person"):
        assert words in done.stdout
    assert "nan" not in done.stdout


def test_words_of_a_file_in_inches(tmp_path: Path) -> None:
    text = 'units = "in"\n[pedal.brake]\npivot = [0, 0]\npad = [0, -12]\n'
    text += "clevis = [0, -2]\ntravel = 6\n[[pedal.brake.train]]\n"
    text += 'part = "cylinder"\nseat = [6, -2]\naxis = "forward"\nbore = "1.03 in"\n'
    text += 'circuits = "front"\n[circuit.front]\n'
    text += 'brake = { kind = "floating disc", piston = 2, radius = 4 }\n'
    file = tmp_path / "brake.toml"
    file.write_text(text, encoding="utf-8")
    done = ladder(str(file), "--pressure", "800 psi", "--hole", "2 1/4")
    assert "1.03" in done.stdout
    assert "2.250" in done.stdout
    assert "800 psi in the lines" in done.stdout
    assert "not judged" in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 88


def test_a_table_and_pictures(tmp_path: Path) -> None:
    table, picture = tmp_path / "rungs.csv", tmp_path / "rungs.svg"
    done = ladder(str(MANUAL), "-o", str(table), "-o", str(picture))
    assert done.exit_code == 0, done.output
    with table.open(newline="", encoding="utf-8") as file:
        head, *rows = csv.reader(file)
    assert len(rows) == 55
    assert all(len(row) == len(head) for row in rows)
    assert [row[head.index("now")] for row in rows].count("now") == 1
    assert rows[0][-1].startswith("footwell; brake-manual.toml;")
    drawn = picture.read_text(encoding="utf-8")
    for words in ("13/16 in now", "in the lines at 500 N", "your local code"):
        assert words in drawn
    again = ladder(str(MANUAL), "-o", str(picture))
    assert again.exit_code == 0
    assert picture.read_text(encoding="utf-8") == drawn


def test_no_pair_meets_every_limit(tmp_path: Path) -> None:
    """A foot that is let push with 30 N makes no such stop with any bore."""
    rule = '\n[[rules.limit]]\nof = "effort"\nmost = "30 N"\nreason = "a child"\n'
    file = tmp_path / "brake.toml"
    text = MANUAL.read_text(encoding="utf-8")
    file.write_text(text + rule, encoding="utf-8")
    done = ladder(str(file))
    assert done.exit_code == 1
    assert "No pair meets every limit" in " ".join(done.stdout.split())


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--hole", "mid"), "--hole"),
        (("--pressure", "1 MPa", "--deceleration", "0.5 g0"), "Give one of them."),
        (("--foot", "-3 N"), "--foot"),
        (("--foot", "300"), "--foot"),
        (("--pressure", "fast"), "--pressure"),
        (("-o", "x.toml"), "names no form"),
        (("--pedal", "clutch"), 'there is no pedal "clutch"'),
    ],
    ids=lambda words: " ".join(words) if isinstance(words, tuple) else "",
)
def test_bad_usage_is_one_line(words: tuple[str, ...], told: str) -> None:
    done = ladder(str(MANUAL), *words)
    assert done.exit_code == 2
    assert told in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
    assert not done.stdout


def test_two_cylinders_on_a_bar_are_refused() -> None:
    done = ladder(str(ROOT / "examples" / "brake-bar.toml"))
    assert done.exit_code == 2
    assert done.stderr.strip().endswith("Ask footwell budget.")
    assert len(done.stderr.strip().splitlines()) == 1


@pytest.mark.parametrize("name", ["clutch-cable", "brake-hanging", "throttle-lever"])
def test_a_pedal_without_fluid_is_told(name: str) -> None:
    done = ladder(str(ROOT / "examples" / f"{name}.toml"))
    assert done.exit_code == 2
    assert "fluid" in done.stderr or "circuits" in done.stderr

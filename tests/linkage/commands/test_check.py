"""``footwell check``: its answer, its outputs, its exit codes, its faults."""

import csv
import json
import math
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from linkage.commands import footwell
from tests.documents import ROOT
from tests.linkage.findings.designs import pedal

BOOSTED = ROOT / "examples" / "brake-boosted.toml"
HANGING = ROOT / "examples" / "brake-hanging.toml"
THREE = ROOT / "examples" / "three-on-one-shaft.toml"
FAILS = pedal(start=14.0, level=-50.0)


def check(*words: object) -> Result:
    return CliRunner().invoke(footwell, ["check", *map(str, words)])


def document(*words: object) -> Any:
    return json.loads(check(*words, "--json").stdout)


@pytest.fixture
def failing(tmp_path: Path) -> Path:
    file = tmp_path / "past.toml"
    file.write_text(FAILS)
    return file


def test_a_fail_is_exit_one(failing: Path) -> None:
    done = check(failing)
    assert done.exit_code == 1
    assert " x FAIL " in done.stdout
    assert check(HANGING).exit_code == 0


def test_the_document() -> None:
    said = document(BOOSTED)
    assert said["rules"] == {"set": "road", "edition": None, "own": []}
    rows = {row["finding"]: row for row in said["findings"]}
    lean = rows["Rod leans, anywhere"]
    assert lean["unit"] == "deg"
    assert 0.5 < lean["value"] < 2.0
    assert lean["limit"]["most"] == pytest.approx(5.0)
    assert lean["limit"]["fail_over"] == pytest.approx(8.0)
    assert lean["limit"]["fail_under"] is None
    order = [row["verdict"] for row in said["findings"]]
    assert sorted(order, key=["fail", "caution", "ok", "not checked"].index) == order
    for verdict, count in said["count"].items():
        assert order.count(verdict) == count
    missing = rows["Brake to throttle, edges"]["missing"]
    assert missing["give"] == "[pedal.throttle]"
    assert "licensed person" in said["caution"]
    leaning = {row["path"]: row["leaning"] for row in said["guesses"]}
    assert "Pad travel at a hard stop" in leaning["circuit.front.fluid"]


def test_a_change_in_the_document(failing: Path) -> None:
    rows = {row["finding"]: row for row in document(failing)["findings"]}
    change = rows["Rod past square at rest"]["change"]
    assert change["estimate"] is True
    assert change["unit"] == "mm"
    assert change["verdict"] == "ok"
    assert change["gives"] <= 0.0


def test_the_outputs(tmp_path: Path) -> None:
    table, whole = tmp_path / "out.csv", tmp_path / "out.json"
    done = check(BOOSTED, "-o", table, "-o", whole)
    with table.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert json.loads(whole.read_text()) == document(BOOSTED)
    assert len(rows) == len(document(BOOSTED)["findings"])
    assert rows[0]["design"].startswith("footwell; brake-boosted.toml;")
    ratio = next(row for row in rows if row["finding"].startswith("Ratio change"))
    assert math.isfinite(float(ratio["value"]))
    assert (ratio["least"], ratio["most"]) == ("-5.0", "10.0")
    assert done.exit_code == check(BOOSTED).exit_code


def test_one_of_several_pedals() -> None:
    rows = document(THREE, "--pedal", "throttle")["findings"]
    assert {row["pedal"] for row in rows} == {"throttle"}
    assert {row["pedal"] for row in document(THREE)["findings"]} == {
        *("clutch", "brake", "throttle")
    }


def test_student_racing_and_a_limit_of_ones_own(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    own = '[rules]\nset = "student"\n[[rules.limit]]\nof = "rod angle"\nmost = 0.1\n'
    file.write_text(f'{HANGING.read_text()}\n{own}reason = "a stiff cup"\n')
    done = check(file)
    assert done.exit_code == 1
    head = (
        "Rules: student (FSAE Rules 2026 V1.0; wheels locked: FSAE Rules 2019), 1 limit"
    )
    assert f"{head} of its own." in " ".join(done.stdout.split())
    assert 'Own limit: rod angle, 0.1 at most. "a stiff cup"' in done.stdout
    said = document(file)
    assert said["rules"]["own"] == [{"limit": "rod angle", "reason": "a stiff cup"}]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--pedal", "clutch"), 'there is no pedal "clutch".'),
        (("-o", "out.svg"), 'the ending ".svg" names no form'),
    ],
)
def test_bad_words_are_exit_two(words: tuple[str, ...], said: str) -> None:
    done = check(HANGING, *words)
    assert done.exit_code == 2
    assert said in done.stderr


def test_bad_rules_are_one_line(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_text(f'{HANGING.read_text()}\n[rules]\nset = "race"\n')
    done = check(file)
    assert done.exit_code == 2
    assert done.stderr.count("\n") == 1
    assert 'Write one of: "road", "student".' in done.stderr

"""``footwell failures``: its table and sentences, its outputs, its faults."""

import csv
import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from linkage.commands import footwell
from linkage.last_word import FINDINGS

ROOT = Path(__file__).resolve().parents[3]
BAR, BOOSTED = (ROOT / "examples" / f"brake-{name}.toml" for name in ("bar", "boosted"))


def failures(*words: str) -> Result:
    return CliRunner().invoke(footwell, ["failures", *words])


@cache
def document(*words: str) -> dict[str, Any]:
    done = failures(*words, "--json")
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def test_what_holds_ends_with_0_and_what_misses_with_1() -> None:
    assert failures(str(BAR)).exit_code == 0
    missed = failures(str(BOOSTED))
    assert missed.exit_code == 1
    assert "MISSED" in missed.stdout
    assert "It does NOT make 6.43 m/s2" in missed.stdout
    assert "what is asked is missed with pads knocked back" in missed.stdout


def test_the_caution_stands_under_it() -> None:
    text = " ".join(failures(str(BAR)).stdout.split())
    assert FINDINGS in text
    assert document(str(BAR))["caution"] == FINDINGS


def test_every_failure_has_its_row_and_its_sentence() -> None:
    text = failures(str(BAR)).stdout
    for number, row in enumerate(document(str(BAR))["failures"]):
        assert f"{number}  {row['failure']}" in text
        name = row["failure"]
        assert f"{name[0].upper()}{name[1:]}: " in text


def test_a_swung_bar_is_said() -> None:
    text = " ".join(failures(str(BAR)).stdout.split())
    assert "The bar has swung by" in text
    assert "the dead piston is at its end" in text


def test_a_harder_foot_goes_farther() -> None:
    soft, hard = (document(str(BAR), "--foot", said) for said in ("200 N", "400 N"))
    for one, other in zip(soft["failures"], hard["failures"], strict=True):
        assert one["travel"] < other["travel"]
    assert soft["effort"] == 200.0


@pytest.mark.parametrize(
    ("words", "wrong"),
    [
        (["--foot", "200"], "unit"),
        (["--foot", "hard"], "--foot"),
        (["-o", "page.txt"], "names no form"),
    ],
)
def test_a_slip_is_one_line(words: list[str], wrong: str) -> None:
    done = failures(str(BAR), *words)
    assert done.exit_code == 2
    assert wrong in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


def test_a_pedal_without_circuits_is_refused() -> None:
    done = failures(str(ROOT / "examples" / "brake-hanging.toml"))
    assert done.exit_code == 2
    assert "which circuits its cylinder fills" in done.stderr


def test_files_say_what_the_document_says(tmp_path: Path) -> None:
    table, picture = tmp_path / "worst.csv", tmp_path / "worst.svg"
    assert failures(str(BAR), "-o", str(table), "-o", str(picture)).exit_code == 0
    rows = list(csv.DictReader(table.read_text(encoding="utf-8").splitlines()))
    told = document(str(BAR))["failures"]
    assert [row["failure"] for row in rows] == [row["failure"] for row in told]
    for row, each in zip(rows, told, strict=True):
        assert float(row["travel, mm"]) == each["travel"]
        assert float(row["deceleration, g0"]) == each["deceleration"]
    assert rows[0]["caution"] == FINDINGS
    assert "brake-bar.toml" in rows[0]["design"]
    drawn = picture.read_text(encoding="utf-8")
    for each in told:
        assert each["failure"] in drawn
    assert "Checked by" in drawn
    assert "Your local code" in drawn or "your local code" in drawn


def test_the_same_input_gives_the_same_page(tmp_path: Path) -> None:
    pages = []
    for name in ("one.svg", "two.svg"):
        failures(str(BAR), "-o", str(tmp_path / name))
        pages.append((tmp_path / name).read_bytes())
    assert pages[0] == pages[1]

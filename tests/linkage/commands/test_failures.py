"""``footwell failures``: its table and sentences, its outputs, its faults."""

import csv
import json
from functools import cache
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from export.shapes import Text
from linkage.commands import footwell
from linkage.last_word import FINDINGS
from linkage.loading import load
from linkage.rehearsing.rehearse import rehearse
from linkage.sheets.box import Box, text_box
from linkage.sheets.failures_picture import failures_picture

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


#: No car, no stroke, inches; its pad touches the floor as it rests.
PLAIN = """
units = "in"
[footwell]
floor = -13
[pedal.brake]
pivot = [0, 0]
pad = [-1, -12]
clevis = [0, -2]
travel = 6
[[pedal.brake.train]]
part = "cylinder"
seat = [6, -2]
axis = "forward"
bore = "1 in"
circuits = ["front", "rear"]
[circuit.front]
brake = { kind = "floating disc", piston = 2, radius = 4 }
[circuit.rear]
brake = { kind = "drum", piston = 1, radius = 4 }
"""


def written(folder: Path, text: str) -> str:
    file = folder / "brake.toml"
    file.write_text(text, encoding="utf-8")
    return str(file)


def test_a_pad_that_touches_at_rest(tmp_path: Path) -> None:
    file = written(tmp_path, PLAIN)
    picture = tmp_path / "worst.svg"
    done = failures(file, "-o", str(picture))
    assert done.exit_code == 0, done.output
    assert "nan" not in done.stdout
    rows = document(file)["failures"]
    assert {row["travel"] for row in rows} == {0.0}
    assert {row["share"] for row in rows} == {100.0}
    assert {pressure for row in rows for pressure in row["pressure"].values()} == {0.0}


def test_sizes_are_stated() -> None:
    done = failures(str(BAR), "--knocked", "1 mm", "--air", "1.5 cc")
    assert done.exit_code == 1
    text = " ".join(done.stdout.split())
    assert "each disc's pistons by 1 mm more (as stated)" in text
    assert "1.5 cc of it in each circuit (as stated)" in text


@pytest.mark.parametrize(
    ("words", "wrong"),
    [
        (["--knocked", "-1 mm"], "--knocked"),
        (["--knocked", "0.5 to 1 mm"], "--knocked"),
        (["--air", "2 lbf"], "--air"),
        (["--pedal", "clutch"], 'there is no pedal "clutch"'),
    ],
    ids=["below 0", "a range", "a force", "no such pedal"],
)
def test_a_slip_in_a_size_is_one_line(words: list[str], wrong: str) -> None:
    done = failures(str(BAR), *words)
    assert done.exit_code == 2
    assert wrong in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
    assert not done.stdout


@pytest.mark.parametrize("name", ["bar", "boosted", "manual", "plain"])
def test_words_fit_a_terminal(name: str, tmp_path: Path) -> None:
    file = ROOT / "examples" / f"brake-{name}.toml"
    text = PLAIN if name == "plain" else file.read_text(encoding="utf-8")
    long = "front-of-the-car-as-it-stands-in-the-yard-behind-the-shed"
    text = text.replace("circuit.front", f"circuit.{long}").replace(
        f"[circuit.{long}]", f'[circuit.{long}]\naxle = "front"'
    )
    text = text.replace('circuits = ["front"', f'circuits = ["{long}"')
    done = failures(written(tmp_path, text))
    assert done.exit_code in (0, 1), done.output
    assert max(map(len, done.stdout.splitlines())) <= 88


def test_a_budget_says_the_same() -> None:
    rows = {row["failure"]: row for row in document(str(BOOSTED))["failures"]}
    for options, name in (
        ((), "all well"),
        (("--dead",), "booster dead"),
        (("--lost", "rear"), "rear circuit lost"),
    ):
        words = ["budget", str(BOOSTED), "--foot", "100 lbf", "--json", *options]
        budget = json.loads(CliRunner().invoke(footwell, words).stdout)
        row = rows[name]
        for key in ("travel", "effort"):
            assert row[key] == pytest.approx(budget[key], rel=1e-9)
        assert row["deceleration"] == pytest.approx(budget["car"]["deceleration"])
        assert row["pressure"] == pytest.approx(budget["pressure"])


@pytest.mark.parametrize("name", ["bar", "boosted", "manual", "plain"])
def test_no_word_of_the_page_stands_on_another(name: str, tmp_path: Path) -> None:
    file = ROOT / "examples" / f"brake-{name}.toml"
    path = written(tmp_path, PLAIN) if name == "plain" else str(file)
    design = load(path)
    found = rehearse(design, "brake")
    drawing = failures_picture(design, found)
    texts = [item for item in drawing.items if isinstance(item, Text) and item.text]
    boxes = [text_box(text) for text in texts]
    page = Box(left=0.0, bottom=0.0, right=drawing.width, top=drawing.height)
    assert all(page.holds(box) for box in boxes)
    for (one, a), (other, b) in combinations(zip(texts, boxes, strict=True), 2):
        level = abs(one.at.imag - other.at.imag) < one.size
        assert not (level and a.meets(b)), (one.text, other.text)
    said = " ".join(text.text for text in texts)
    for each in found.outcomes:
        assert each.case.name in said


def test_the_stop_that_is_asked_has_its_part_of_the_way() -> None:
    text = " ".join(failures(str(BAR)).stdout.split())
    for row in document(str(BAR))["failures"]:
        rule = row["rule"]
        part = 100.0 * rule["travel"] / 115.0
        assert rule["share"] == pytest.approx(part)
        assert f"of pad, {part:.0f} % of its way." in text

"""``footwell show``: exit codes, faults of files, one document for programs."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from linkage.commands import footwell
from linkage.templates import TEMPLATES

ROOT = Path(__file__).parents[3]
BRAKE = TEMPLATES["hanging-brake"].text


def run(*args: str) -> Result:
    return CliRunner().invoke(footwell, ["show", *args])


@pytest.fixture(autouse=True)
def _in_a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("brake.toml").write_text(BRAKE, encoding="utf-8")


def test_it_reads_back_and_writes_nothing() -> None:
    result = run("brake.toml")
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.startswith("Quillet two-seater: brake\nbrake.toml, ")
    assert "Lay a tape on these." in result.stdout
    assert [path.name for path in Path().iterdir()] == ["brake.toml"]
    assert run("brake.toml").stdout == result.stdout


def test_several_pedals_are_all_shown_or_one() -> None:
    file = str(ROOT / "examples" / "three-on-one-shaft.toml")
    every = run(file)
    assert every.exit_code == 0
    assert every.stdout.count("Lay a tape on these.") == 3
    one = run(file, "--pedal", "clutch")
    assert one.stdout.count("Lay a tape on these.") == 1
    assert one.stdout in every.stdout
    document = json.loads(run(file, "--json").stdout)
    assert [each["pedal"] for each in document["pedals"]] == [
        "clutch",
        "brake",
        "throttle",
    ]
    document = json.loads(run(file, "--json", "--pedal", "brake").stdout)
    assert [each["pedal"] for each in document["pedals"]] == ["brake"]


def test_the_document_is_the_only_thing_on_standard_output() -> None:
    Path("brake.toml").write_text(BRAKE.replace("ahead = 7.8", "ahead = 27"))
    result = run("brake.toml", "--json")
    assert result.exit_code == 0
    assert "caution: brake.toml:17: clevis: " in result.stderr
    assert json.loads(result.stdout)["pedals"][0]["links"][0]["past_square_rest"] > 5.0


@pytest.mark.parametrize(
    ("text", "key", "says"),
    [
        (BRAKE.replace("118, up", "1 18, up"), "pivot", ""),
        (BRAKE.replace("ahead = 3,", "back = 300,"), "train 1: seat", "a sign lost"),
        (BRAKE.replace("= 206, up = 258", "= 400, up = 500"), "brake: pad", "press ="),
        (BRAKE.replace("1.1 in", "1.1 inn"), "", "inn"),
        ("", "", "no pedal"),
    ],
)
def test_faults_are_lines_for_people_and_a_list_for_programs(
    text: str, key: str, says: str
) -> None:
    Path("brake.toml").write_text(text)
    for more in ([], ["--json"]):
        result = run("brake.toml", *more)
        assert result.exit_code == 2
        assert says in result.stderr
        assert "Traceback" not in result.stderr
        if not more:
            assert result.stdout == ""
            continue
        faults = json.loads(result.stdout)["faults"]
        assert len(faults) == len(result.stderr.splitlines())
        assert any(key in fault["key"] for fault in faults)


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (["missing.toml"], "there is no such file."),
        (["."], "is a folder."),
        (["brake.toml", "--pedal", "clutch"], "This file has: brake."),
        (["brak.toml"], "Nearest: brake.toml."),
    ],
)
def test_a_bad_call_is_one_line(args: list[str], says: str) -> None:
    result = run(*args)
    assert (result.exit_code, result.stdout) == (2, "")
    assert len(result.stderr.splitlines()) == 1
    assert says in result.stderr


@pytest.mark.parametrize("args", [[], ["brake.toml", "-x"], ["brake.toml", "b.toml"]])
def test_bad_usage_is_exit_2(args: list[str]) -> None:
    result = run(*args)
    assert (result.exit_code, result.stdout) == (2, "")
    assert len(result.stderr.splitlines()) == 1
    assert "--help lists what there is." in result.stderr


def test_a_real_process_in_a_plain_terminal() -> None:
    """A terminal that cannot show a sign gets every line all the same."""
    text = BRAKE.replace("Quillet two-seater", "Größe →")
    Path("brake.toml").write_text(text, encoding="utf-8")
    env = os.environ | {"PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "latin-1"}
    done = subprocess.run(
        [sys.executable, "-m", "linkage", "show", "brake.toml"],
        capture_output=True,
        check=True,
        env=env,
    )
    assert b"Lay a tape on these." in done.stdout
    assert "Größe ?" in done.stdout.decode("latin-1")
    assert done.stderr == b""

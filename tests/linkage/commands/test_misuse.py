"""Calls that the command line cannot use: one line, exit 2, a document with --json."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from linkage.commands import footwell

ROOT = Path(__file__).resolve().parents[3]
BRAKE = str(ROOT / "examples/brake-hanging.toml")

BAD = [
    (["sweep", "--positons", "3", BRAKE], "footwell sweep", "--positons"),
    (["sweep"], "footwell sweep", "FILE is missing"),
    (["sweep", BRAKE, "more.toml"], "footwell sweep", "more.toml"),
    (["sweep", BRAKE, "--positions", "x"], "--positions", "'x'"),
    (["cut", BRAKE, "-o", "a.dxf", "--form", "r13"], "--form", "r13"),
    (["cut", BRAKE, "--pedal"], "footwell", "--pedal"),
    (["nosuch"], "footwell", "nosuch"),
    (["--nosuch"], "footwell", "--nosuch"),
]


@pytest.mark.parametrize(("args", "key", "says"), BAD)
def test_with_json_bad_usage_is_a_document(
    args: list[str], key: str, says: str
) -> None:
    result = CliRunner().invoke(footwell, [args[0], "--json", *args[1:]])
    assert result.exit_code == 2
    (fault,) = json.loads(result.stdout)["faults"]
    assert set(fault) == {"file", "line", "key", "wrong", "right"}
    assert fault["key"] == key
    assert fault["line"] is None
    assert says in fault["wrong"]
    assert fault["right"].endswith("--help lists what there is.")
    (line,) = result.stderr.splitlines()
    assert line == f"{key}: {fault['wrong']} {fault['right']}"


@pytest.mark.parametrize(
    ("args", "lines"),
    [
        (["show", "no-such-file.toml"], [None]),
        (["show", "examples"], [None]),
        (["show", BRAKE, "--pedal", "brak"], [None]),
        (["sweep", BRAKE, "--at", "x"], [None]),
        (["effort", BRAKE, "--foot", "5 mm"], [None]),
        (["place", BRAKE, "--mark", "x"], [None]),
        (["show", "BROKEN"], [4, 6]),
    ],
)
def test_a_line_that_is_not_known_is_null(
    args: list[str], lines: list[int | None], tmp_path: Path
) -> None:
    broken = tmp_path / "broken.toml"
    broken.write_text("\n\n[pedal.brake]\npivot = 1\npad = [1, 2]\ntravel = true\n")
    args = [str(broken) if word == "BROKEN" else word for word in args]
    result = CliRunner().invoke(footwell, [*args, "--json"])
    assert result.exit_code == 2
    assert [each["line"] for each in json.loads(result.stdout)["faults"]] == lines
    assert ":0" not in result.stderr


def test_the_nearest_option_is_named() -> None:
    result = CliRunner().invoke(footwell, ["sweep", BRAKE, "--positons", "3"])
    assert result.stdout == ""
    assert "Nearest: --positions." in result.stderr


def test_a_version_is_said_with_and_without_an_installation() -> None:
    """From a bare tree there is no record of a version: that is said, in one line."""
    bare = (
        "import importlib.metadata as m\n"
        "def none(name): raise m.PackageNotFoundError(name)\n"
        "m.version = none\n"
        "import sys; sys.argv = ['footwell', '--version']\n"
        "from linkage.commands import main; main()\n"
    )
    run = subprocess.run(
        [sys.executable, "-c", bare], cwd=ROOT, capture_output=True, text=True
    )
    assert (run.returncode, run.stderr) == (0, "")
    (line,) = run.stdout.splitlines()
    assert line.startswith("footwell, not installed")


def test_an_installed_version_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("importlib.metadata.version", lambda name: f"9.8 of {name}")
    result = CliRunner().invoke(footwell, ["--version"])
    assert (result.exit_code, result.output) == (0, "footwell 9.8 of footwell\n")


def test_a_file_that_may_not_be_read_is_named(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Whoever runs the tests may read all: so opening is made to refuse."""

    def refuse(self: Path, *_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied", str(self))

    monkeypatch.setattr("os.access", lambda *_, **__: False)
    monkeypatch.setattr(Path, "open", refuse)
    result = CliRunner().invoke(footwell, ["show", BRAKE, "--json"])
    assert result.exit_code == 2
    (fault,) = json.loads(result.stdout)["faults"]
    assert fault["file"] == BRAKE
    assert fault["key"] == ""


@pytest.mark.parametrize(("typed", "near"), [("shwo", "show"), ("Sweep", "sweep")])
def test_a_command_that_is_misspelt_is_told_the_nearest(typed: str, near: str) -> None:
    result = CliRunner().invoke(footwell, [typed, BRAKE])
    assert result.exit_code == 2
    assert f"there is no command {typed}. Nearest: {near}." in result.stderr
    assert "Nearest" not in CliRunner().invoke(footwell, ["zzzz"]).stderr

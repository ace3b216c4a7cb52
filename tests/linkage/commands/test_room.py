"""An output that cannot be put is refused before anything is told or worked out."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from linkage.commands import footwell
from tests.documents import ROOT

EXAMPLE = ROOT / "examples" / "brake-to-place.toml"
PLACED = ROOT / "examples" / "brake-hanging.toml"
CALLS = [
    ("sweep", "taken.csv"),
    ("effort", "taken.csv"),
    ("cut", "taken.dxf"),
    ("place", "taken.toml"),
]


@pytest.mark.parametrize(("name", "output"), CALLS)
def test_one_document_says_why(name: str, output: str, tmp_path: Path) -> None:
    out = tmp_path / output
    out.write_text("mine")
    words = [name, str(EXAMPLE), "--json", "-o", str(out)]
    result = CliRunner().invoke(footwell, words)
    assert result.exit_code == 2
    (fault,) = json.loads(result.stdout)["faults"]
    assert fault["file"] == str(out)
    assert fault["wrong"] == "exists already."
    assert out.read_text() == "mine"


@pytest.mark.parametrize(
    ("words", "output", "told"),
    [
        (("pattern", str(PLACED), "--paper", "letter"), "a.pdf", {"paper": "letter"}),
        (("new", "clutch"), "c.toml", {"kind": "clutch"}),
    ],
)
def test_what_was_written_is_one_document(
    words: tuple[str, ...], output: str, told: dict[str, str], tmp_path: Path
) -> None:
    out = tmp_path / output
    result = CliRunner().invoke(footwell, [*words, "--json", "-o", str(out)])
    assert result.exit_code == 0, result.output
    document = json.loads(result.stdout)
    assert document["written"] == [str(out)]
    assert document.items() >= told.items()
    assert out.stat().st_size > 100


def test_a_program_is_not_asked(tmp_path: Path) -> None:
    words = ["new", "clutch", "--ask", "--json", "-o", str(tmp_path / "c.toml")]
    result = CliRunner().invoke(footwell, words)
    assert result.exit_code == 2
    assert json.loads(result.stdout)["faults"][0]["key"] == "new --ask"
    assert not list(tmp_path.iterdir())

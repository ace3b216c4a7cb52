"""An output that cannot be put is refused before anything is told or worked out."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from linkage.commands import footwell
from tests.documents import ROOT

EXAMPLE = ROOT / "examples" / "brake-to-place.toml"
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

"""A CSV table says which design it is of, and stays a table for every reader."""

import csv
import io
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result

from linkage.commands import footwell
from linkage.loading import load
from linkage.sheets.stamp import stamp_of
from linkage.sweeping import sweep
from linkage.writing import write
from tests.documents import ROOT

TEXT = (ROOT / "examples" / "brake-hanging.toml").read_text()
COMMANDS = ("sweep", "effort")


@pytest.fixture
def brake(tmp_path: Path) -> Path:
    file = tmp_path / "brake.toml"
    file.write_text(TEXT)
    return file


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(footwell, [str(word) for word in words])


def table(command: str, brake: Path) -> str:
    out = brake.with_name(f"{command}.csv")
    assert run(command, brake, "-o", out).exit_code == 0
    return out.read_bytes().decode()


@pytest.mark.parametrize("command", COMMANDS)
def test_it_says_file_date_and_fingerprint(command: str, brake: Path) -> None:
    rows = list(csv.DictReader(io.StringIO(table(command, brake), newline="")))
    stamp = stamp_of(load(brake))
    assert [row["design"] for row in rows if row["design"]] == [stamp.mark]
    assert rows[0]["design"] == stamp.mark
    assert all(
        part in stamp.mark for part in ("brake.toml", stamp.date, stamp.fingerprint)
    )


@pytest.mark.parametrize("command", COMMANDS)
def test_every_line_is_a_row_of_the_same_cells(command: str, brake: Path) -> None:
    """RFC 4180, 2.4: each line should contain the same number of fields."""
    head, *rows = csv.reader(io.StringIO(table(command, brake), newline=""))
    assert {len(row) for row in rows} == {len(head)}
    assert head[0] == "travel, mm"
    assert head[-1] == "design"
    assert all(float(cell) == float(cell) for row in rows for cell in row[:-1])


def test_plain_readers_of_numbers_take_it(brake: Path) -> None:
    """NumPy's two readers know no quotes and no words: they skip the head."""
    text = table("sweep", brake)
    wanted = sweep(load(brake), "brake")
    names = list(wanted.columns)
    numbers = np.genfromtxt(io.StringIO(text), delimiter=",", skip_header=1)
    assert numbers.shape == (len(wanted["travel"]), len(names) + 1)
    assert np.isnan(numbers[:, -1]).all()
    strict = np.loadtxt(
        io.StringIO(text), delimiter=",", skiprows=1, usecols=range(len(names))
    )
    for i, name in enumerate(names):
        assert np.array_equal(numbers[:, i], wanted[name])
        assert np.array_equal(strict[:, i], wanted[name])


@pytest.mark.parametrize("command", COMMANDS)
def test_the_same_design_may_write_over_it(command: str, brake: Path) -> None:
    first = table(command, brake)
    brake.write_text(TEXT.replace("travel = 150", "travel = 140"))
    assert table(command, brake) != first
    other = brake.with_name("other.toml")
    other.write_text(TEXT)
    out = brake.with_name(f"{command}.csv")
    kept = out.read_bytes()
    result = run(command, other, "-o", out)
    assert result.exit_code == 2
    assert "exists already" in result.stderr
    assert out.read_bytes() == kept


def test_from_python_as_well(brake: Path) -> None:
    out = brake.with_name("table.csv")
    for _ in range(2):
        write(load(brake), out)
    assert stamp_of(load(brake)).mark in out.read_text()
    out.write_text("mine")
    with pytest.raises(OSError, match="exists already"):
        write(load(brake), out)

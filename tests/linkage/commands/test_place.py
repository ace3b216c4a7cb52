"""``footwell place``: what it writes is the file, filled in, and else the same bytes."""

from pathlib import Path

from click.testing import CliRunner

from linkage.commands import footwell
from linkage.loading import load
from linkage.sheets.stamp import stamp_of
from tests.linkage.design.samples import BRAKE

MARK = b"\xef\xbb\xbf"
QUESTION = BRAKE.replace("travel = 120", 'travel = "100 to 150"')


def placed(file: Path, out: Path) -> bytes:
    done = CliRunner().invoke(footwell, ["place", str(file), "-o", str(out)])
    assert done.exit_code == 0, done.output
    return out.read_bytes()


def test_a_byte_order_mark_is_written_back(tmp_path: Path) -> None:
    """As the same file without one is filled in, the mark and the line ends apart."""
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    bare, marked = tmp_path / "a" / "brake.toml", tmp_path / "b" / "brake.toml"
    bare.write_bytes(QUESTION.encode())
    marked.write_bytes(MARK + QUESTION.replace("\n", "\r\n").encode())
    plain = placed(bare, tmp_path / "plain.toml")
    found = placed(marked, tmp_path / "found.toml")
    assert b'"100 to 150"' not in plain
    assert found == MARK + plain.replace(b"\n", b"\r\n")
    before, after = QUESTION.splitlines(), plain.decode().splitlines()
    assert sum(a != b for a, b in zip(before, after, strict=True)) == 1


def test_a_byte_order_mark_changes_no_line_and_no_fingerprint(tmp_path: Path) -> None:
    bare, marked = tmp_path / "bare.toml", tmp_path / "marked.toml"
    bare.write_bytes(QUESTION.encode())
    marked.write_bytes(MARK + QUESTION.encode())
    prints = {stamp_of(load(file)).fingerprint for file in (bare, marked)}
    assert len(prints) == 1
    lines = [
        {path: value.line for path, value in load(file).values.items()}
        for file in (bare, marked)
    ]
    assert lines[0] == lines[1]


def test_every_pedal_with_nothing_free_is_named() -> None:
    done = CliRunner().invoke(footwell, ["place", "examples/three-on-one-shaft.toml"])
    assert done.exit_code == 2
    keys = [line.split(": ")[1] for line in done.stderr.splitlines()]
    assert keys == ["pedal.clutch", "pedal.brake", "pedal.throttle"]
    assert done.stderr.count("nothing in it is free") == 3

"""``footwell place``: what it writes is the file, filled in, and else the same bytes."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from linkage.commands import footwell
from linkage.loading import load
from linkage.sheets.stamp import stamp_of
from linkage.units import INCH
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


def _marked(folder: Path, text: str, mark: str) -> tuple[int, str, str]:
    """Return the exit code, what was told, and what was written."""
    file, out = folder / "brake.toml", folder / "found.toml"
    file.write_text(text)
    words = ["place", str(file), "--mark", mark, "-o", str(out)]
    done = CliRunner().invoke(footwell, words)
    return done.exit_code, done.output, out.read_text() if out.exists() else ""


def in_inches(travel: str) -> str:
    text = BRAKE.replace('units = "mm"', 'units = "in"')
    for size in ("120", "545", "35", "255", "106", "484.5", "233", "487", "24"):
        text = re.sub(rf"(?<=[ \[]){size}(?=[],\n])", f'"{size} mm"', text)
    text = text.replace("0.5\n", '"0.5 mm"\n').replace("0.2\n", '"3 mm"\n')
    return text.replace('travel = "120 mm"', f"travel = {travel}")


@pytest.mark.parametrize("mark", ["1/8", "1/8 in", "0.125"])
def test_a_bare_step_is_in_the_units_of_the_file(mark: str, tmp_path: Path) -> None:
    code, told, text = _marked(tmp_path, in_inches('"4 to 6"'), mark)
    assert code == 0, told
    travel = load(tmp_path / "found.toml").values["brake.travel"].nominal / INCH
    assert travel * 8 % 1.0 == pytest.approx(0.0, abs=1e-9)
    assert re.search(r'travel = (\d|"\d \d/\d")\n', text), text


def test_what_is_marked_out_stays_decimal_where_the_file_is(tmp_path: Path) -> None:
    code, told, text = _marked(tmp_path, in_inches('"4.05 to 6.05"'), "1/8")
    assert code == 0, told
    assert re.search(r"travel = \d(\.\d+)?\n", text), text


@pytest.mark.parametrize(
    ("mark", "says"),
    [
        ("1", '"1" is 1 in, and a step is more than 0, up to 0.394 in.'),
        ("0", '"0" is 0 in, and a step'),
        ("1/8 to 1/4", '"1/8 to 1/4" is no single step.'),
        ("x", '"x" is no step.'),
    ],
)
def test_what_is_no_step_is_told_as_typed_and_in_inches(
    mark: str, says: str, tmp_path: Path
) -> None:
    code, told, _ = _marked(tmp_path, in_inches('"4 to 6"'), mark)
    assert code == 2
    assert says in told
    assert '--mark "1/16 in"' in told
    assert "mm" not in told

"""Faults: every one says what would be right, wherever in the program it is raised."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from linkage.commands import footwell
from linkage.cutting.check import Verdict
from linkage.faults import DesignError
from linkage.loading import load, load_text
from linkage.writing import write
from tests.linkage.design.samples import BRAKE

ROOT = Path(__file__).resolve().parents[2]


def calls(name: str) -> Iterator[tuple[str, ast.Call]]:
    """Return every call of a function or record of that name in the trunk."""
    for path in sorted((ROOT / "linkage").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == name:
                yield f"{path.name}:{node.lineno}", node


def test_every_fault_is_built_with_what_would_be_right() -> None:
    found = list(calls("Fault"))
    assert len(found) > 30
    bare = []
    for where, call in found:
        given = {word.arg: word.value for word in call.keywords}
        if None in given:  # a mapping, made beside it
            continue
        right = given.get("right")
        if right is None or (isinstance(right, ast.Constant) and not right.value):
            bare.append(where)
    assert bare == []


TWO_POINTS = "[footwell]\nfloor = {}\n[point]\nshaft = [120, 545]\n"


@pytest.mark.parametrize(
    "ends",
    [
        "[[0, 0], [0, 0]]",
        "[[0, 0], { back = 0, up = 0 }]",
        '["shaft", [120, 545]]',
        '["shaft", { from = "shaft", up = 0 }]',
    ],
)
def test_one_point_gives_no_floor_and_no_bulkhead(ends: str) -> None:
    for key in ("floor", "bulkhead"):
        with pytest.raises(DesignError) as refusal:
            load_text(BRAKE + TWO_POINTS.format(ends).replace("floor", key), "x.toml")
        (fault,) = refusal.value.faults
        assert fault.line == BRAKE.count("\n") + 2
        assert fault.key == f"footwell.{key}"
        assert f"Write {key} = [[" in fault.right


def test_two_points_give_a_floor_though_one_of_their_numbers_is_shared() -> None:
    design = load_text(BRAKE + TWO_POINTS.format("[[0, 0], [300, 0]]"))
    assert isinstance(design.footwell.floor, tuple)


def test_a_cut_file_that_fails_says_what_would_be_right(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bad = Verdict(name="closed", ok=False, sentence="it gapes by 0.2")
    monkeypatch.setattr("linkage.cutting.job.check_cut", lambda *_: (bad,))
    with pytest.raises(DesignError) as refusal:
        write(load_text(BRAKE), tmp_path / "arm.dxf")
    (fault,) = refusal.value.faults
    assert (fault.key, fault.wrong) == ("closed", "it gapes by 0.2")
    assert "change the arm's points" in fault.right
    assert not (tmp_path / "arm.dxf").exists()


def test_the_command_and_the_library_write_the_same_bytes(tmp_path: Path) -> None:
    file = tmp_path / "brake.toml"
    file.write_text(BRAKE)
    ours, theirs = tmp_path / "a" / "arm.dxf", tmp_path / "b" / "arm.dxf"
    ours.parent.mkdir()
    theirs.parent.mkdir()
    write(load(file), ours, form="r2010", units="in")
    words = ["cut", str(file), "-o", str(theirs), "--form", "r2010", "--units", "in"]
    assert CliRunner().invoke(footwell, words).exit_code == 0
    assert ours.read_bytes() == theirs.read_bytes()

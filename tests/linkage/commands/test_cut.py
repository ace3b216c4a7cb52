"""Cut and pattern as commands: files whole or not at all, faults in one line."""

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import pymupdf
import pytest
from click.testing import CliRunner, Result

from export.dxf import dxf_bytes
from linkage.commands import footwell
from linkage.cutting import job
from tests.linkage.commands.test_sweep import BRAKE


def _run(*arguments: object) -> Result:
    return CliRunner().invoke(footwell, [str(each) for each in arguments])


@pytest.fixture
def brake(tmp_path: Path) -> Path:
    path = tmp_path / "brake.toml"
    path.write_text(BRAKE)
    return path


@pytest.mark.parametrize("form", ["r12", "r2010", "pieces"])
@pytest.mark.parametrize(("unit", "code"), [("mm", 4), ("in", 1)])
def test_cut_is_read_by_another_program(
    brake: Path, form: str, unit: str, code: int
) -> None:
    out = brake.with_suffix(".dxf")
    result = _run("cut", brake, "-o", out, "--form", form, "--units", unit)
    assert result.exit_code == 0, result.output
    assert "NOT CHECKED: strength" in result.stdout
    document = ezdxf.readfile(out)
    assert not document.audit().errors
    assert document.header["$INSUNITS"] == code


def test_cut_tells_the_same_in_json(brake: Path) -> None:
    out = brake.with_suffix(".dxf")
    told = json.loads(_run("cut", brake, "-o", out, "--json").stdout)
    assert all(check["ok"] for check in told["checks"])
    reach = {hole["name"]: hole["from_pivot"] for hole in told["holes"]}
    assert reach["clevis"] == pytest.approx(abs(complex(14, 60.5)))


def test_cut_refuses_what_is_still_free(brake: Path) -> None:
    brake.write_text(BRAKE.replace("[106, 484.5]", '["100 to 110", 484.5]'))
    out = brake.with_suffix(".dxf")
    result = _run("cut", brake, "-o", out)
    assert result.exit_code == 2
    assert "still free" in result.stderr
    assert "brake.toml:6" in result.stderr
    assert not out.exists()


def test_cut_never_writes_over_a_strangers_file(brake: Path) -> None:
    out = brake.with_suffix(".dxf")
    out.write_text("a week's work")
    assert _run("cut", brake, "-o", out).exit_code == 2
    assert out.read_text() == "a week's work"


def test_cut_without_a_name_says_what_to_type(brake: Path) -> None:
    result = _run("cut", brake)
    assert result.exit_code == 2
    assert "Add -o" in result.stderr


@pytest.mark.parametrize(
    ("paper", "size"), [("a4", (595, 842)), ("letter", (612, 792))]
)
def test_pattern_sheets(brake: Path, paper: str, size: tuple[int, int]) -> None:
    out = brake.with_suffix(".pdf")
    result = _run("pattern", brake, "-o", out, "--paper", paper)
    assert result.exit_code == 0, result.output
    document = pymupdf.open(out)
    assert document.page_count == 2
    box = document[0].rect
    assert (round(box.width), round(box.height)) == size


def test_several_pedals_need_a_name(brake: Path) -> None:
    brake.write_text(BRAKE + BRAKE.split("\n", 2)[2].replace("brake", "clutch"))
    result = _run("cut", brake, "-o", brake.with_suffix(".dxf"))
    assert result.exit_code == 2
    assert "--pedal brake or --pedal clutch" in result.stderr
    out = brake.with_suffix(".dxf")
    assert _run("cut", brake, "-o", out, "--pedal", "clutch").exit_code == 0


def test_a_cut_file_and_a_pattern_are_never_replaced_unasked(brake: Path) -> None:
    """Not even their own: the shop may have the old one."""
    for command, ending in (("cut", ".dxf"), ("pattern", ".pdf")):
        out = brake.with_suffix(ending)
        assert _run(command, brake, "-o", out).exit_code == 0
        assert _run(command, brake, "-o", out).exit_code == 2
        assert _run(command, brake, "-o", out, "--force").exit_code == 0


def test_the_plate_that_was_not_given_is_said_to_be_a_guess(brake: Path) -> None:
    result = _run("cut", brake, "-o", brake.with_suffix(".dxf"))
    assert "plate 8" in result.stdout
    assert "material steel" in result.stdout
    assert "bore of pivot" in result.stdout


def _thicker(data: bytes) -> bytes:
    """Every circle half a millimetre larger across."""
    return re.sub(
        rb"(CIRCLE(?:\r?\n.*?){,40}?\n *40\r?\n) *([\d.]+)",
        lambda found: found[1] + b"%.6f" % (float(found[2]) + 0.25),
        data,
    )


SPOILT: dict[str, Callable[[bytes], bytes]] = {
    "cut off": lambda data: data[: len(data) * 2 // 3],
    "without its end": lambda data: data.replace(b"EOF", b""),
    "a circle lost": lambda data: data.replace(b"CIRCLE", b"POINT", 1),
    "holes too large": _thicker,
    "another layer": lambda data: data.replace(b"\ncut", b"\nmark"),
}


@pytest.mark.parametrize("form", ["r12", "r2010", "pieces"])
@pytest.mark.parametrize("name", SPOILT)
def test_bytes_that_are_not_what_was_meant_are_never_written(
    brake: Path, monkeypatch: pytest.MonkeyPatch, name: str, form: str
) -> None:
    """The judge sees spoilt bytes, not a forged verdict: exit 1, nothing there."""
    real = dxf_bytes

    def spoil(*args: Any, **more: Any) -> bytes:
        good = real(*args, **more)
        bad = SPOILT[name](good)
        assert bad != good
        return bad

    out = brake.with_suffix(".dxf")
    for old in (None, b"a week's work"):
        if old is not None:
            out.write_bytes(old)
        with monkeypatch.context() as patch:
            patch.setattr(job, "dxf_bytes", spoil)
            result = _run("cut", brake, "-o", out, "--form", form, "--force")
        assert result.exit_code == 1, result.output
        assert "Nothing was written" in result.stderr
        assert (out.read_bytes() if out.exists() else None) == old
    assert sorted(p.name for p in brake.parent.iterdir()) == ["brake.dxf", "brake.toml"]

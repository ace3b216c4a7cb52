"""A text on the page is usable exactly where the command line takes it."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from linkage.commands import footwell
from linkage.page.document import read

ROOT = Path(__file__).parents[3]
BRAKE = (ROOT / "examples" / "brake-hanging.toml").read_text(encoding="utf-8")
LEVEL = BRAKE.replace("pad = { back = 207, up = 262", "pad = { back = 407, up = 548")


@pytest.mark.parametrize(
    "text",
    [BRAKE, LEVEL, BRAKE.replace("[pedal.brake]", "[pedal.brake]\nodd = 3"), "", "x"],
    ids=["sound", "level pad", "unknown key", "empty", "no TOML"],
)
def test_it_has_the_faults_that_the_command_line_tells(
    text: str, tmp_path: Path
) -> None:
    file = tmp_path / "brake.toml"
    file.write_text(text, encoding="utf-8", newline="")
    told = CliRunner().invoke(footwell, ["show", str(file)])
    document = read(text, str(file))
    assert (document.design is None) == (told.exit_code == 2)
    lines = [line for line in told.stderr.splitlines() if "caution" not in line]
    assert [str(fault) for fault in document.faults] == lines


def test_a_level_pad_is_one_of_them() -> None:
    assert read(BRAKE, "x").faults == ()
    pad, side = read(LEVEL, "x").faults
    assert "press" in pad.right
    assert side.right == "Write up or down."

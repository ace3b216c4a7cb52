"""Every command on what cannot stand, move or be drawn: a clear end, never a fault of
the program's own, and no nan anywhere."""

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from linkage.commands import footwell
from linkage.loading import load_text
from linkage.motion.rest import at_rest
from linkage.motion.run import move
from linkage.places import Places
from tests.linkage.commands.test_sweep import BRAKE

TRAIN = BRAKE.partition("[[pedal.brake.train]]")
LEVER = (
    TRAIN[0]
    + """
[[pedal.brake.train]]
part = "lever"
pivot = [260, 430]
input = %s
"""
)
CABLE = (
    TRAIN[0]
    + """
[[pedal.brake.train]]
part = "cable"
ferrule = %s
"""
)
FILES = {
    "no train": TRAIN[0],
    "rod too short": BRAKE.replace("seat = [233, 487]", "on = [180, 587]\nrod = 90"),
    "lever out of reach": LEVER % "[252, 488]\nrod = 300",
    "lever driven where it stands": LEVER % '"clevis"',
    "lever without an arm": LEVER % '"own pivot"',
    "ferrule in the hole": CABLE % '"clevis"',
    "seat in the hole": BRAKE.replace("[233, 487]", '"clevis"'),
    "pad on its pivot": BRAKE.replace("[35, 255]", "[120, 545]"),
    "hole on its pivot": BRAKE.replace("[106, 484.5]", "[120, 545]"),
    "driven the wrong way": BRAKE.replace("[233, 487]", "[112, 524.5]"),
    "far beyond": BRAKE.replace("travel = 120", "full = { back = 58 }"),
}
COMMANDS = (
    ("show",),
    ("show", "--json"),
    ("sweep",),
    ("sweep", "--json"),
    ("sweep", "--working"),
    ("sweep", "-o", "out.png"),
    ("sweep", "-o", "out.csv"),
    ("place", "--json"),
    ("cut", "-o", "out.dxf"),
    ("pattern", "-o", "out.pdf"),
)


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_no_command_breaks(
    name: str, words: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("pedal.toml").write_text(FILES[name])
    result = CliRunner().invoke(footwell, [words[0], "pedal.toml", *words[1:]])
    assert result.exit_code in (0, 1, 2), result.output
    told = result.output.lower()
    assert "nan" not in told
    assert "warning" not in told
    if "--json" in words and result.stdout.strip():
        json.loads(result.stdout)


def test_the_first_motion_is_that_of_the_sweep() -> None:
    """The rate by which a lost sign is judged, against the motion itself."""
    rng = np.random.default_rng(12)
    for _ in range(200):
        x, z = rng.uniform(60, 110), rng.uniform(460, 530)
        up = rng.uniform(440, 560)
        design = load_text(
            BRAKE.replace("[106, 484.5]", f"[{x!r}, {z!r}]").replace(
                "[233, 487]", f"[{x + 90!r}, {up!r}]"
            )
        )
        rest = at_rest(Places(design), design.pedals["brake"])
        first = float(np.ravel(move(rest, np.zeros(1)).last.end().t)[0])
        assert float(rest.parts[0].rate) == pytest.approx(first, rel=1e-12, abs=1e-15)

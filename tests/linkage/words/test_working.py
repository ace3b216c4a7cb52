"""The working by hand: every result follows from its line, and both roads meet."""

import re
from pathlib import Path

import pytest

from linkage.loading import load
from linkage.words.working import working_text

EXAMPLES = sorted(Path("examples").glob("*.toml"))


def _last_number(line: str) -> float:
    return float(re.findall(r"-?\d+(?:\.\d+)?", line)[-1])


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_perpendiculars_give_the_exact_ratio(path: Path) -> None:
    design = load(path)
    for pedal in design.pedals:
        lines = working_text(design, pedal).splitlines()
        by_hand, exact = _last_number(lines[-2]), _last_number(lines[-1])
        assert by_hand == pytest.approx(exact, abs=2e-6)


def test_every_sum_can_be_followed() -> None:
    """Work out the text between the equals signs and get the result that stands."""
    design = load("examples/brake-hanging.toml")
    text = working_text(design, next(iter(design.pedals)), at=[0.0, 40.0])
    sums = re.findall(
        r"^ +sqrt.*\n +(?:\w+ )?= sqrt\((.*)\) = ([\d.]+) mm", text, re.MULTILINE
    )
    plain = re.findall(
        r"^ +R = sqrt.*\n +(?:\w+ )?= sqrt\((.*)\) = ([\d.]+) mm", text, re.MULTILINE
    )
    checked = 0
    for inside, result in sums + plain:
        squares = [float(x) ** 2 for x in re.findall(r"\((-?[\d.]+)\)\^2", inside)]
        assert sum(squares) ** 0.5 == pytest.approx(float(result), abs=2e-5)
        checked += 1
    assert checked >= 1
    assert text.count("After") == 2

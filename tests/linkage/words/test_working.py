"""The working by hand: every result follows from its line, and both roads meet."""

import itertools
import math
import re
from pathlib import Path
from typing import Any

import pytest

from linkage.loading import load, load_text
from linkage.sweeping import sweep
from linkage.words.worked_symbols import SYMBOLS
from linkage.words.working import working_text
from tests.linkage.motion.test_bars import cases
from tests.linkage.roads import every_train, good_trains

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


CALCULATOR: dict[str, Any] = {
    "cos": lambda a: math.cos(math.radians(a)),
    "sin": lambda a: math.sin(math.radians(a)),
    "tan": lambda a: math.tan(math.radians(a)),
    "acos": lambda x: math.degrees(math.acos(x)),
    "asin": lambda x: math.degrees(math.asin(x)),
    "atan2": lambda y, x: math.degrees(math.atan2(y, x)),
    "sqrt": math.sqrt,
    "max": max,
    "abs": abs,
}
FUNCTIONS = {*CALCULATOR, "in", "deg", "and", "of", "each", "part", "before", "the"}


def sums(text: str) -> list[tuple[str, str, float]]:
    """Return every formula with the numbers put in and the result that stands."""
    lines = text.splitlines()
    found = []
    for formula, put in itertools.pairwise(lines):
        if put.startswith("      = "):
            numbers, result = put.strip()[2:].rsplit(" = ", 1)
            found.append((formula.strip(), numbers, float(result.split()[0])))
    return found


@every_train
def test_every_formula_gives_its_result_on_a_calculator(kinds: tuple[str, ...]) -> None:
    """Set to degrees, the printed numbers typed in; by every kind of train."""
    for train, _ in good_trains(kinds, 2):
        text = working_text(load_text(train.toml()), "brake", at=[0.6 * train.travel])
        worked = sums(text)
        assert len(worked) >= 4
        for formula, put, result in worked:
            typed = re.sub(r"\|(.*?)\|", r"abs(\1)", put)
            typed = typed.replace("^", "**").replace(" deg", "")
            got = eval(typed, {"__builtins__": {}}, CALCULATOR)  # noqa: S307 - our own
            assert got == pytest.approx(result, rel=1e-4, abs=2e-4), formula


@every_train
def test_each_letter_means_one_thing_and_is_explained_once(
    kinds: tuple[str, ...],
) -> None:
    """A letter is worked out once a part, or stands in the list above: not in both."""
    ((train, _),) = good_trains(kinds, 1)
    text = working_text(load_text(train.toml()), "brake", at=[train.travel])
    head, _, body = text.partition("\n\n")
    listed = [
        word
        for letters in SYMBOLS
        if f"  {letters:<13} " in head
        for word in letters.split(", ")
    ]
    assert len(set(listed)) == len(listed)
    known = {*listed, "travel", "pad", "pivot", "x", "z", "R"}
    for block in body.split("\n\n"):
        worked = [
            formula.split(" = ")[0] for formula, _, _ in sums(block) if " = " in formula
        ]
        assert len(set(worked)) == len(worked)
        assert not set(worked) & set(listed) - {"turn"}
        for formula, _, _ in sums(block):
            words = set(re.findall(r"[A-Za-z_]+[0-9]?", formula)) - FUNCTIONS
            if formula.startswith(("ratio", "rate")):  # of all parts together
                words -= {"ratio", "rate", "h", "q", "lean", "drum"}
            assert words <= known | set(worked) | {"rad"}, formula


def test_a_bar_is_worked_out_through_both_its_rods() -> None:
    """By perpendiculars, rod by rod, as on paper: the sweep's own derivative."""
    text, _, _ = cases(1)[0]
    design = load_text(text)
    lines = working_text(design, "brake", [60.0]).splitlines()
    at = next(i for i, line in enumerate(lines) if "ratio of the bar's bearing" in line)
    worked = float(lines[at + 2].rpartition("=")[2])
    run = sweep(design, "brake", at=[60.0])
    assert worked == pytest.approx(float(run["ratio"][0]), abs=2e-6)
    for name in ("front", "rear"):
        at = next(i for i, line in enumerate(lines) if f"{name} ratio, by" in line)
        own = float(lines[at + 2].rpartition("=")[2])
        assert own == pytest.approx(float(run[f"{name}_ratio"][0]), abs=2e-6)

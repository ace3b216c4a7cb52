"""Limits and ends from what a run has seen, against those looked for from nothing."""

from itertools import starmap
from pathlib import Path

import numpy as np
import pytest

from linkage.loading import load
from linkage.motion.ends import End, Limit, find_ends, find_limit
from linkage.motion.run import move
from linkage.sweeping import standing

EXAMPLES = Path(__file__).parents[3] / "examples"
FILES = sorted(EXAMPLES.glob("*.toml"))
Told = list[tuple[str, float]]
#: Travels to look along, mm: within what is built, and past it.
REACHES = (20.0, 70.0, 150.0, 400.0, 900.0)


def told(limit: Limit | None, ends: tuple[End, ...]) -> Told:
    """Return what was found, in order."""
    found = [(end.what, end.travel) for end in ends]
    return [*found, *([(limit.kind, limit.travel)] if limit else [])]


def both(file: Path, pedal: str, upto: float) -> tuple[Told, Told]:
    """Return what is found with a run at hand, and without."""
    rest = standing(load(file), pedal)
    with np.errstate(divide="ignore", invalid="ignore"):
        seen = move(rest, np.linspace(0.0, upto, 101))
    ways = [(rest, upto, seen), (rest, upto)]
    limits, ends = starmap(find_limit, ways), starmap(find_ends, ways)
    quick, plain = starmap(told, zip(limits, ends, strict=True))
    return quick, plain


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_what_a_run_has_seen_leaves_nothing_out(file: Path) -> None:
    found = 0
    for pedal in load(file).pedals:
        for upto in REACHES:
            quick, plain = both(file, pedal, upto)
            assert quick == plain
            found += len(plain)
    assert found > 0

"""Random trains that are good enough to build, swept by the closed forms."""

from collections.abc import Iterator
from itertools import count
from typing import Any

import numpy as np
import pytest

from linkage.loading import load_text
from linkage.motion.run import Run
from linkage.quantities import laws
from linkage.sweeping import Sweep, sweep
from solvers.jet import Jet
from tests.high import high
from tests.trains import FORMS, TRAINS, Train, random_train, rodded

POSITIONS = 5
every_train = pytest.mark.parametrize("kinds", TRAINS, ids=" + ".join)
every_form = pytest.mark.parametrize("kinds", [*TRAINS, *FORMS], ids=" + ".join)


def good_trains(kinds: tuple[str, ...], wanted: int) -> Iterator[tuple[Train, Sweep]]:
    """Yield trains whose crank and transmission angles lie in 15 to 165 degrees.

    The ratio stays under 50, and the motion meets no limit.
    """
    found = 0
    for seed in count():
        train = random_train(kinds, seed)
        swept = sweep(load_text(train.toml()), "brake", positions=POSITIONS)
        if swept.limit is None and _good(swept):
            yield train, swept
            found += 1
            if found == wanted:
                return


def _good(swept: Sweep) -> bool:
    angles = [swept[k] for k in swept.columns if "crank" in k or "transmission" in k]
    clear = all(np.min(a) > 15.0 and np.max(a) < 165.0 for a in angles)
    ratio = swept["ratio"] if "ratio" in swept.columns else np.zeros(1)
    return clear and not np.any(np.abs(ratio) >= 50.0)


def ends_in_cable(train: Train) -> bool:
    """True where the answer is what a cable's near end draws."""
    return train.kinds[-1].endswith("cable")


def movement(run: Run, train: Train) -> Jet:
    """Movement of what ends the train, by the closed forms: mm or rad."""
    return laws.movement(run) if ends_in_cable(train) else run.last.end()


def high_movement(train: Train, travel: Any, changed: Any = None) -> Any:
    """The same at 40 digits."""
    climbed = high(train, travel, changed)
    return climbed.columns["cable_pull"] if ends_in_cable(train) else climbed.moved


def high_columns(train: Train, travel: Any, changed: Any = None) -> dict[str, Any]:
    """The columns of a sweep in mm and rad, and "end": what the ratio counts."""
    climbed = high(train, travel, changed)
    found = dict(climbed.columns)
    turning = [n for n in range(1, len(train.kinds) + 1) if f"{n} turn" in found]
    parts = [train.kinds[n - 1].split()[-1] for n in turning]
    for n, part in zip(turning, parts, strict=True):
        own = [m for m, each in zip(turning, parts, strict=True) if each == part]
        count = f"_{own.index(n) + 1}" if len(own) > 1 else ""
        found[f"{part}{count}_turn"] = found.pop(f"{n} turn")
    cabled = not train.kinds[-1].endswith("cylinder") and not rodded(train.kinds[-1])
    return found | {"end": found["cable_pull"] if cabled else climbed.moved}

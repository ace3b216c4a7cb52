"""Places at rest: a driven input by its rod carries its derivatives."""

from typing import Any

import numpy as np
import pytest

from linkage.design.records import Design
from linkage.loading import load_text
from linkage.places import Places
from solvers.jet import Jet, seed, value

CRANK = """\
[pedal.brake]
pivot = [0, 34]
pad = [-52, 270]
clevis = { from = "pivot", reach = 50, angle = "up, 14 deg back" }
travel = 100

[[pedal.brake.train]]
part = "lever"
pivot = [144, 34]
input = INPUT
rod = 147
"""
INPUTS = {
    "side": '{ from = "own pivot", reach = 48, side = "above" }',
    "typed": "[133, 80]",
    "words": '{ from = "own pivot", back = 12, up = 46 }',
}


def _place(design: Design, values: dict[str, Any]) -> Any:
    return Places(design, values).point("brake.train.1.input")


@pytest.mark.parametrize("form", INPUTS)
def test_a_driven_input_keeps_rod_and_reach_and_their_slopes(form: str) -> None:
    """Each slope, and all at once, against differences of the plain numbers."""
    design = load_text(CRANK.replace("INPUT", INPUTS[form]))
    paths = [path for path in design.values if not path.endswith("travel")]
    nominal = {path: design.values[path].nominal for path in paths}
    here = complex(value(_place(design, {})))
    hole = complex(value(Places(design).point("brake.clevis")))
    assert abs(here - hole) == pytest.approx(147.0, rel=1e-14)
    seeds = {p: seed(nominal[p], i, len(paths)) for i, p in enumerate(paths)}
    jet = _place(design, seeds)
    assert isinstance(jet, Jet)
    assert complex(np.ravel(jet.v)[0]) == pytest.approx(here, rel=1e-14)
    slopes = np.broadcast_to(jet.g, (len(paths), 1, 1)).ravel()
    for path, slope in zip(paths, slopes, strict=True):
        step = 1e-4 if nominal[path] > 1.0 else 1e-6
        sides = [
            complex(value(_place(design, {path: nominal[path] + side * step})))
            for side in (-1.0, 1.0)
        ]
        assert slope == pytest.approx((sides[1] - sides[0]) / (2.0 * step), abs=1e-6), (
            path
        )
    assert abs(slopes[paths.index("brake.train.1.rod")]) > 0.5

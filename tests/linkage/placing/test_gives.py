"""What would do instead: each named give is applied and answered, and none nearer is."""

import re
from typing import Any

import numpy as np
import pytest
from scipy.optimize import minimize

from linkage.loading import load_text
from linkage.placing.document import placement_json
from linkage.placing.layouts import Layouts
from linkage.placing.place import place
from linkage.words.place import placement_text
from tests.linkage.placing.asked import HANGING, SHORT, asked, problem_of
from tests.linkage.placing.planted import target
from tests.linkage.placing.test_conflicts import applied

least: Any = minimize  # its types know few of its methods
HEAD = SHORT.split("[[pedal.brake.target]]", maxsplit=1)[0]


def short_of(stroke: float, *targets: str) -> str:
    return HEAD.replace("stroke = 60", f"stroke = {stroke:g}") + "".join(targets)


TOO_LONG = short_of(
    20,
    target("stroke", "full", "is = 22\nwithin = 0.2"),
    target("ratio", "rest", "least = 4"),
)
LIGHT = short_of(16, target("ratio", "", "most = 5"))
BARE = short_of(5, target("ratio", "rest", "least = 4"))
FAR = HANGING.replace("stroke = 30.5", "stroke = 5")


@pytest.mark.parametrize("text", [TOO_LONG, LIGHT, BARE, FAR])
def test_a_stroke_that_would_do(text: str) -> None:
    """Applied it is answered; a tenth of a millimetre less is not."""
    found = asked(text)
    gives = [*found.gives, *(g for c in found.conflicts for g in c.gives)]
    (stroke,) = [give for give in gives if give.path == "brake.train.1.stroke"]
    assert stroke.now == load_text(text).values[stroke.path].nominal
    for more, status in ((0.0, True), (-0.1, False)):
        given = re.sub(
            r"stroke = [\d.]+", f"stroke = {stroke.would_do + more:.6f}", text, count=1
        )
        assert (place(load_text(given)).status == "placed") == status
    said = placement_json(found)["give"]
    assert "train.1.stroke" in [give["value"] for give in said]
    assert "more stroke" in placement_text(found)
    assert "Nothing was written." in placement_text(found)


@pytest.mark.parametrize("text", [SHORT, TOO_LONG, LIGHT])
def test_what_would_do_does_and_a_fiftieth_of_a_unit_less_does_not(text: str) -> None:
    (conflict,) = asked(text).conflicts
    for clash in conflict.clashes:
        assert clash.would_do is not None
        number = {"is": "exact"}.get(clash.bound, clash.bound)
        wanted = getattr(clash.wish.target, number)
        assert place(load_text(applied(text, clash))).status == "placed"
        back = np.sign(wanted - clash.would_do) * 0.02 * clash.wish.unit
        nearer = re.sub(
            rf"(?m)^{clash.bound} = {wanted:g}$",
            f"{clash.bound} = {clash.would_do + back:.9f}",
            text,
        )
        assert nearer != text
        assert place(load_text(nearer)).status != "placed"


def worst_miss(problem: Layouts, seed: int) -> float:
    """Return the least worst miss beyond the bands, in units, by SLSQP of many starts."""
    hard = problem.owner >= 0
    bands = problem.bands

    def room(x: np.ndarray) -> np.ndarray:
        y = problem(x[None, :-1])[0]
        slack = np.where(hard, x[-1], 0.0)
        ends = [
            (y - bands.low) / bands.unit + slack,
            (bands.high - y) / bands.unit + slack,
        ]
        every = np.concatenate(ends)
        closed = np.isfinite(np.concatenate([bands.low, bands.high]))
        return np.asarray(np.nan_to_num(every[closed], nan=-1e3))

    found = []
    for start in np.random.default_rng(seed).random((12, problem.size)):
        got = least(
            lambda x: x[-1],
            np.append(start, 50.0),
            method="SLSQP",
            bounds=[(0.0, 1.0)] * problem.size + [(0.0, 1e3)],
            constraints=[{"type": "ineq", "fun": room}],
            options={"maxiter": 200, "ftol": 1e-10},
        )
        if room(got.x).min() > -1e-6:
            found.append(float(got.fun))
    return min(found)


@pytest.mark.parametrize("text", [SHORT, TOO_LONG, LIGHT])
def test_the_worst_miss_is_the_least(text: str) -> None:
    (conflict,) = asked(text).conflicts
    misses = []
    for clash in conflict.clashes:
        within = clash.wish.target.within or 0.0
        misses.append((clash.missed_by - within) / clash.wish.unit)
    problem = problem_of(load_text(text))
    assert max(misses) == pytest.approx(worst_miss(problem, 0), abs=2e-3)


def test_a_turn_that_would_do() -> None:
    """A lever at its stop stops nothing, and the answer says what turn it wants."""
    text = """
[pedal.brake]
pivot = [120, 545]
pad = [35, 255]
clevis = [106, "475 to 490"]
travel = 100
[[pedal.brake.train]]
part = "lever"
pivot = [230, 440]
input = [236, 486]
turn = 20
""" + target("crank angle", "rest", "least = 70")
    said = placement_text(asked(text))
    found = re.search(r"its\s+turn would have to be ([\d.]+) deg", said)
    assert found is not None
    enough = placement_text(asked(text.replace("turn = 20", f"turn = {found[1]}")))
    assert "at its stop" not in enough
    less = f"turn = {float(found[1]) - 0.1:.1f}"
    assert "at its stop" in placement_text(asked(text.replace("turn = 20", less)))

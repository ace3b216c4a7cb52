"""Exact derivatives against the same checks with each number really moved."""

from functools import cache

import pytest

from linkage.findings.facts import Facts, facts_of
from linkage.findings.records import Check, Measured
from linkage.findings.register import CHECKS
from linkage.findings.slopes import numbers_of
from linkage.limits.sets import rule_set
from linkage.loading import load_text
from tests.linkage.findings.designs import TANDEM, car, pedal

#: Past square at rest, a leaning rod, too short a travel for its cylinder.
TEXT = pedal(start=8.0, level=-47.0, travel=120.0, more=TANDEM) + car(0.72)
STEP = 1e-3
#: All but the one that has nothing to move in a sound pedal: its cure is under test;
#: and the law of a boosted effort, which is that of any other, but for the bore.
SLOPED = [
    check
    for check in CHECKS
    if check.slopes is not None
    and check.name != "Makes its travel"
    and check.limit != "boosted effort"
]


@cache
def layout(path: str = "", step: float = 0.0) -> Facts:
    design = load_text(TEXT)
    values = {path: design.values[path].nominal + step} if path else {}
    rules = rule_set(design.rules)
    return facts_of(design, "brake", rules, values=values, look=False, brief=True)


def number(check: Check, facts: Facts) -> float:
    got = check.law(facts)
    assert isinstance(got, Measured)
    assert got.value is not None
    return got.value


@pytest.mark.parametrize("check", SLOPED, ids=lambda check: check.name)
def test_slopes_are_exact(check: Check) -> None:
    facts = layout()
    assert check.for_pedal(facts)
    got = check.law(facts)
    assert isinstance(got, Measured)
    assert check.slopes is not None
    slopes = check.slopes(facts, got)
    assert slopes
    size = max(map(abs, slopes.values()))
    for path in numbers_of(facts):
        if ".arm." in path or path.rpartition(".")[2] in (
            "cut_off",
            "stroke",
            "first_stroke",
        ):
            continue
        moved = [number(check, layout(path, sign * STEP)) for sign in (1.0, -1.0)]
        by_moving = (moved[0] - moved[1]) / (2.0 * STEP)
        told = slopes.get(path, 0.0)
        assert told == pytest.approx(by_moving, rel=1e-5, abs=1e-6 * size), path

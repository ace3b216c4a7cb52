"""Plans: every fault is told at once, in words, and defaults are what they say."""

import math
from typing import Any

import pytest
from msgspec.structs import replace

from linkage.arm.plan import ArmPlan, refuse_nonsense
from linkage.design.stock import HOLE_BORE, PIVOT_BORE
from linkage.faults import DesignError
from tests.linkage.arm.plans import HANGING, LAYOUTS


def faults(plan: ArmPlan) -> list[str]:
    with pytest.raises(DesignError) as caught:
        refuse_nonsense(plan)
    return str(caught.value).split("\n")


@pytest.mark.parametrize("plan", LAYOUTS.values(), ids=LAYOUTS.keys())
def test_sensible_plans_pass(plan: ArmPlan) -> None:
    """What is then made wrong is the only thing that is told."""
    refuse_nonsense(plan)
    assert len(faults(replace(plan, plate=0.0))) == 1


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"plate": 0.0}, "arm.plate: is 0 mm. It has to be above 0"),
        ({"plate": math.nan}, "arm.plate: is nan mm"),
        ({"pivot": complex(math.inf, 0)}, "pivot: has no place that is a number"),
        ({"pad_stand": -1.0}, "arm.pad_stand: is -1 mm. Give 0 or more"),
        ({"bores": {"pivot": -5.0}}, "arm.bores.pivot: is -5 mm"),
        ({"bores": {"clevs": 8.0}}, "arm.bores.clevs: is no hole of this arm. It has"),
        ({"bosses": {"heel": 8.0}}, "arm.bosses.heel: is no hole of this arm"),
        ({"loose": frozenset({"x"})}, "arm.loose.x: is no hole"),
        ({"ways": {"clevis": "punch"}}, "arm.ways.clevis: is 'punch'. Give one of fin"),
        ({"process": "water"}, "arm.process: is 'water'. Give laser or plasma"),
        ({"material": "oak"}, 'arm.material: "oak" is no material'),
        ({"holes": {"pad": 0j}}, "holes.pad: is a name already taken"),
        ({"bosses": {"clevis": 16.0}}, "leaves 3.3 mm of metal round a bore of 25.4"),
        ({"fillet": 7.0}, "inside corner that tight starts cracks. Give 8 mm or more"),
        ({"pad": 121 + 545j}, "pad: lies 1 mm from the pivot, within its boss"),
        ({"holes": {"clevis": 120 + 515j}}, "they run together|mm of metal is left"),
        ({"holes": {"clevis": 120 + 530j}}, "they run together. Leave 8 mm or more"),
    ],
)
def test_nonsense_is_told(change: dict[str, Any], words: str) -> None:
    told = faults(replace(HANGING, **change))
    wanted = words.split("|")
    assert any(word in line for line in told for word in wanted)


def test_people_with_an_inch_tape_hear_inches() -> None:
    """The inch is 25.4 mm exactly (NIST SP 811): 8 mm are 0.315 in."""
    change = {"fillet": 7.0, "bosses": {"clevis": 16.0}, "speaks": "in"}
    told = faults(replace(HANGING, **change))
    assert any("0.276 in: an inside corner" in line for line in told)
    assert any("Give 0.315 in or more" in line for line in told)
    assert any("leaves 0.13 in of metal round a bore of 1 in" in line for line in told)
    assert not any("mm" in line for line in told)


def test_all_faults_come_at_once() -> None:
    plan = replace(HANGING, process="water", material="oak", fillet=1.0)
    assert len(faults(plan)) == 3


def test_plasma_wants_more_metal() -> None:
    close = replace(HANGING, holes={"clevis": 120 + 510j}, plate=8.0)
    refuse_nonsense(close)
    assert "Leave 12 mm or more" in faults(replace(close, process="plasma"))[0]


def test_guesses_are_listed() -> None:
    plan = replace(HANGING, bores={})
    assert plan.bore("pivot") == PIVOT_BORE
    assert plan.bore("clevis") == HOLE_BORE
    assert plan.guesses == (("bore of pivot", 20.0), ("bore of clevis", 8.0))
    assert HANGING.guesses == ()


def test_bosses_hold_the_usual_edge_distance() -> None:
    """Common practice, no source: 1.5 diameters from a pin's centre to the edge."""
    plan = replace(HANGING, bores={"pivot": 25.0, "clevis": 8.2})
    assert plan.boss("clevis") == pytest.approx(1.5 * 8.2)
    assert plan.boss("pivot") == 22.5
    wide = replace(HANGING, bores={"pivot": 12.0, "clevis": 30.0})
    assert wide.boss("pivot") == wide.boss("clevis")  # the pivot's is the greatest
    assert replace(plan, bosses={"clevis": 19.0}).boss("clevis") == 19.0

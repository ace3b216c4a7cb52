"""Bad days against volumes, strokes and places worked out by hand."""

import math
from pathlib import Path
from typing import Literal

import numpy as np
import pytest

from linkage.car.meeting import meet
from linkage.car.rig import rig_of
from linkage.car.stopping import RULES
from linkage.car.twin import Alone
from linkage.design.records import Design
from linkage.loading import load_text
from linkage.motion.run import move
from linkage.rehearsing.cases import cases_of
from linkage.rehearsing.rehearse import Outcome, rehearse
from tests.linkage.findings.designs import TANDEM, car, pedal

EXAMPLES = Path(__file__).parents[3] / "examples"
NAMES = ("bar", "boosted", "manual")
TEXTS = {
    name: (EXAMPLES / f"brake-{name}.toml").read_text(encoding="utf-8")
    for name in NAMES
}
PLAIN = pedal(travel=170.0, more=TANDEM) + car(0.72)
#: Of the plain pedal: mm2 of its bore (3/4 in), and of all pistons of one circuit.
BORE, PISTONS = 285.0229570, 2.0 * 0.25 * math.pi * 48.0**2


def outcomes(design: Design, foot: float = 300.0, **size: float) -> dict[str, Outcome]:
    found = rehearse(design, "brake", foot, **size)
    return {each.case.name: each for each in found.outcomes}


def rod_at(design: Design, travel: float) -> float:
    """What the rod has moved at a place of the pad, mm."""
    rest = rig_of(design, "brake").rest
    return float(np.ravel(move(rest, np.array([travel])).end().v)[0])


def taken(pressure: float, clearance: float = 0.1) -> float:
    """What one circuit of the published car takes, mm3: own sums, no gas."""
    fluid = 50e3 * -math.expm1(-pressure / 1800.0)
    return PISTONS * clearance + 2.0 * 50.0 * pressure + fluid


def pressure_of(each: Outcome, circuit: str = "front") -> float:
    return float(each.state.fluid.pressures[circuit][0])


# ------------------------------------------------------------------- volumes by hand


@pytest.mark.parametrize("lost", ["front", "rear"])
def test_a_lost_circuit_by_volume(lost: str) -> None:
    """Gap, cut-off, the dead half of the stroke, and what the other circuit takes.

    The front circuit is nearer the pedal: its chamber closes up by all of its 18 mm.
    The other piston runs to its end at 36 - 18 mm, of which its cut-off is gone before.
    """
    design = load_text(PLAIN)
    each = outcomes(design)[f"{lost} circuit lost"]
    pressure = pressure_of(each, "rear" if lost == "front" else "front")
    assert pressure > 1.0
    dead = 18.0 if lost == "front" else 18.0 - 1.0
    rod = 0.5 + 1.0 + dead + taken(pressure) / BORE
    assert rod_at(design, each.travel) == pytest.approx(rod, rel=1e-9)


@pytest.mark.parametrize("knocked", [0.2, 0.6])
def test_pads_knocked_back_by_volume(knocked: float) -> None:
    """Every piston has that much farther to go, and nothing else changes."""
    design = load_text(PLAIN)
    each = outcomes(design, knocked=knocked)["pads knocked back"]
    assert not each.stopped
    rod = 0.5 + 1.0 + 2.0 * taken(pressure_of(each), 0.1 + knocked) / BORE
    assert rod_at(design, each.travel) == pytest.approx(rod, rel=1e-9)


@pytest.mark.parametrize("air", [400.0, 1500.0])
def test_air_by_volume(air: float) -> None:
    """Boyle's law: what is left of a gas at p is V p0 / (p0 + p)."""
    design = load_text(PLAIN)
    each = outcomes(design, air=air)["air in the fluid"]
    assert not each.stopped
    pressure = pressure_of(each)
    squeezed = air * (1.0 - 0.101325 / (0.101325 + pressure))
    rod = 0.5 + 1.0 + 2.0 * (taken(pressure) + squeezed) / BORE
    assert rod_at(design, each.travel) == pytest.approx(rod, rel=1e-9)


def test_hot_fluid_by_volume() -> None:
    """The fluid alone gives way by more: its bulk modulus is 0.6 of 1.8 GPa."""
    design = load_text(PLAIN)
    each = outcomes(design)["fluid hot"]
    pressure = pressure_of(each)
    more = 50e3 * (math.exp(-pressure / 1800.0) - math.exp(-pressure / 1080.0))
    rod = 0.5 + 1.0 + 2.0 * (taken(pressure) + more) / BORE
    assert rod_at(design, each.travel) == pytest.approx(rod, rel=1e-9)


def test_the_swing_of_a_bar_by_its_ends() -> None:
    """The bearing is the mean of both rods' ends, weighed by the shares of the bar."""
    design = load_text(TEXTS["bar"])
    each = outcomes(design)["front circuit lost"]
    driven = each.rig.driven
    assert isinstance(driven, Alone)
    held = float(driven.held.moved(driven.held.level(driven.live(each.level))))
    share = 0.5 + 5.0 / 101.6
    rod = share * (0.5 + 19.05) + (1.0 - share) * held
    assert rod_at(design, each.travel) == pytest.approx(rod, rel=1e-9)


@pytest.mark.parametrize(("side", "share"), [("front", 2.0), ("rear", 0.5)])
def test_a_bar_wound_to_its_end_shares_2_to_1(side: str, share: float) -> None:
    """Two like cylinders: 2:1 in push is 2:1 in pressure (common practice, no source)."""
    each = outcomes(load_text(TEXTS["bar"]))[f"bar wound to the {side}"]
    pressures = pressure_of(each, "front"), pressure_of(each, "rear")
    assert pressures[0] / pressures[1] == pytest.approx(share, rel=1e-9)


def test_a_bar_that_is_wound_farther_stands_where_it_is() -> None:
    text = TEXTS["bar"].replace('"5 towards front"', '"30 towards rear"')
    found = outcomes(load_text(text))
    worse, well = found["bar wound to the rear"], found["all well"]
    assert (worse.travel, worse.z) == (well.travel, well.z)
    assert worse.case.assumed.endswith("where it stands")
    assert found["bar wound to the front"].travel != well.travel


# ------------------------------------------------------------------------------ laws


@pytest.mark.parametrize("what", ["knocked", "air"])
@pytest.mark.parametrize("name", NAMES)
def test_worse_is_never_better(name: str, what: Literal["knocked", "air"]) -> None:
    """Farther down for the same stop, and no harder a stop at best."""
    design = load_text(TEXTS[name])
    case = {"knocked": "pads knocked back", "air": "air in the fluid"}[what]
    met = []
    for size in np.linspace(0.0, 1.6 if what == "knocked" else 8e3, 7).tolist():
        cases = cases_of(design, design.pedals["brake"], **{what: size})
        values = next(each.values for each in cases if each.name == case)
        met.append(meet(rig_of(design, "brake", values=values), RULES["cold"]))
    places = [each.travel for each in met if each.travel is not None]
    assert len(places) > 1
    assert np.all(np.diff(places) > 0.1)
    missing = [each.travel is None for each in met]
    assert missing == sorted(missing)
    assert np.all(np.diff([each.best for each in met]) <= 1e-9)


def test_days_without_size_are_days_on_which_all_is_well() -> None:
    found = outcomes(load_text(PLAIN), knocked=0.0, air=0.0)
    for name in ("pads knocked back", "air in the fluid"):
        assert found[name].travel == found["all well"].travel


# ---------------------------------------------------------------------- what ends it


def test_a_cylinder_that_is_used_up_before_there_is_any_pressure() -> None:
    """Of 12 mm for each chamber the clearance wants 13, and the second has its cut-off.

    The pad stands where the first of them is at its end, not where all of that
    clearance would have been taken up.
    """
    short = PLAIN.replace("stroke = 36", "stroke = 24")
    design = load_text(short.replace("first_stroke = 18", "first_stroke = 12"))
    knocked = 13.0 * BORE / PISTONS - 0.1
    each = outcomes(design, knocked=knocked)["pads knocked back"]
    rod = 0.5 + 1.0 + 2.0 * 13.0 - (1.0 + 13.0 - 12.0)
    assert rod_at(design, each.travel) == pytest.approx(rod, rel=1e-9)
    assert each.first.what == "the piston is at its end"
    assert each.meeting is not None
    assert (each.z, each.meeting.best, each.meeting.distance) == (0.0, 0.0, None)
    assert each.missed


BLOCK = """
[[footwell.fixed]]
name = "foot rest block"
line = [{ back = 120, up = 200 }, { back = 120, up = 300 }]
thick = 10
"""


def test_a_pedal_that_is_in_the_way_of_something_has_no_more_than_it_reaches() -> None:
    """What a free pedal makes beyond that place counts for nothing, at best neither."""
    free, blocked = (
        outcomes(load_text(TEXTS["boosted"] + more), 445.0) for more in ("", BLOCK)
    )
    for name, each in blocked.items():
        assert each.travel == pytest.approx(min(free[name].travel, each.reach))
        assert each.first.what == "the arm meets foot rest block"
        assert each.missed == "the arm meets foot rest block before that"
        assert each.meeting is not None
        assert each.z is not None
        assert each.meeting.best == pytest.approx(9.80665 * each.z, rel=1e-6)
    assert blocked["front circuit lost"].z == 0.0
    assert blocked["pads knocked back"].z == 0.0


@pytest.mark.parametrize("name", NAMES)
def test_a_stop_is_missed_where_the_brake_makes_less(name: str) -> None:
    for each in outcomes(load_text(TEXTS[name])).values():
        assert each.meeting is not None
        enough = each.meeting.best >= each.meeting.rule.deceleration * (1.0 - 1e-9)
        assert bool(each.missed) != enough

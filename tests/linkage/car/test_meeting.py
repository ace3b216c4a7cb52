"""Rules of stopping against a brake: the hand model says what each takes."""

import numpy as np
import pytest
from msgspec.structs import replace
from scipy.optimize import brentq

from linkage.car.meeting import meet, road_use
from linkage.car.rig import rig_of
from linkage.car.stopping import RULES
from linkage.faults import FootwellError
from linkage.loading import load_text
from tests.linkage.car.test_asking import BARE
from tests.linkage.car.test_rig import BOOSTED, G0, TEXT, drags, one, rig, rod_of

WEIGHT, SHARE, RISE = 900.0 * G0, 1.0 - 1150.0 / 2400.0, 480.0 / 2400.0


def pressure_for(deceleration: float) -> float:
    """The hand model's pressure for a deceleration, m/s2, nobody locked."""

    def short(p: float) -> float:
        return sum(drags(p)) - 900.0 * deceleration

    return float(brentq(short, 0.0, 30.0, xtol=1e-13))


def first_lock() -> float:
    """The hand model's pressure at which the first axle uses a grip of 0.9."""

    def spare(p: float) -> float:
        front, rear = drags(p)
        z = (front + rear) / WEIGHT
        used = front / (SHARE + RISE * z), rear / (1.0 - SHARE - RISE * z)
        return max(used) / WEIGHT - 0.9

    return float(brentq(spare, 0.1, 30.0, xtol=1e-13))


@pytest.mark.parametrize("name", ["cold", "hot", "circuit lost"])
def test_what_a_rule_takes(name: str) -> None:
    found, rule = rig(), RULES[name]
    met = meet(found, rule)
    assert met.missed == ""
    state = found.state(np.array([rod_of(pressure_for(rule.deceleration))]))
    assert met.effort == pytest.approx(one(state.foot.effort), rel=1e-9)
    assert met.travel == pytest.approx(one(state.foot.travel), rel=1e-9)
    assert met.distance is not None
    assert met.distance < rule.distance


def test_the_best_stop_is_that_of_the_first_lock() -> None:
    met = meet(rig(), RULES["cold"])
    want = sum(drags(first_lock())) / 900.0
    assert met.best == pytest.approx(want, rel=1e-9)
    assert met.distance == pytest.approx(10.0 + 1e4 / (25.92 * want), rel=1e-12)


def test_a_smooth_road_locks_first() -> None:
    met = meet(rig(TEXT.replace("grip = 0.9", "grip = 0.4")), RULES["cold"])
    assert met.missed == "the front wheels lock before that"
    assert met.effort is None


def test_a_light_foot_cannot() -> None:
    rule = replace(RULES["cold"], effort=(65.0, 80.0))
    met = meet(rig(), rule)
    assert met.missed == "it takes more than 80 N"
    assert met.effort is not None
    assert met.effort > 80.0
    assert met.best < rule.deceleration


def test_a_short_pedal_ends_first() -> None:
    met = meet(rig(TEXT.replace("travel = 140", "travel = 58")), RULES["cold"])
    assert met.missed == "pedal at its end before that"
    assert met.effort is None


def test_no_pressure_no_distance() -> None:
    """A pedal that ends before the pads touch stops nothing: no distance, but why."""
    met = meet(rig(TEXT.replace("travel = 140", "travel = 20")), RULES["cold"])
    assert met.missed == "pedal at its end before that"
    assert met.best == 0.0
    assert met.distance is None
    assert met.effort is None


def test_a_dead_booster_has_a_rule_of_its_own() -> None:
    """FMVSS 135 S7.11: 2.44 m/s2 with 500 N at most."""
    dead = meet(rig(BOOSTED, dead=True), RULES["booster dead"])
    alive = meet(rig(BOOSTED), RULES["booster dead"])
    assert dead.missed == ""
    assert dead.effort is not None
    assert alive.effort is not None
    assert dead.effort > 2.0 * alive.effort


def test_the_use_of_the_road_by_hand() -> None:
    found = rig()
    used = road_use(found)
    assert np.all(np.diff(used.z) > 0.0)
    for z, front, rear in zip(used.z, used.front, used.rear, strict=True):
        f, r = drags(pressure_for(float(z) * G0))
        assert front == pytest.approx(f / WEIGHT / (SHARE + RISE * z), rel=1e-8)
        assert rear == pytest.approx(r / WEIGHT / (1 - SHARE - RISE * z), abs=1e-9)
    # The knee of the valve at 2 MPa is a place of its own.
    knee = sum(drags(2.0)) / WEIGHT
    assert np.min(np.abs(used.z - knee)) < 1e-12


def test_too_much_rear_is_seen() -> None:
    """Without its valve and with larger wheel cylinders the rear leads."""
    text = TEXT.replace('valve = { knee = "2 MPa", slope = 0.3 }\n', "")
    text = text.replace('piston = "3/4 in"', 'piston = "1 1/8 in"')
    assert np.min(road_use(rig(TEXT)).room) > 0.0
    used = road_use(rig(text))
    assert np.min(used.room) < 0.0
    assert np.all(used.rear[used.room < 0.0] > used.front[used.room < 0.0])


def test_no_car_no_rule() -> None:
    bare = rig_of(load_text(BARE), "brake")
    with pytest.raises(FootwellError, match="needs the car"):
        meet(bare, RULES["cold"])
    with pytest.raises(FootwellError, match="needs the car"):
        road_use(bare)

"""Stopping distances: the identities of the rules, and a textbook example."""

import pytest
from scipy.integrate import quad

from linkage.car.stopping import (
    RULES,
    stop_distance,
)


@pytest.mark.parametrize(
    ("name", "factor", "at_100", "at_80", "mean"),
    [
        ("cold", 0.0060, 70.0, 46.40, 6.4300411523),
        ("fast", 0.0067, 77.0, 50.88, 5.7582458080),
        ("hot", 0.0079, 89.0, 58.56, 4.8835755587),
        ("valve failed", 0.0100, 110.0, 72.00, 3.8580246914),
        ("circuit lost", 0.0158, 168.0, 109.12, 2.4417877793),
        ("booster dead", 0.0158, 168.0, 109.12, 2.4417877793),
    ],
)
def test_the_law_of_fmvss_135(
    name: str, factor: float, at_100: float, at_80: float, mean: float
) -> None:
    """S <= 0.10 V + c V^2: 70 m and 168 m read in the regulator's letters, the other
    rows from memory; UN R13-H prints 6.43, 5.76 and 2.44 (from memory)."""
    rule = RULES[name]
    assert rule.factor == factor
    assert rule.distance_from(100.0) == pytest.approx(at_100, abs=1e-9)
    assert rule.distance_from(80.0) == pytest.approx(at_80, abs=1e-9)
    assert rule.deceleration == pytest.approx(mean, abs=1e-9)


def test_the_older_rules() -> None:
    """UN R13 annex 4, M1 at 80 km/h: secondary 93.33 m (2.9 m/s2, read), service 50.67 m
    (5.8 m/s2, from memory)."""
    secondary, service = RULES["secondary, older"], RULES["service, older"]
    assert secondary.distance == pytest.approx(93.3333333333)
    assert secondary.deceleration == pytest.approx(2.8935185185)
    assert service.distance == pytest.approx(50.6666666667)
    assert service.deceleration == pytest.approx(5.7870370370)


def test_no_least_force_with_a_dead_booster() -> None:
    """S7.11 says at most 500 N and no least (second-hand); S7.5 says 65 to 500 N."""
    assert RULES["booster dead"].effort == (0.0, 500.0)
    assert RULES["cold"].effort == (65.0, 500.0)


def test_a_stop_by_quadrature() -> None:
    speed, rate = 100.0 / 3.6, 6.43
    rolled, _ = quad(lambda t: speed - rate * t, 0.0, speed / rate)
    found = stop_distance(100.0, rate, delay=0.36)
    assert found == pytest.approx(0.36 * speed + rolled, rel=1e-12)


@pytest.mark.parametrize("rule", RULES.values(), ids=lambda rule: rule.name)
def test_a_rule_is_a_delay_and_a_steady_stop(rule: object) -> None:
    """0.10 V is 0.36 s of rolling; the rest is v^2 / 2 a."""
    found = stop_distance(rule.speed, rule.deceleration)  # type: ignore[attr-defined]
    assert found == pytest.approx(rule.distance, rel=1e-12)  # type: ignore[attr-defined]


def test_a_textbook_stop() -> None:
    """Gillespie (1992) ch. 3, example 1, inputs from memory: 3635 lb, 60 mph, 2000 lb,
    g 32.2: 17.72 ft/s2, 218.6 ft, 4.97 s, 320 hp at first."""
    rate = 2000.0 * 32.2 / 3635.0
    assert rate == pytest.approx(17.7166437414, abs=1e-9)
    speed, foot = 88.0 * 0.3048 * 3.6, 0.3048
    found = stop_distance(speed, rate * foot, delay=0.0) / foot
    assert found == pytest.approx(218.5515527950, abs=1e-9)


def test_a_constant_20_feet_per_second_squared() -> None:
    """60 mph is 194 ft (letter of the US regulator on 49 CFR 571.105): 193.6."""
    found = stop_distance(88.0 * 0.3048 * 3.6, 20.0 * 0.3048, delay=0.0) / 0.3048
    assert found == pytest.approx(193.6, abs=1e-9)

"""Limits for a car on the road, each with its source.

"From memory" was not looked up. "Read" was, in the published text that is named. What
no published text says is "common practice, no source": builders disagree on it, so each
may be set anew.
"""

import math

from msgspec.structs import replace

from linkage.car.stopping import RULES
from linkage.limits.bands import Limit

_DEG = math.pi / 180.0
_COMMON = "common practice, no source"
_SQUARE = "own sums: the ratio goes with 1 / sine of the angle at the hole"


def _memory(name: str, **ends: float) -> Limit:
    return replace(Limit(name=name, kind="from memory", source="from memory"), **ends)


def _common(name: str, **ends: float) -> Limit:
    return replace(Limit(name=name, kind="common practice", source=_COMMON), **ends)


ROAD = (
    Limit(
        name="effort",
        most=400.0,
        fail_over=500.0,
        kind="regulation",
        source=f"fail: {RULES['cold'].source}; ok: from memory",
    ),
    _memory("boosted effort", most=200.0, fail_over=300.0),
    Limit(
        name="booster-dead effort",
        most=400.0,
        fail_over=500.0,
        kind="regulation",
        source=f"fail: {RULES['booster dead'].source}; ok: common practice, no source",
    ),
    Limit(
        name="lost-circuit effort",
        most=400.0,
        fail_over=500.0,
        kind="regulation",
        source=f"fail: {RULES['circuit lost'].source}; ok: common practice, no source",
    ),
    _memory("hard-stop travel", least=30.0, most=75.0, fail_under=20.0, fail_over=90.0),
    Limit(
        name="pad left",
        least=50.0,
        fail_under=25.0,
        kind="common practice",
        source=f"{_COMMON}: 51 mm without, 25 with booster",
    ),
    Limit(
        name="travel used",
        most=80.0,
        fail_over=80.0,
        kind="regulation",
        source="49 CFR 570.55 (c), with 50 lbf on the pedal, counted to the floor (read)",
    ),
    _common("stroke used", most=60.0, fail_over=75.0),
    _common("lost-circuit pad left", least=25.0, fail_under=0.0),
    _memory("hard-stop bar tilt", most=3.0 * _DEG, fail_over=6.0 * _DEG),
    _memory("bar tilt", most=10.0 * _DEG, fail_over=12.0 * _DEG),
    _common("bar shift", most=10.0, fail_over=16.0),
    _common("stroke out of reach", most=0.0, fail_over=2.0),
    _memory("hard-stop rod angle", most=3.0 * _DEG, fail_over=5.0 * _DEG),
    _memory("rod angle", most=5.0 * _DEG, fail_over=8.0 * _DEG),
    Limit(
        name="crank angle",
        least=75.0 * _DEG,
        most=105.0 * _DEG,
        fail_under=60.0 * _DEG,
        fail_over=120.0 * _DEG,
        kind="own sums",
        source=_SQUARE,
    ),
    Limit(
        name="past square",
        most=0.0,
        fail_over=10.0 * _DEG,
        kind="own sums",
        source=_SQUARE,
    ),
    _memory("ratio change", least=-5.0, most=10.0, fail_under=-15.0, fail_over=15.0),
    _common("rod gap", least=0.3, most=1.0, fail_under=0.0, fail_over=1.6),
    _common("booster gap", least=0.0, most=0.5, fail_under=0.0, fail_over=1.6),
    Limit(
        name="lock order",
        least=5.0,
        fail_under=0.0,
        kind="common practice",
        source=f"front before rear: {_COMMON}; the 5 % from memory",
    ),
    Limit(
        name="road used",
        least=0.0,
        fail_under=0.0,
        kind="regulation",
        source="71/320/EEC annex II appendix 3.1.1, M1 (read)",
    ),
    Limit(
        name="residual on discs",
        most=0.0207,
        fail_over=0.0345,
        kind="common practice",
        source=f"{_COMMON}: 2 psi for discs, never 10; 3 and 5 psi from memory",
    ),
    _memory("cable beyond need", least=0.0, most=10.0, fail_under=0.0, fail_over=25.0),
    Limit(
        name="cable left at stop",
        least=0.0,
        most=1.0,
        fail_under=0.0,
        kind="common practice",
        source=f"{_COMMON}; numbers from memory",
    ),
    Limit(
        name="spring margin",
        least=2.0,
        fail_under=1.2,
        kind="regulation",
        source="two sources of energy: 49 CFR 571.124 S5.1 (read); limits from memory",
    ),
    Limit(
        name="return time",
        most=1.0,
        fail_over=1.0,
        kind="from memory",
        source="49 CFR 571.124 (from memory)",
    ),
    Limit(
        name="pad gap",
        least=50.0,
        most=100.0,
        fail_under=35.0,
        kind="from memory",
        source="UN R35 and ISO 3409 for 50 to 100 (from memory)",
    ),
    Limit(
        name="pad step",
        least=-15.0,
        most=15.0,
        fail_over=25.0,
        kind="common practice",
        source=f"{_COMMON}, and builders disagree; mm from memory",
    ),
    _memory("clearance", least=15.0, fail_under=5.0),
    Limit(
        name="edge distance",
        least=1.5,
        fail_under=1.2,
        kind="common practice",
        source=f"{_COMMON}; 1.5 for pins from memory",
    ),
)

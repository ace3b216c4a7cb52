"""Limits for a car on the road, each with its source.

"From memory" was not looked up. "Read" was, in the page or book that is named by its
kind; makers' and magazines' figures disagree with each other, so each may be set anew.
"""

import math

from linkage.car.stopping import RULES
from linkage.limits.bands import Limit

_DEG = math.pi / 180.0
#: Makers and magazines that no name is given of.
_MAKER = "a pedal maker's manual (read)"
_SQUARE = "own sums: the ratio goes with 1 / sine of the angle at the hole"

ROAD = (
    Limit(
        name="effort",
        most=400.0,
        fail_over=500.0,
        kind="regulation",
        source=f"fail: {RULES['cold'].source}; ok: from memory",
    ),
    Limit(
        name="boosted effort",
        most=200.0,
        fail_over=300.0,
        kind="from memory",
        source="from memory",
    ),
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
    Limit(
        name="hard-stop travel",
        least=30.0,
        most=75.0,
        fail_under=20.0,
        fail_over=90.0,
        kind="from memory",
        source="from memory",
    ),
    Limit(
        name="pad left",
        least=50.0,
        fail_under=25.0,
        kind="read",
        source="questions and answers of the trade (read): 51 without, 25 with booster",
    ),
    Limit(
        name="travel used",
        most=80.0,
        fail_over=80.0,
        kind="regulation",
        source="49 CFR 570.55 (c), with 50 lbf on the pedal (read)",
    ),
    Limit(
        name="stroke used",
        most=60.0,
        fail_over=75.0,
        kind="common practice",
        source="questions and answers of the trade (read); limits from memory",
    ),
    Limit(
        name="lost-circuit pad left",
        least=25.0,
        fail_under=0.0,
        kind="read",
        source=_MAKER,
    ),
    Limit(
        name="stroke out of reach", most=0.0, fail_over=2.0, kind="read", source=_MAKER
    ),
    Limit(
        name="hard-stop rod angle",
        most=3.0 * _DEG,
        fail_over=5.0 * _DEG,
        kind="from memory",
        source="from memory",
    ),
    Limit(
        name="rod angle",
        most=5.0 * _DEG,
        fail_over=8.0 * _DEG,
        kind="from memory",
        source="from memory; why: builders' reports of scored bores (read)",
    ),
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
    Limit(
        name="ratio change",
        least=-5.0,
        most=10.0,
        fail_under=-15.0,
        fail_over=15.0,
        kind="from memory",
        source="from memory",
    ),
    Limit(
        name="rod gap",
        least=0.3,
        most=1.0,
        fail_under=0.0,
        fail_over=1.6,
        kind="read",
        source="workshop data and answers of the trade (read)",
    ),
    Limit(
        name="booster gap",
        least=0.0,
        most=0.5,
        fail_under=0.0,
        fail_over=1.6,
        kind="read",
        source="workshop data and answers of the trade (read)",
    ),
    Limit(
        name="lock order",
        least=5.0,
        fail_under=0.0,
        kind="common practice",
        source="brake textbooks: front before rear; the 5 % from memory",
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
        kind="read",
        source="descriptions of valves (read): 2 psi for discs, never 10; 3 and 5 psi "
        "from memory",
    ),
    Limit(
        name="cable beyond need",
        least=0.0,
        most=10.0,
        fail_under=0.0,
        fail_over=25.0,
        kind="read",
        source="a clutch supplier's bulletin (read); limits from memory",
    ),
    Limit(
        name="cable left at stop",
        least=0.0,
        most=1.0,
        fail_under=0.0,
        kind="common practice",
        source="a builder's report (read); numbers from memory",
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
        kind="read",
        source="a pedal maker's manual and builders (read), who disagree; mm from memory",
    ),
    Limit(
        name="clearance",
        least=15.0,
        fail_under=5.0,
        kind="from memory",
        source="from memory",
    ),
    Limit(
        name="edge distance",
        least=1.5,
        fail_under=1.2,
        kind="read",
        source="cutting services' pages (read); 1.5 for pins, from memory",
    ),
)

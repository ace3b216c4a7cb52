"""Where the rules of student racing, or the use of such a car, ask for other limits.

Each says which edition it was read in: that of `EDITION`, or `OLDER` where it was read
in that one alone. What is not here is as on the road.
"""

from linkage.limits.bands import Limit

EDITION, OLDER = "FSAE Rules 2026 V1.0", "FSAE Rules 2019"
_RACE = "race use (from memory)"

STUDENT = (
    Limit(
        name="effort",
        most=667.0,
        fail_over=900.0,
        kind="from memory",
        source="ok: half of what one leg can; both from memory",
    ),
    Limit(
        name="hard-stop travel",
        least=20.0,
        most=50.0,
        fail_under=10.0,
        fail_over=75.0,
        kind="from memory",
        source=_RACE,
    ),
    Limit(
        name="wheels locked",
        least=2.0,
        fail_under=2.0,
        kind="rules",
        source=f"able to lock all four wheels: {OLDER} T.5.1 (read in that edition)",
    ),
    Limit(
        name="pad gap",
        least=25.0,
        most=45.0,
        fail_under=15.0,
        kind="common practice",
        source="for heel and toe: common practice, no source; limits from memory",
    ),
    Limit(
        name="bulkhead at full",
        least=25.0,
        fail_under=25.0,
        kind="rules",
        source=f"{EDITION} F.8 (read)",
    ),
    Limit(
        name="hip to pad",
        least=915.0,
        fail_under=915.0,
        kind="rules",
        source=f"{EDITION} F.5.6 (read)",
    ),
)

"""How many random cases a test runs: a seeded tenth, or all behind one flag."""

import os

FULL = os.environ.get("FOOTWELL_FULL") == "1"


def many(full: int) -> int:
    """Return ``full`` when FOOTWELL_FULL=1 is set, else a tenth of it (at least 1)."""
    return full if FULL else max(1, full // 10)

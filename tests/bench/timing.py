"""Fair timing: candidates take turns in one run, medians are compared."""

import statistics
import sys
import time
from collections.abc import Callable, Mapping

RUNS = 7
#: The gate runs on shared machines: it asserts each target with this much room.
ROOM = 1.5


def medians(
    candidates: Mapping[str, Callable[[], object]], runs: int = RUNS
) -> dict[str, float]:
    """Return the median seconds of each candidate over interleaved runs.

    Each is run once before the counting starts.
    """
    for candidate in candidates.values():
        candidate()
    times: dict[str, list[float]] = {name: [] for name in candidates}
    for _ in range(runs):
        for name, candidate in candidates.items():
            start = time.perf_counter()
            candidate()
            times[name].append(time.perf_counter() - start)
    return {name: statistics.median(taken) for name, taken in times.items()}


def report(line: str) -> None:
    """Say a figure: seen with ``pytest -s``, and in the log of the gate."""
    sys.stdout.write(f"\n{line}\n")

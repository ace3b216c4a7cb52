"""Before all others: so that a time says what the work takes, not who else is at work.

Linux lets the superuser do that, and whoever it has allowed to. Where it cannot be done
things stay as they are.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

PROCESSES = Path("/proc")


@contextmanager
def first_in_line() -> Iterator[bool]:
    """Let this process and all that it has started go first; give whether they do."""
    allowed = PROCESSES.is_dir() and _turned(os.getpid(), os.SCHED_RR, 1)
    try:
        yield allowed
    finally:
        if allowed:
            _turned(os.getpid(), os.SCHED_OTHER, 0)


def _turned(number: int, policy: int, rank: int) -> bool:
    """Turn every thread to a policy of the scheduler; return whether that is allowed."""
    try:
        for thread in _threads(number):
            with suppress(ProcessLookupError):
                os.sched_setscheduler(thread, policy, os.sched_param(rank))
    except PermissionError:
        return False
    return True


def _threads(number: int) -> Iterator[int]:
    """Yield the threads of a process, and of all that it has started."""
    with suppress(FileNotFoundError, ProcessLookupError):
        for thread in (PROCESSES / str(number) / "task").iterdir():
            yield int(thread.name)
            for child in (thread / "children").read_text().split():
                yield from _threads(int(child))

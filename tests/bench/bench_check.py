"""How long the check of a whole brake takes, as a process."""

from functools import partial
from pathlib import Path

import pytest

from tests.bench.bench_process import _run
from tests.bench.timing import ROOM, medians, report
from tests.documents import ROOT

pytestmark = pytest.mark.bench

#: A brake that fails: what would cure it is looked for and tried, and the exit code is 1.
EXAMPLE = ROOT / "examples" / "brake-boosted.toml"


def test_a_check_as_a_process(tmp_path: Path) -> None:
    """Every finding of a brake with its car, its failures, its arm as it is cut."""
    run = partial(_run, tmp_path / "bytecode")
    ask = "import sys; from linkage.commands import main\n"
    ask += f"sys.argv[1:] = ['check', {str(EXAMPLE)!r}]\n"
    ask += "try:\n    main()\nexcept SystemExit:\n    pass\n"
    took = medians(
        {
            "numpy": lambda: run("-c", "import numpy"),
            "check": lambda: run("-c", ask),
        }
    )
    ratio = took["check"] / took["numpy"]
    report(f"footwell check: {ratio:.2f} x import numpy")
    assert ratio <= 12.0 * ROOM

"""Whole processes against a bare ``import numpy``, in turn in one run.

Both sides read bytecode that the uncounted run left, as after an installation: an
environment that forbids Python to keep it would time Python's compiler on one side.
"""

import os
import subprocess
import sys
from functools import partial
from pathlib import Path

import pytest

from tests.bench.timing import ROOM, medians, report

pytestmark = pytest.mark.bench

ROOT = Path(__file__).parents[2]


def _run(bytecode: Path, *arguments: str) -> None:
    environment = os.environ | {
        "PYTHONPATH": str(ROOT),
        "OPENBLAS_NUM_THREADS": "1",
        "PYTHONDONTWRITEBYTECODE": "",
        "PYTHONPYCACHEPREFIX": str(bytecode),
    }
    subprocess.run(
        [sys.executable, *arguments], check=True, capture_output=True, env=environment
    )


def test_a_sweep_as_a_process(tmp_path: Path) -> None:
    """Table, sentences and picture; also the JSON document alone."""
    example = str(ROOT / "examples" / "brake-hanging.toml")
    sweep = ("-m", "linkage", "sweep", example)
    picture = ("-o", str(tmp_path / "sweep.svg"), "--force")
    run = partial(_run, tmp_path / "bytecode")
    took = medians(
        {
            "numpy": lambda: run("-c", "import numpy"),
            "sweep": lambda: run(*sweep, *picture),
            "json": lambda: run(*sweep, "--json"),
        }
    )
    whole, bare = took["sweep"] / took["numpy"], took["json"] / took["numpy"]
    report(f"footwell sweep: {whole:.2f} x import numpy; with --json {bare:.2f} x")
    assert whole <= 3.0 * ROOM


def test_a_brake_report_as_a_process(tmp_path: Path) -> None:
    """Pedal, fluid and car, with what every guess sways, and the picture."""
    example = str(ROOT / "examples" / "brake-boosted.toml")
    budget = ("-m", "linkage", "budget", example)
    picture = ("-o", str(tmp_path / "budget.svg"), "--force")
    run = partial(_run, tmp_path / "bytecode")
    took = medians(
        {
            "numpy": lambda: run("-c", "import numpy"),
            "budget": lambda: run(*budget, *picture),
        }
    )
    ratio = took["budget"] / took["numpy"]
    report(f"footwell budget: {ratio:.2f} x import numpy")
    assert ratio <= 12.0 * ROOM

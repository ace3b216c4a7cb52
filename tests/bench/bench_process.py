"""Whole processes against a bare ``import numpy``, in turn in one run."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.bench.timing import ROOM, medians, report

pytestmark = pytest.mark.bench

ROOT = Path(__file__).parents[2]


def _run(*arguments: str) -> None:
    environment = os.environ | {"PYTHONPATH": str(ROOT), "OPENBLAS_NUM_THREADS": "1"}
    subprocess.run(
        [sys.executable, *arguments], check=True, capture_output=True, env=environment
    )


def test_a_sweep_as_a_process(tmp_path: Path) -> None:
    """Table, sentences and picture; also the JSON document alone."""
    example = str(ROOT / "examples" / "brake-hanging.toml")
    picture = str(tmp_path / "sweep.svg")
    took = medians(
        {
            "numpy": lambda: _run("-c", "import numpy"),
            "sweep": lambda: _run(
                "-m", "linkage", "sweep", example, "-o", picture, "--force"
            ),
            "json": lambda: _run("-m", "linkage", "sweep", example, "--json"),
        }
    )
    whole, bare = took["sweep"] / took["numpy"], took["json"] / took["numpy"]
    report(f"footwell sweep: {whole:.2f} x import numpy; with --json {bare:.2f} x")
    assert whole <= 3.0 * ROOM

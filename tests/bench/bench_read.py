"""Reading a design file against the standard TOML reader alone, in one run."""

import tomllib

import pytest

from linkage.loading import load_text
from tests.bench.timing import ROOM, medians, report
from tests.linkage.design.samples import FREE

pytestmark = pytest.mark.bench


def test_a_file_of_three_pedals() -> None:
    took = medians(
        {"toml": lambda: tomllib.loads(FREE), "read": lambda: load_text(FREE)}
    )
    ratio = took["read"] / took["toml"]
    report(f"reading three pedals: {ratio:.1f} x tomllib ({1e3 * took['read']:.1f} ms)")
    assert ratio <= 12.0 * ROOM

"""Programs that the Python index cannot give: skipped where missing, or demanded.

A test marked ``viewer`` uses one of them (`pdfinfo`, say). Where it is missing the test
is skipped, so that the gate passes on a plain machine; with FOOTWELL_VIEWERS=1 such a
skip is a failure, so that a machine meant to have them cannot lose them unseen.
"""

import os
from collections.abc import Generator

import pytest

DEMANDED = os.environ.get("FOOTWELL_VIEWERS") == "1"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item,
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Turn the skip of a viewer's test into a failure where viewers are demanded."""
    report = yield
    if DEMANDED and report.skipped and item.get_closest_marker("viewer"):
        report.outcome = "failed"
        report.longrepr = f"{item.nodeid}: its viewer is demanded and missing here."
    return report

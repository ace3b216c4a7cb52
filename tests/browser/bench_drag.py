"""How well the drawing keeps up with a hand, as a ratio: redraws a frame that it led."""

from statistics import median

import pytest

from tests.bench.timing import ROOM, report
from tests.browser.conftest import Open
from tests.browser.hand import drag_on
from tests.browser.priority import first_in_line

pytestmark = [pytest.mark.viewer, pytest.mark.bench]
#: Redraws a frame, frames until all is drawn that the hand has led.
SHARE, DRAIN = 0.9, 3
#: The middle of so many drags counts.
DRAGS = 5


@pytest.mark.parametrize("free", [True, False], ids=["free", "caught"])
def test_a_drag_is_redrawn_in_nearly_every_frame(opened: Open, free: bool) -> None:
    """The three-pedal example, its common shaft: everything hangs on it."""
    three = opened("three-on-one-shaft")
    with first_in_line() as first:
        drags = [drag_on(three, '"shaft"', free=free) for _ in range(DRAGS)]
    told = ", ".join(
        f"{each.share:.2f} ({each.still} still, {each.drain} late)" for each in drags
    )
    report(f"redraws a frame of a drag{', going first' if first else ''}: {told}")
    assert not free or all(each.still == 0 for each in drags)
    assert median(each.share for each in drags) >= SHARE / (1.0 if first else ROOM)
    assert median(each.drain for each in drags) <= DRAIN

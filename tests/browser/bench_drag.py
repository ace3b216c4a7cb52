"""How well the drawing keeps up with a hand, as a ratio: redraws a frame that it led."""

import pytest

from tests.bench.timing import ROOM, report
from tests.browser.conftest import Open
from tests.browser.hand import drag_on

pytestmark = [pytest.mark.viewer, pytest.mark.bench]
#: Redraws a frame, frames until all is drawn that the hand has led.
SHARE, DRAIN = 0.9, 3
#: A shared machine has good moments and bad ones: the best of so many drags counts.
DRAGS = 4


def test_a_drag_is_redrawn_in_nearly_every_frame(opened: Open) -> None:
    """The three-pedal example, its common shaft: everything hangs on it."""
    three = opened("three-on-one-shaft")
    drags = [drag_on(three, '"shaft"') for _ in range(DRAGS)]
    told = ", ".join(f"{each.share:.2f} ({each.drain} late)" for each in drags)
    report(f"redraws a frame of a drag: {told}")
    assert any(each.share >= SHARE / ROOM and each.drain <= DRAIN for each in drags)

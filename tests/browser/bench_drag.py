"""How well the drawing keeps up with a hand, as a ratio: redraws a frame that it led."""

import json
import time

import pytest

from tests.browser.conftest import Open

pytestmark = [pytest.mark.viewer, pytest.mark.bench]
#: Seconds of the drag, and the least share of redraws among frames that the hand led.
#: A busy machine moves the hand less often, so both sides change.
LONG, LEAST = 2.0, 0.9
#: Counts frames: all, those to which the hand had moved, those that were redrawn.
COUNT = """
(() => {
  const seen = { frames: 0, led: 0, redrawn: 0 };
  let fresh = false, led = false;
  new MutationObserver(() => { fresh = true; }).observe(
    document.getElementById("drawing"), { subtree: true, attributes: true });
  addEventListener("pointermove", () => { led = true; }, true);
  const frame = () => {
    seen.frames += 1;
    seen.led += Number(led);
    seen.redrawn += Number(fresh);
    fresh = led = false;
    requestAnimationFrame(frame);
  };
  requestAnimationFrame(frame);
  window.seen = seen;
})()
"""


def test_a_drag_is_redrawn_on_nearly_every_frame(opened: Open) -> None:
    """The three-pedal example, its common shaft: everything hangs on it."""
    three = opened("three-on-one-shaft")
    devtools = three.context.new_cdp_session(three.page)

    def look(expression: str) -> str:
        """Return what an expression gives; the tools of the browser may ask so."""
        found = devtools.send("Runtime.evaluate", {"expression": expression})
        return str(found["result"].get("value"))

    x, y = three.spot(three.point('"shaft"'))
    three.press((x, y))
    three.page.mouse.move(x + 4, y)
    look(COUNT)
    began = time.monotonic()
    while (now := time.monotonic() - began) < LONG:
        share = abs(now % 1.0 - 0.5) * 2.0
        three.page.mouse.move(x + 50 * share, y + 20 * share)
    seen = json.loads(look("JSON.stringify(window.seen)"))
    three.page.mouse.up()
    assert seen["led"] > 5 * LONG
    assert seen["redrawn"] >= LEAST * seen["led"]

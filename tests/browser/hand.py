"""A hand that moves once a frame, and how well the drawing keeps up with it.

The moves are fed from inside the page, so that no message from outside sets the pace:
each frame finds the hand at another place. A frame is redrawn when anything of the
pedals, to scale, has changed in it; the handle in hand lies in a layer of its own and
does not count.
"""

from msgspec import Struct

from tests.browser.opened import Opened

# Moves the held point once a frame; then waits, still, and sees what comes late.
DRAG = """async ([x, y, long, after]) => {
  const handle = document.activeElement;
  let fresh = false;
  const seen = new MutationObserver(() => { fresh = true; });
  const watched = { attributes: true, subtree: true };
  seen.observe(document.querySelector("#drawing .true"), watched);
  const frame = () => new Promise(requestAnimationFrame);
  const drawn = () => { const was = fresh; fresh = false; return was; };
  const began = performance.now();
  let [frames, redraws, drain] = [0, 0, 0];
  while (performance.now() - began < long) {
    const [dx, dy] = [12 * Math.sin(frames / 9), 9 * Math.cos(frames / 7)];
    handle.dispatchEvent(new PointerEvent("pointermove", {
      pointerId: 1, clientX: x + dx, clientY: y + dy, bubbles: true,
    }));
    await frame();
    frames += 1;
    redraws += Number(drawn());
  }
  for (let n = 1; n <= after; n += 1) {
    await frame();
    if (drawn()) drain = n;
  }
  seen.disconnect();
  return [frames, redraws, drain];
}"""
#: Milliseconds of a drag, and frames that are watched after it.
LONG, AFTER = 2000, 30


class Drag(Struct, frozen=True, kw_only=True):
    """What a drag came to.

    Attributes
    ----------
    frames : int
        In which the hand moved.
    redraws : int
        Those in which the pedals did.
    drain : int
        The last frame after the hand had stopped in which the pedals still moved.
    """

    frames: int
    redraws: int
    drain: int

    @property
    def share(self) -> float:
        """Redraws a frame."""
        return self.redraws / self.frames


def drag_on(shown: Opened, name: str) -> Drag:
    """Drag a point for two seconds, and put it back."""
    spot = shown.spot(shown.point(name))
    shown.press(spot)
    frames, redraws, drain = shown.page.evaluate(DRAG, [*spot, LONG, AFTER])
    shown.page.keyboard.press("Escape")
    shown.page.mouse.up()
    return Drag(frames=frames, redraws=redraws, drain=drain)

"""A hand that moves once a frame, and how well the drawing keeps up with it.

The moves are fed from inside the page, so that no message from outside sets the pace.
The hand goes round in a circle, so that each frame finds it more than a millimetre of
the car away from where the last did. A frame is redrawn when anything of the pedals, to
scale, has changed in it; the handle in hand lies in a layer of its own and does not
count. With Alt held nothing catches, and each frame asks for a place of its own. Else
two places may be caught at one and the same: then the second answer tells what stands
already, and its frame is *still*.

An answer counts that came while the hand moved and was the newest when a frame was
drawn: in that frame the arms and levers it tells of have to stand on the drawing. What
comes is heard at the socket itself, so that nothing the page does can hide an answer.
"""

from msgspec import Struct

from tests.browser.opened import Opened

# Moves the held point once a frame; then waits, still, and sees what comes late.
DRAG = """async ([x, y, long, after, listen, altKey]) => {
  const handle = document.activeElement;
  let newest = null;
  const send = WebSocket.prototype.send;
  WebSocket.prototype.send = function (text) {
    WebSocket.prototype.send = send;
    this.addEventListener("message", ({ data }) => {
      if (data.includes('"kind":"preview"')) newest = data;
    });
    return this.send(text);
  };
  const stands = (answer) => {
    const bodies = [...document.querySelectorAll("#drawing .true .body")];
    const drawn = new Set(bodies.map((body) => body.getAttribute("d")));
    const told = JSON.parse(answer).result.pedals.flatMap((each) => each.bodies);
    return told.length > 0 && told.every(({ path }) => drawn.has(path));
  };
  let fresh = false;
  const seen = new MutationObserver(() => { fresh = true; });
  const watched = { attributes: true, subtree: true };
  seen.observe(document.querySelector("#drawing .true"), watched);
  const frame = () => new Promise(requestAnimationFrame);
  const drawn = () => { const was = fresh; fresh = false; return was; };
  const began = performance.now();
  let [frames, redraws, drain, answers, shown] = [0, 0, 0, 0, 0];
  const heard = [];
  while (performance.now() - began < long) {
    const [dx, dy] = [12 * Math.sin(frames / 9), 12 * Math.cos(frames / 9)];
    handle.dispatchEvent(new PointerEvent("pointermove", {
      pointerId: 1, clientX: x + dx, clientY: y + dy, bubbles: true, altKey,
    }));
    await frame();
    frames += 1;
    const redrawn = drawn();
    redraws += Number(redrawn);
    if (newest) {
      answers += 1;
      shown += Number(listen && stands(newest));
      heard.push([newest, redrawn]);
      newest = null;
    }
  }
  for (let n = 1; n <= after; n += 1) {
    await frame();
    if (drawn()) drain = n;
  }
  seen.disconnect();
  const told = heard.map(([answer]) => {
    const { pedals } = JSON.parse(answer).result;
    return JSON.stringify(pedals.map(({ bodies, links }) => [bodies, links]));
  });
  const still = heard.filter(([, redrawn], i) => !redrawn && told[i] === told[i - 1]);
  return [frames, redraws, drain, answers, shown, still.length];
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
    answers : int
        Frames that found a new answer.
    shown : int
        Those of them that drew it, counted only where it was looked for.
    still : int
        Those of them that had nothing to draw: it told what stood already.
    """

    frames: int
    redraws: int
    drain: int
    answers: int
    shown: int
    still: int

    @property
    def share(self) -> float:
        """Redraws a frame, of those that had anything to draw."""
        return self.redraws / (self.frames - self.still)


def drag_on(
    shown: Opened, name: str, *, listen: bool = False, free: bool = False
) -> Drag:
    """Drag a point for two seconds, and put it back; ``free``: with Alt held."""
    spot = shown.spot(shown.point(name))
    shown.press(spot)
    counts = shown.page.evaluate(DRAG, [*spot, LONG, AFTER, listen, free])
    shown.page.keyboard.press("Escape")
    shown.page.mouse.up()
    return Drag(**dict(zip(Drag.__struct_fields__, counts, strict=True)))

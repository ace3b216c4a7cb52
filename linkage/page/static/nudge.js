/** A number nudged by keys or sideways by hand: previews on the way, one step at the end. */

import { gesture } from "./link.js";
import { lift, send } from "./store.js";

const INCH = 25.4;
const PAUSE = 400; // ms after the last key

/** Return how many steps a key or a move stands for: Shift is coarse, Alt is fine. */
export function coarseness(field, { shiftKey, altKey }) {
  const by = field.unit === "in" ? 8 : 10;
  return shiftKey ? by : altKey ? 1 / by : 1;
}

/**
 * Begin at `from`, mm or deg. `show(text)` is told what stands there on the way, `over(number)`
 * that it has ended and what was sent; null: nothing, or it was not taken.
 */
export function nudge(field, from, show, over) {
  const ended = gesture();
  const scale = field.unit === "in" ? INCH : 1;
  const step = field.unit === "in" ? INCH / 16 : 1;
  let steps = 0;
  let timer = 0;
  const change = () => ({ value: field.path, number: from + steps * step });
  const close = (sent) => {
    clearTimeout(timer);
    over(sent);
    ended();
  };
  const running = {
    by(more) {
      steps += more;
      show(String(Math.round((change().number / scale) * 1e4) / 1e4));
      send("preview", { changes: [change()] });
    },
    soon() {
      clearTimeout(timer);
      timer = setTimeout(running.end, PAUSE);
    },
    async end() {
      const label = `nudge ${field.label}`;
      const sent = steps ? send("commit", { changes: [change()], label }) : null;
      close(sent ? change().number : null);
      if ((await sent)?.kind === "state") return;
      over(null);
      lift();
    },
    cancel() {
      close(null);
      lift();
    },
  };
  return running;
}

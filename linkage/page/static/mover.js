/**
 * A point carried by hand or by keys: previews on the way, one step at the end.
 *
 * The point in hand (`store.hold`) stays where it was put until the program has answered.
 */

import { gesture } from "./link.js";
import { say } from "./speak.js";
import { emit, hold, lift, look, send, store } from "./store.js";

const PAUSE = 400; // ms after the last key
const NEAR = 4; // pixels within which a drag is caught
let burst = null;

/** Begin a drag; return null where the point does not move, and say why. */
export function drag(point, view) {
  finishKeys();
  if (refuses(point)) return null;
  const carried = begin(point);
  let free = false;
  return {
    move(at, event) {
      free = event?.altKey ?? false;
      carried.to(at, free ? 0 : NEAR / view.scale);
    },
    end: () => carried.end(),
    cancel: () => carried.cancel(),
  };
}

/** Move a point by keys; presses that follow each other quickly are one step. */
export function nudge(point, [dx, dz]) {
  if (burst?.id !== point.id) finishKeys();
  if (!burst && refuses(point)) return;
  burst ??= { id: point.id, carried: begin(point), timer: 0 };
  const [x, z] = store.hold.at;
  burst.carried.to([x + dx, z + dz], 0);
  clearTimeout(burst.timer);
  burst.timer = setTimeout(finishKeys, PAUSE);
}

export function finishKeys() {
  endKeys("end");
}

/** Put back what the running burst has moved; return whether there was one. */
export function cancelKeys() {
  const running = burst !== null;
  endKeys("cancel");
  return running;
}

function endKeys(way) {
  const ending = burst;
  burst = null;
  if (!ending) return;
  clearTimeout(ending.timer);
  ending.carried[way]();
}

function refuses(point) {
  look(point.id);
  if (store.linked && point.moves) return false;
  const why = store.linked ? point.why : "not connected: nothing can be moved just now";
  say(`${point.label}: ${why ?? "does not move"}`);
  emit("refusal", { id: point.id, why: why ?? "does not move" });
  return true;
}

// ------------------------------------------------------------------ one carried point

function begin(point) {
  const over = gesture();
  const started = store.hold?.id === point.id ? store.hold.at : point.at;
  let change = null;
  let mine = keep(point, started, null);
  const show = (at, caught) => {
    mine = keep(point, at, caught);
  };
  return {
    to(at, near) {
      change = { point: point.id, to: at, near };
      show(at, store.hold?.caught ?? null);
      preview(change, () => store.hold === mine, (caught) => show(mine.at, caught));
    },
    end() {
      over();
      if (change) commit(point, change, () => store.hold?.id === point.id);
      else hold(null);
    },
    cancel() {
      over();
      hold(null);
      lift();
      say(`${point.label} put back`);
    },
  };
}

function keep(point, at, caught) {
  const what = { id: point.id, at, caught };
  hold(what);
  return what;
}

async function preview(change, current, show) {
  const answer = await send("preview", { changes: [change] });
  if (answer.kind === "preview" && current()) show(answer.result.caught ?? null);
}

async function commit(point, change, held) {
  const name = point.pedal ? `${point.pedal} ${point.label}` : point.label;
  const answer = await send("commit", { changes: [change], label: `move ${name}` });
  if (held() && burst?.id !== point.id) hold(null);
  if (answer.kind !== "state") {
    lift();
    return;
  }
  const moved = store.result?.points.find((each) => each.id === point.id);
  if (moved) say(`${name}: ${moved.says}`);
}

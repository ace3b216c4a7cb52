/** The grip beside each pad: press the pedal along its arc with hand or keys. */

import { along, placeAlong } from "./pose.js";
import { cell, choose, colourOf, emit, pedal as pedalOf, store, travel, travelTo } from "./store.js";
import { follow, node, round, set } from "./svg.js";

const OFF = 34; // pixels from the face of the pad
const NEXT = 31; // and where another grip is in the way
let gripped = null;
const KEYS = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 };

/** Keep the grips beside their pads; return them for the pointer. */
export function startGrips(side) {
  side.redrawn.add(() => draw(side));
  return () => [...side.layers.grips.children].map((grip) => taken(side, grip));
}

function draw(side) {
  const { view, layers } = side;
  const pedals = (store.result?.pedals ?? []).filter((pedal) => pedal.pad?.path?.[1]);
  const placed = stand(view, pedals, layers.grips.known ?? new Map());
  follow(layers.grips, pedals, (pedal) => pedal.name, make, (grip, pedal) => {
    const { nearest } = travel(pedal.name);
    const { at, angle, lift } = placed.get(pedal.name);
    Object.assign(grip, { spot: at, pedal: pedal.name, lift });
    const chosen = pedal.name === store.chosen ? " chosen" : "";
    set(grip, {
      class: `grip ${colourOf(pedal.name)}${chosen}`, "aria-label": `${pedal.name} pad, travel`,
      "aria-valuemax": pedal.at.length - 1, "aria-valuenow": nearest, "aria-valuetext": `${cell(pedal, "travel", nearest)} ${store.state.units}`,
      transform: `translate(${round(at[0])} ${round(at[1])})`,
    });
    set(grip.querySelector(".arrow"), { transform: `rotate(${round(angle)})` });
  });
}

/** Pads that cover each other have their grips above each other, the chosen one's lowest. */
function stand(view, pedals, known) {
  const placed = new Map();
  const chosen = (pedal) => Number(pedal.name === store.chosen);
  for (const pedal of [...pedals].sort((a, b) => chosen(b) - chosen(a))) {
    const kept = gripped === null ? 0 : (known.get(pedal.name)?.lift ?? 0);
    const { spot } = travel(pedal.name);
    let grip = standing(view, pedal, spot, kept);
    while (gripped === null && [...placed.values()].some((other) => close(grip.at, other.at))) {
      grip = standing(view, pedal, spot, grip.lift + NEXT);
    }
    placed.set(pedal.name, grip);
  }
  return placed;
}

function close([x, y], [u, v]) {
  return Math.hypot(x - u, y - v) < NEXT - 2;
}

function make() {
  const grip = node("g", { role: "slider", tabindex: 0, "aria-valuemin": 0 },
    node("circle", { class: "hit", r: 22 }),
    node("circle", { class: "focus", r: 15 }),
    node("path", { class: "arrow", d: "M-10 -6H2V-11L14 0L2 11V6H-10Z" }));
  grip.addEventListener("focus", () => choose(grip.pedal));
  grip.addEventListener("keydown", (event) => press(grip.pedal, event));
  return grip;
}

/** Before the face of the pad, against the way it is pressed; lifted along the plate. */
function standing(view, pedal, spot, lift) {
  const { path, press } = pedal.pad;
  const here = view.at(placeAlong(path, spot) ?? path[0]);
  const arm = pedal.bodies.find((body) => body.id === "arm");
  const turn = Math.atan2(press[1], press[0]) + (along(arm?.turn ?? [0], spot) * Math.PI) / 180;
  const [u, v] = [Math.cos(turn) * view.flip, -Math.sin(turn)];
  const up = lift * Math.sign(u || 1);
  const at = [here[0] - OFF * u + up * v, here[1] - OFF * v - up * u];
  return { lift, at, angle: (Math.atan2(v, u) * 180) / Math.PI };
}

function taken(side, grip) {
  return {
    at: grip.spot,
    node: grip,
    first: grip.pedal === store.chosen,
    grab: (from) => {
      emit("pressed", grip.pedal);
      gripped = grip.pedal;
      const began = travel(grip.pedal).mm;
      const off = [grip.spot[0] - from[0], grip.spot[1] - from[1]];
      return {
        move: ([px, py]) => pull(side.view, grip, [px + off[0], py + off[1]]),
        end: () => letGo(side),
        cancel: () => {
          travelTo(grip.pedal, began);
          letGo(side);
        },
      };
    },
  };
}

function letGo(side) {
  gripped = null;
  draw(side);
}

/** Carry the pad to the sample whose grip is nearest to the hand. */
function pull(view, { pedal: name, lift }, [px, py]) {
  const pedal = pedalOf(name);
  if (!pedal) return;
  let best = [Infinity, 0];
  for (let k = 0; k < pedal.at.length; k += 1) {
    const [x, y] = standing(view, pedal, k, lift).at;
    const away = Math.hypot(x - px, y - py);
    if (away < best[0]) best = [away, k];
  }
  travelTo(name, pedal.at[best[1]]);
}

function press(name, event) {
  const pedal = pedalOf(name);
  const last = pedal ? pedal.at.length - 1 : 0;
  const steps = { ...KEYS, Home: -last, End: last }[event.key];
  if (!steps || !pedal) return;
  event.preventDefault();
  emit("pressed", name);
  const k = travel(name).nearest + steps * (event.shiftKey ? 10 : 1);
  travelTo(name, along(pedal.at, Math.min(Math.max(k, 0), last)));
}

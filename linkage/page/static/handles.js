/** The points of the drawing: each a handle for mouse, finger and keys. */

import { cancelKeys, drag, finishKeys, nudge } from "./mover.js";
import { choose, colourOf, emit, look, offsetOf, store } from "./store.js";
import { follow, node, round, set } from "./svg.js";

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
// A step of the arrow keys in mm: plain, with Shift, with Alt.
const STEPS = { mm: [1, 10, 0.1], in: [25.4 / 16, 25.4 / 2, 25.4 / 128] };
const WORDS = {
  fixed: "", free: "free", tolerance: "measured", guess: "a guess", locked: "locked",
  follows: "follows", choice: "one of several",
};

/** Keep the handles where their points are; return them for the pointer. */
export function startHandles(side) {
  side.redrawn.add((onlyTravel) => onlyTravel || drawHandles(side));
  return () => [...side.layers.points.children].map((handle) => taken(side, handle));
}

function taken(side, handle) {
  const { point, spot } = handle;
  return {
    at: spot,
    node: handle,
    first: point.pedal === store.chosen,
    grab: (from) => {
      const session = drag(point, side.view);
      const off = [spot[0] - from[0], spot[1] - from[1]];
      return session && {
        ...session,
        move: ([px, py], event) =>
          session.move(side.view.place([px + off[0], py + off[1]], offsetOf(point.frame)), event),
      };
    },
  };
}

// ------------------------------------------------------------------ drawing

function drawHandles(side) {
  const points = store.result?.points ?? [];
  const around = [side.view.matrix(), store.state, store.chosen, store.looked];
  follow(side.layers.points, points, (point) => point.id, () => make(side), (handle, point) => {
    const seen = [...around, point, store.hold?.id === point.id ? store.hold : null];
    if (handle.seen?.every((what, i) => what === seen[i])) return;
    Object.assign(handle, { seen, point });
    place(side.view, handle, point);
    set(handle, { class: lookOf(point), "aria-label": nameOf(point), "aria-disabled": point.moves ? null : "true" });
    sign(handle, point, side.view.flip);
  });
}

function place(view, handle, point) {
  const offset = offsetOf(point.frame);
  const truly = view.at(point.at, offset);
  const held = store.hold?.id === point.id;
  handle.spot = held ? view.at(store.hold.at, offset) : truly;
  const [px, py] = handle.spot;
  set(handle, { transform: `translate(${round(px)} ${round(py)})` });
  const [dx, dy] = [round(truly[0] - px), round(truly[1] - py)];
  set(handle.querySelector(".truly"), { d: held ? `M0 0L${dx} ${dy}m-5 0h10m-5 -5v10` : null });
}

function make(side) {
  const handle = node("g", {
    role: "button", tabindex: 0, "aria-roledescription": "movable point", "aria-describedby": "keys",
  },
  node("circle", { class: "hit", r: 22 }),
  node("path", { class: "truly" }),
  node("circle", { class: "focus", r: 13 }),
  node("path", { class: "shape" }),
  node("path", { class: "badge" }));
  handle.addEventListener("focus", () => {
    choose(handle.point.pedal);
    look(handle.point.id);
  });
  handle.addEventListener("blur", finishKeys);
  handle.addEventListener("keydown", (event) => press(side, handle.point, event));
  handle.addEventListener("dblclick", () => emit("type", handle.point.id));
  return handle;
}

function lookOf(point) {
  const marks = [
    point.id === store.looked && "looked",
    store.hold?.id === point.id && "held",
    point.moves || "still",
    store.result.pedals.length > 1 && point.pedal && point.pedal !== store.chosen && "other",
  ].filter((mark) => typeof mark === "string");
  return ["handle", `is-${point.state}`, point.pedal ? colourOf(point.pedal) : "shared", ...marks].join(" ");
}

function nameOf(point) {
  const name = point.pedal ? `${point.pedal} ${point.label}` : point.label;
  return [name, point.says, WORDS[point.state], point.moves ? "" : point.why].filter(Boolean).join(", ");
}

const SHAPES = {
  pivot: "M-6 0A6 6 0 1 0 6 0A6 6 0 1 0 -6 0M-10 0H10M0 -10V10",
  shared: "M-6 0A6 6 0 1 0 6 0A6 6 0 1 0 -6 0M-10 0H10M0 -10V10",
  pad: "M-5 -5H5V5H-5Z",
  full: "M-5 -5H5V5H-5Z",
  face: "M0 -6L6 0L0 6L-6 0Z",
  on: "M0 -6L6 0L0 6L-6 0Z",
  axis: "M0 -6L6 0L0 6L-6 0Z",
  ferrule: "M-6 5L0 -6L6 5Z",
  floor: "M-7 0H7M0 -9L-4 -4H4ZM0 9L-4 4H4Z",
  bulkhead: "M0 -7V7M-9 0L-4 -4V4ZM9 0L4 -4V4Z",
};
const ROUND = "M-4.5 0A4.5 4.5 0 1 0 4.5 0A4.5 4.5 0 1 0 -4.5 0";

// Beside the handle: a lock, a question mark, a plus-minus, dots; arrows stand for what is free.
const BADGES = {
  locked: "M9 -9h8v6h-8zM10.500 -9v-2a2.500 2.500 0 0 1 5 0v2",
  guess: "M10 -13a3 3 0 1 1 4 3q-1 .6 -1 2M13 -5.500v.8",
  tolerance: "M10 -10h7M13.500 -13.500v7M10 -4.500h7",
  choice: "M10 -9h.6M13.500 -9h.6M17 -9h.6",
};

/** A double arrow along each way that a free number leaves a point. */
function arrows({ ways }, flip) {
  return ways.map(([x, z]) => {
    const at = (along, off) => `${round(15 + (along * x + off * z) * flip)} ${round(-13 + off * x - along * z)}`;
    const head = (tip, back) => `M${at(back, 2.6)}L${at(tip, 0)}L${at(back, -2.6)}`;
    return `M${at(-7, 0)}L${at(7, 0)}${head(-7, -4)}${head(7, 4)}`;
  }).join("");
}

function sign(handle, point, flip) {
  set(handle.querySelector(".shape"), { d: SHAPES[point.role] ?? ROUND });
  set(handle.querySelector(".badge"), { d: point.state === "free" ? arrows(point, flip) : (BADGES[point.state] ?? null) });
}

// ------------------------------------------------------------------ keys

function press(side, point, event) {
  const way = ARROWS[event.key];
  if (way) {
    event.preventDefault(); // Alt and an arrow would turn the page back
    const step = STEPS[store.state.units][event.shiftKey ? 1 : event.altKey ? 2 : 0];
    nudge(point, [way[0] * step * side.view.flip, way[1] * step]);
  } else if (event.key === "Enter" || event.key === " ") {
    event.preventDefault();
    finishKeys();
    emit("type", point.id);
  } else if (event.key === "Escape" && cancelKeys()) {
    event.stopPropagation();
  }
}

/**
 * How this tab looks at the design: lengths in mm or inches, from the right or left door,
 * a pad at a place that was typed.
 */

import { on, send, store } from "./store.js";
import { button, html, set } from "./svg.js";

const UNITS = { mm: "mm", in: "inch" };
const DOORS = { right: "right door", left: "left door" };

export function start(mount) {
  const units = choice("lengths in", UNITS, (name) => show({ units: name }));
  const doors = choice("seen from the", DOORS, (name) => show({ door: name }));
  mount.append(units.root, doors.root);
  const draw = () => {
    const { state } = store;
    if (!state) return;
    units.draw(state.units);
    doors.draw(state.door);
  };
  let wanted = null;

  function show(change) {
    const { state } = store;
    wanted = { units: state.units, door: state.door, ...wanted, ...change };
    send("show", wanted);
  }
  on("asked", ({ name, mm }) => show({ also: { ...wanted?.also, [name]: mm } }));
  // A new connection starts with the file's own units: say again what was chosen.
  on("link", (linked) => linked && wanted && send("show", wanted));
  on("state", draw);
  draw();
}

function choice(label, names, pick) {
  const buttons = Object.entries(names).map(([name, text]) => [name, button(text, () => pick(name), "small")]);
  const root = html("span", { class: "choice", role: "group", "aria-label": label }, ...buttons.map(([, each]) => each));
  const draw = (now) => {
    for (const [name, each] of buttons) set(each, { "aria-pressed": String(name === now) });
  };
  return { root, draw };
}

/**
 * What the chosen pedal does where its pad stands: the row of `footwell sweep`, and its
 * sentences. Every text is the program's.
 */

import { soon } from "./frame.js";
import { choose, colourOf, on, pedal, store, travel } from "./store.js";
import { follow, html, set, tell } from "./svg.js";

export function start(mount) {
  const names = html("div", { class: "pedals", role: "group", "aria-label": "pedal looked at" });
  const figures = html("dl", { class: "figures" });
  mount.append(names, figures);
  const draw = () => {
    drawNames(names);
    drawFigures(figures);
  };
  for (const topic of ["told", "travel", "chosen"]) on(topic, () => soon("readings", draw));
}

export function startSaid(mount) {
  const draw = () => drawSaid(mount);
  on("state", draw);
  on("chosen", draw);
}

function drawNames(names) {
  const pedals = store.result?.pedals ?? [];
  follow(names, pedals, (each) => each.name, makeName, (button, each) => {
    set(button, { class: colourOf(each.name), "aria-pressed": String(each.name === store.chosen) });
  });
}

function makeName({ name }) {
  const button = html("button", { type: "button" }, html("span", { class: "swatch" }), name);
  button.addEventListener("click", () => choose(name));
  return button;
}

function drawFigures(figures) {
  const shown = pedal();
  const columns = shown ? shown.table.head : [];
  const k = travel().nearest;
  follow(figures, columns.map((_, i) => i), String, makeFigure, (figure, i) => {
    tell(figure.firstChild, columns[i].join(" "));
    tell(figure.lastChild, shown.table.rows[i][k] || "\u00a0");
  });
}

function makeFigure() {
  return html("div", {}, html("dt"), html("dd"));
}

function drawSaid(mount) {
  const result = store.result;
  const shown = pedal();
  mount.replaceChildren(
    ...(shown ? [html("h3", {}, `${shown.name}, in words`), sentences(shown.sentences)] : []),
    ...(result?.notes ?? []).map((note) => html("p", { class: "note" }, note)),
  );
}

function sentences(pairs) {
  const rows = pairs.flatMap(([name, text]) => [html("dt", {}, name), html("dd", {}, text)]);
  return html("dl", { class: "sentences" }, ...rows);
}

/**
 * The pads along their arcs: a slider and a number each, one for all, and Play.
 *
 * Everything needed is in the last result; the program is not asked.
 */

import { soon } from "./frame.js";
import { readLength } from "./typed.js";
import { cell, choose, colourOf, emit, on, pedal, store, travel, travelBy, travelTo } from "./store.js";
import { follow, html, set, tell } from "./svg.js";

const TURN = 4200; // ms from rest to full and back
const STEP = 700; // ms a step where motion is unwelcome
const AT = 1; // mm: still at a mark
let play = null;

export function start(mount) {
  const button = html("button", { type: "button", class: "play", "aria-pressed": "false" }, "Play");
  button.addEventListener("click", () => (play ? stop(button) : run(button)));
  const rows = html("div", { class: "rows" });
  mount.append(button, rows);
  const draw = () => drawRows(rows);
  on("told", () => soon("travel rows", draw));
  on("travel", () => soon("travel rows", draw));
  on("chosen", () => soon("travel rows", draw));
  on("pressed", () => stop(button));
}

// ------------------------------------------------------------------ play

function run(button) {
  const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
  play = { began: performance.now() - sharePassed(), still };
  tellPlay(button, true);
  requestAnimationFrame((now) => step(button, now));
}

/** Go on from where the pads are. */
function sharePassed() {
  const share = travel().nearest / ((pedal()?.at.length ?? 0) - 1 || 100);
  return share >= 1 ? 0 : (share * TURN) / 2;
}

function step(button, now) {
  if (!play) return;
  if (!store.result) return stop(button);
  const passed = play.still ? Math.floor((now - play.began) / STEP) / 20 : (now - play.began) / TURN;
  const turn = passed % 1;
  travelBy(turn < 0.5 ? 2 * turn : 2 - 2 * turn);
  requestAnimationFrame((next) => step(button, next));
}

function stop(button) {
  play = null;
  tellPlay(button, false);
}

function tellPlay(button, running) {
  tell(button, running ? "Stop" : "Play");
  set(button, { "aria-pressed": String(running) });
}

// ------------------------------------------------------------------ rows

function drawRows(rows) {
  const pedals = store.result?.pedals ?? [];
  const items = pedals.length > 1 ? [{ name: null }, ...pedals] : pedals;
  follow(rows, items, (item) => item.name ?? "", makeRow, (row, item) => {
    if (item.name === null) drawAll(row);
    else drawRow(row, item);
  });
}

function makeRow(item) {
  const slider = html("input", {
    type: "range", min: 0, max: 100, step: 1, "aria-label": item.name ? `${item.name} travel` : "all pedals, share of travel",
  });
  const row = html("div", { class: "row" }, html("span", { class: "name" }, item.name ?? "all"), slider);
  if (item.name === null) {
    slider.addEventListener("input", () => travelBy(slider.valueAsNumber / 100));
    return row;
  }
  slider.addEventListener("input", () => toPlace(item.name, slider.valueAsNumber));
  slider.addEventListener("focus", () => choose(item.name));
  row.append(number(item.name), html("span", { class: "unit" }), html("span", { class: "met" }));
  return row;
}

function toPlace(name, k) {
  const places = pedal(name)?.at;
  if (places) travelTo(name, places[Math.min(Math.max(k, 0), places.length - 1)]);
}

function number(name) {
  const input = html("input", {
    type: "text", size: 7, inputmode: "decimal", autocomplete: "off", "aria-label": `${name} travel, number`,
  });
  input.addEventListener("change", () => {
    const mm = readLength(input.value, store.state.units);
    set(input, { "aria-invalid": mm === null ? "true" : null });
    if (mm === null) return;
    travelTo(name, mm);
    input.typed = { text: input.value, mm };
    ask(name, mm);
  });
  return input;
}

/** Between the places that are known, the program tells one more. */
function ask(name, mm) {
  const places = pedal(name)?.at ?? [];
  const known = places.some((place) => Math.abs(place - mm) < 1e-3);
  if (mm > 0 && mm < places[places.length - 1] && !known) emit("asked", { name, mm });
}

function drawAll(row) {
  if (store.share !== null) row.querySelector("[type=range]").value = Math.round(100 * store.share);
}

function drawRow(row, pedal) {
  const { mm, nearest } = travel(pedal.name);
  const text = cell(pedal, "travel", nearest);
  const slider = row.querySelector("[type=range]");
  const field = row.querySelector("[type=text]");
  set(slider, { max: pedal.at.length - 1 });
  slider.value = nearest;
  set(slider, { "aria-valuetext": `${text} ${store.state.units}` });
  if (field !== document.activeElement) field.value = field.typed?.mm === mm ? field.typed.text : text;
  tell(row.querySelector(".unit"), store.state.units);
  tell(row.querySelector(".met"), met(pedal, mm));
  set(row, { class: `row ${colourOf(pedal.name)}${pedal.name === store.chosen ? " chosen" : ""}` });
}

/** What the pad has come to, or what it passed last. */
function met(pedal, mm) {
  const passed = pedal.marks.filter((mark) => mark.travel <= mm + 1e-6);
  const last = passed[passed.length - 1];
  return last ? `${mm - last.travel > AT ? "passed: " : ""}${last.text}` : "";
}

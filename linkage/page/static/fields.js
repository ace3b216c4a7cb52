/**
 * Every number and choice of the chosen pedal, by part, as the file spells it.
 *
 * What is typed stands until the program has taken it: a refused text stays, with its
 * fault beside it.
 */

import { reading, sentences, spell, unitBeside, weld, weldTitle } from "./card.js";
import { coarseness, nudge } from "./nudge.js";
import { on, send, store } from "./store.js";
import { button, follow, html, set, tell } from "./svg.js";

const HINT = "Type a number, press arrow up or down in it, or drag its name sideways. \u201c45 to " +
  "65\u201d leaves it free for a search, \u201cabout 11\u201d is a guess, \u201c120 +- 2\u201d a tolerance.";
const PIXELS = 6; // a step of a drag
const KEYS = { ArrowUp: 1, ArrowDown: -1 };

export function start(mount) {
  const list = html("div");
  mount.append(html("p", { class: "hint" }, HINT), list);
  const draw = () => mount.closest("[hidden]") || follow(list, groups(), ([name]) => name, makeGroup, drawGroup);
  for (const topic of ["state", "chosen", "opened"]) on(topic, draw);
}

/** The pedal's own groups, then what all pedals share. */
function groups() {
  const found = new Map();
  const all = store.result?.fields ?? [];
  const of = (pedal) => all.filter((field) => field.pedal === pedal);
  for (const field of [...of(store.chosen), ...of(null)]) {
    const key = `${field.pedal ?? ""} ${field.group}`;
    if (!found.has(key)) found.set(key, []);
    found.get(key).push(field);
  }
  return [...found];
}

function makeGroup([, [{ group }]]) {
  return html("fieldset", {}, html("legend", {}, group === "point" ? "shared points" : group), html("div", { class: "fields" }));
}

function drawGroup(group, [, fields]) {
  follow(group.lastChild, fields, ({ path, kind }) => `${spot(path)} ${kind === "choice"}`, makeRow, drawRow);
}

/** A field is the same one when its word has turned, "back" into "ahead". */
function spot(path) {
  return path.replace(/(back|ahead)$/, "x").replace(/(down|up)$/, "z");
}

// ------------------------------------------------------------------ one field

function makeRow(field) {
  const id = `field ${spot(field.path)}`.replaceAll(" ", "-");
  const input = field.kind === "choice" ? html("select") : html("input", { type: "text", autocomplete: "off", spellcheck: "false" });
  set(input, { id, "aria-describedby": `${id}-says ${id}-fault` });
  const label = html("label", { for: id });
  const says = html("span", { class: "says", id: `${id}-says` });
  const fault = html("span", { class: "fault", id: `${id}-fault`, role: "status" });
  const lock = button("", () => weld(row.point), "small");
  const row = html("div", { class: "field" }, label, input, html("span", { class: "unit" }), lock, says, fault);
  Object.assign(row, { field, input, label, says, fault, lock, typed: false, nudged: null, due: null });
  input.addEventListener("input", () => {
    row.typed = true;
  });
  input.addEventListener("change", () => put(row));
  if (field.kind !== "choice") takeHand(row);
  return row;
}

function drawRow(row, field) {
  row.field = field;
  const point = store.result.points.find(({ values, locks }) => locks && values[0] === field.path);
  tell(row.label, shortly(field));
  set(row.input, { "aria-label": field.label });
  tell(row.querySelector(".unit"), unitBeside(field));
  tell(row.says, saying(field));
  row.label.classList.toggle("slides", slides(field));
  row.point = point;
  row.lock.hidden = !point;
  if (point) {
    const word = point.state === "locked" ? "Unlock" : "Lock";
    tell(row.lock, word);
    set(row.lock, { "aria-label": `${word} ${point.label}`, title: weldTitle(word === "Unlock") });
  }
  if (field.kind === "choice") row.input.replaceChildren(...field.options.map((text) => html("option", {}, text)));
  if (!row.nudged) row.due = null;
  if (!row.typed && !row.nudged) refill(row);
}

function refill(row) {
  const { field, input } = row;
  row.typed = false;
  input.value = field.kind === "choice" ? field.options[0] : reading(field);
  if (field.kind !== "choice") input.readOnly = field.locked;
  complain(row, "");
}

function complain(row, text) {
  tell(row.fault, text);
  set(row.input, { "aria-invalid": text ? "true" : null });
  if (text) row.scrollIntoView({ block: "nearest" });
}

/** Under the heading "pivot", "pivot, back" is only "back". */
function shortly({ label, group }) {
  return (label.startsWith(group) && label.slice(group.length).replace(/^[, ]+/, "")) || label;
}

/** A number that is more than a plain one says so, with a sign. */
function saying({ kind, guess, give, locked, says }) {
  const sign = locked ? "\u25a0" : kind !== "fixed" ? "\u2194" : guess ? "\u2248" : "\u00b1";
  return kind === "fixed" && !guess && give === null && !locked ? "" : `${sign} ${says}`;
}

async function put(row) {
  const { field, input } = row;
  const text = field.kind === "choice" ? input.value : spell(field, input.value);
  if (field.kind !== "choice" && input.value.trim() === reading(field)) return refill(row);
  const answer = await send("commit", { changes: [{ value: field.path, text }], label: `type ${field.label}` });
  if (answer.kind === "refused") complain(row, sentences(answer.faults));
  else if (answer.kind === "state") refill(row);
}

// ------------------------------------------------------------------ nudged

function slides({ number, locked }) {
  return number !== null && !locked;
}

/** A nudge goes on from the last one, answered or not: three quick presses are three steps. */
function begin(row) {
  if (row.nudged) return row.nudged;
  const running = nudge(row.field, row.due ?? row.field.number, (text) => (row.input.value = text), (sent) => {
    row.due = sent;
    if (row.nudged !== running) return; // the next has begun meanwhile
    row.nudged = null;
    row.typed = false;
  });
  row.nudged = running;
  return running;
}

function takeHand(row) {
  const { label, input } = row;
  input.addEventListener("keydown", (event) => press(row, event));
  input.addEventListener("blur", () => row.nudged?.end());
  label.addEventListener("pointerdown", (event) => slides(row.field) && !row.typed && slide(row, event));
}

function press(row, event) {
  const way = KEYS[event.key];
  if (event.key === "Escape") {
    row.nudged?.cancel();
    refill(row);
  }
  if (!way || !slides(row.field) || row.typed) return;
  event.preventDefault();
  begin(row).by(way * coarseness(row.field, event));
  row.nudged.soon();
}

function slide(row, { clientX, pointerId }) {
  const { label } = row;
  const ending = new AbortController();
  const listen = (name, work) => label.addEventListener(name, work, { signal: ending.signal });
  let gone = 0;
  label.setPointerCapture(pointerId);
  listen("pointermove", (event) => {
    const now = Math.round((event.clientX - clientX) / PIXELS);
    if (now !== gone) begin(row).by((now - gone) * coarseness(row.field, event));
    gone = now;
  });
  const end = (way) => () => {
    ending.abort();
    row.nudged?.[way]();
    if (way === "cancel") refill(row);
  };
  listen("pointerup", end("end"));
  listen("pointercancel", end("cancel"));
  addEventListener("keydown", (event) => event.key === "Escape" && end("cancel")(), { signal: ending.signal });
}

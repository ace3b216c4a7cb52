/**
 * The card of the point that is looked at: what it is, where it is, its numbers to type.
 *
 * It stands in one place above the drawing, so that it covers nothing and moves nothing.
 */

import { button, html, set, tell } from "./svg.js";
import { on, send, store } from "./store.js";

const HINT = "Drag a point, or reach it with Tab and move it with the arrow keys. " +
  "The arrow beside a pad presses the pedal.";
const NAMED = /[\d.]\s*(mm|cm|m|in|ft|deg|["\u201d\u00b0])(?![a-z])/;
let mount = null;
let refusal = null;

export function start(place, refused) {
  mount = place;
  refusal = refused;
  on("looked", () => {
    refuse("");
    draw();
  });
  on("shown", refresh);
  on("state", () => refuse(""));
  on("hold", (held) => held && refuse(""));
  on("refusal", ({ why }) => refuse(why));
  on("fault", ({ faults }) => document.activeElement?.closest("aside") || refuse(sentences(faults)));
  on("type", () => mount.querySelector("input")?.select());
  draw();
}

function refuse(text) {
  tell(refusal, text);
}

/** Return faults in words. */
export function sentences(faults) {
  return (faults ?? []).flatMap(({ wrong, right }) => [wrong, right]).filter(Boolean).join(" ");
}

/** Return faults with what each is of, and once for all what would be right. */
export function named(faults) {
  const of = ({ line, key, wrong }) => `${line ? `line ${line}, ` : ""}${key ? `${key}: ` : ""}${wrong}`;
  return [...new Set([...faults.map(of), ...faults.map(({ right }) => right)])].filter(Boolean).join(" ");
}

/** Return what a field's number reads: as spelt, but in the units of this page; or as moved. */
export function reading(field) {
  const moved = store.preview?.moved?.[field.path];
  if (moved !== undefined) return moved;
  return isForeign(field) ? field.shown : field.text;
}

/** Return the unit to stand beside a field: none where its text carries one. */
export function unitBeside(field) {
  return NAMED.test(reading(field)) ? "" : (field.unit ?? "");
}

/** Return what a person typed as it would stand in the file: with a unit where it needs one. */
export function spell(field, typed) {
  const text = typed.trim();
  const bare = /\d/.test(text) && !NAMED.test(text);
  return bare && isForeign(field) ? `${text} ${field.unit}` : text;
}

/** Whether a field is a length that this page shows in other units than the file's. */
function isForeign(field) {
  return ["mm", "in"].includes(field.unit) && field.unit !== store.state.file_units;
}

function looked() {
  return store.result?.points.find((point) => point.id === store.looked) ?? null;
}

function fieldsOf(point) {
  const fields = new Map((store.result?.fields ?? []).map((field) => [field.path, field]));
  return (point?.values ?? []).map((path) => fields.get(path)).filter(Boolean);
}

function draw() {
  const point = looked();
  if (!point) {
    mount.replaceChildren(html("p", { class: "hint" }, HINT));
    return;
  }
  const name = point.pedal ? `${point.pedal}: ${point.label}` : point.label;
  mount.replaceChildren(...[
    html("strong", { class: "name" }, name),
    html("span", { class: "says" }),
    ...fieldsOf(point).map((field) => entry(field)),
    point.locks ? lock(point) : null,
    html("span", { class: "why" }),
  ].filter(Boolean));
  refresh();
}

/** New figures into the card; what is being typed is left alone. */
function refresh() {
  const point = looked();
  const inputs = [...mount.querySelectorAll("input")];
  const fields = fieldsOf(point);
  if (!point || inputs.length !== fields.length || !mount.querySelector(".says")) {
    if (mount.firstChild?.className !== "hint" || point) drawOnce(point);
    return;
  }
  tell(mount.querySelector(".says"), point.says ?? "");
  tell(mount.querySelector(".why"), point.moves ? "" : (point.why ?? ""));
  inputs.forEach((input, i) => {
    const [said] = input.parentElement.children;
    input.field = fields[i]; // "back" may have become "ahead" since
    tell(said, shortly(fields[i]));
    set(input, { "aria-label": fields[i].label });
    if (input !== document.activeElement) input.value = reading(fields[i]);
    input.readOnly = fields[i].locked ?? false;
  });
}

function drawOnce(point) {
  if (point && fieldsOf(point).length === mount.querySelectorAll("input").length) return;
  draw();
}

function entry(field) {
  const size = Math.min(Math.max(reading(field).length + 1, 6), 20);
  const input = html("input", { type: "text", size, autocomplete: "off", spellcheck: "false" });
  input.addEventListener("keydown", (event) => {
    if (event.key === "Enter") put(input);
    if (event.key !== "Escape") return;
    input.value = reading(input.field);
    back();
  });
  input.addEventListener("change", () => put(input));
  return html("label", {}, html("span"), input, html("span", { class: "unit" }, unitBeside(field)));
}

/** The card is headed by the point: "pivot, back" is only "back" there. */
function shortly({ label }) {
  return label.slice(label.indexOf(",") + 1).trim();
}

async function put(input) {
  const { field, value: typed } = input;
  if (input.value.trim() === reading(field)) return;
  const change = { value: field.path, text: spell(field, input.value) };
  const answer = await send("commit", { changes: [change], label: `type ${field.label}` });
  input.toggleAttribute("aria-invalid", answer.kind === "refused");
  if (answer.kind === "state" && input.value === typed) input.value = reading(input.field);
}

/** The handle gets the keys again. */
function back() {
  const handles = [...document.querySelectorAll("g.handle")];
  handles.find((handle) => handle.point.id === store.looked)?.focus();
}

/** What the button of a lock does, or has done. */
export function weldTitle(locked) {
  return locked ? "welded: nothing may move it until it is unlocked" : "weld it here: nothing may move it";
}

/** Weld a point where it is, or let it go. */
export function weld({ id, label, state }) {
  const on = state !== "locked";
  send("commit", { changes: [{ lock: id, on }], label: `${on ? "lock" : "unlock"} ${label}` });
}

function lock(point) {
  const locked = point.state === "locked";
  const made = button(locked ? "Unlock" : "Lock", () => weld(point));
  set(made, { title: weldTitle(locked) });
  return made;
}

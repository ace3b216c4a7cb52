/** What is wanted of the chosen pedal, what it gets, and a form to change either. */

import { sentences } from "./card.js";
import { on, pedal, send, store } from "./store.js";
import { button, follow, html, set, tell } from "./svg.js";

const NOTHING = "Nothing is asked of this pedal yet. Add a target: ratio exactly 5.5 at 60 mm, say.";
const WHERE = "Where: rest, full, 60 %, 35 mm or 0 to 70 mm of pad; empty is all along.";
const SIGNS = new Map([[true, "\u2713 holds"], [false, "\u2717 missed"], [null, "\u2013 not judged"]]);
// How it is wanted: in words, and by which keys the file says so.
const WAYS = {
  is: ["exactly", ["is", "within"]],
  least: ["at least", ["least"]],
  most: ["at most", ["most"]],
  both: ["from least to most", ["least", "most"]],
  small: ["as small as can be", []],
  large: ["as large as can be", []],
};
const ENTRIES = {
  at: ["where", "35 mm"], which: ["which rod or lever", "1"],
  between: ["between", "pad, pivot"],
  is: ["value", "5.5"], within: ["within", "0.05"], least: ["least", "5"], most: ["most", "6"],
};

export function start(mount) {
  const list = html("ul", { class: "targets" });
  const none = html("p", { class: "hint" }, NOTHING);
  const add = button("Add a target", () => edit(form, { n: null, keys: {} }));
  const form = makeForm(() => add.focus());
  mount.append(list, none, add, form.root);
  const draw = () => {
    const targets = pedal()?.targets ?? [];
    follow(list, targets, ({ n }) => `${store.chosen} ${n}`, () => makeRow(form), drawRow);
    none.hidden = targets.length > 0;
    add.hidden = !pedal();
    if (moved(form.target, targets)) form.root.hidden = true;
  };
  on("state", draw);
  on("chosen", () => {
    form.root.hidden = true;
    draw();
  });
  draw();
}

/** Whether the target in the form is not the one any more that bears its number. */
function moved(target, targets) {
  if (!target?.n) return false;
  const now = targets.find(({ n }) => n === target.n);
  return JSON.stringify(now?.keys) !== JSON.stringify(target.keys);
}

// ------------------------------------------------------------------ what stands

function makeRow(form) {
  const [says, met, gets, why] = ["says", "met", "gets", "why"].map((look) => html("span", { class: look }));
  const row = html("li", {}, says, met, gets, button("Change", () => edit(form, row.target), "small"), button("Remove", () => remove(row.target), "small"), why);
  return Object.assign(row, { words: [says, met, gets, why] });
}

function drawRow(row, target) {
  const { says, wanted, got, met, why } = target;
  row.target = target;
  const words = [says, SIGNS.get(met), `wanted ${wanted}${got ? `; is ${got}` : ""}`, why ?? ""];
  words.forEach((text, i) => tell(row.words[i], text));
  set(row, { class: met === true ? "met" : met === false ? "missed" : null });
  for (const made of row.querySelectorAll("button")) set(made, { "aria-label": `${made.textContent} ${says}` });
}

function remove({ n }) {
  send("commit", { changes: [{ target: [store.chosen, n], remove: true }], label: `remove target ${n}` });
}

// ------------------------------------------------------------------ the form

function makeForm(left) {
  const of = html("select", { "aria-label": "of what" });
  const how = html("select", { "aria-label": "how" }, ...Object.entries(WAYS).map(([value, [text]]) => html("option", { value }, text)));
  const entries = Object.entries(ENTRIES).map(([key, [name, placeholder]]) => {
    const input = html("input", { type: "text", placeholder, "aria-label": name, autocomplete: "off" });
    return [key, { input, label: html("label", {}, name, input) }];
  });
  const fault = html("p", { class: "fault", role: "status" });
  const root = html("form", { class: "ask" });
  const form = { root, of, how, entries: Object.fromEntries(entries), fault, target: null };
  const close = () => {
    root.hidden = true;
    left();
  };
  const [at, which, between, ...numbers] = entries.map(([, { label }]) => label);
  root.append(html("label", {}, "of", of), between, which, at, html("label", {}, "how", how), ...numbers, html("p", { class: "hint" }, WHERE), fault,
    html("p", { class: "ways" }, html("button", { type: "submit" }, "Apply"), button("Leave it", close)));
  root.hidden = true;
  of.addEventListener("change", () => drawForm(form));
  how.addEventListener("change", () => drawForm(form));
  root.addEventListener("keydown", (event) => event.key === "Escape" && close());
  root.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (await apply(form)) close();
  });
  return form;
}

function edit(form, target) {
  const { keys } = target;
  form.target = target;
  form.of.replaceChildren(...store.result.quantities.map(({ name }) => html("option", {}, name)));
  form.of.value = keys.of?.replaceAll("_", " ") ?? "ratio";
  form.how.value = keys.prefer ?? (keys.is ? "is" : keys.least && keys.most ? "both" : keys.least ? "least" : keys.most ? "most" : "is");
  for (const [key, { input }] of Object.entries(form.entries)) input.value = keys[key] ?? "";
  form.root.hidden = false;
  drawForm(form);
  form.of.focus();
}

function wants({ of, how, target }) {
  const asked = store.result.quantities.find(({ name }) => name === of.value);
  const several = target?.keys.which || (pedal()?.links.length ?? 0) > 1;
  return ["at", ...(several && !asked?.between ? ["which"] : []), ...(asked?.between ? ["between"] : []), ...WAYS[how.value][1]];
}

function drawForm(form) {
  const shown = wants(form);
  for (const [key, { label }] of Object.entries(form.entries)) label.hidden = !shown.includes(key);
  tell(form.fault, "");
}

/** Send what differs from what stands; return whether it was taken. */
async function apply(form) {
  const { target: { n, keys }, of, how, entries } = form;
  const wish = { of: of.value, prefer: WAYS[how.value][1].length ? null : how.value };
  const shown = wants(form);
  for (const [key, { input }] of Object.entries(entries)) wish[key] = (shown.includes(key) && input.value.trim()) || null;
  const differs = Object.entries(wish).filter(([key, text]) => text !== (keys[key] ?? null));
  if (!differs.length) return true;
  const changed = Object.fromEntries(differs.map(([key, text]) => [key, key === "between" && text ? listed(text) : text]));
  const change = { target: [store.chosen, n], [n ? "set" : "add"]: changed };
  const answer = await send("commit", { changes: [change], label: n ? `change target ${n}` : "add a target" });
  tell(form.fault, sentences(answer.faults));
  return answer.kind === "state";
}

/** "pad, pivot" as the file lists it. */
function listed(text) {
  return JSON.stringify(text.split(",").map((name) => name.trim()));
}

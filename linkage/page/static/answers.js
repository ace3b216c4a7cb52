/** A search for places: asked for, waited for, its answers shown and taken. */

import { sentences } from "./card.js";
import { moving, still } from "./pose.js";
import { say } from "./speak.js";
import { colourOf, on, send, store } from "./store.js";
import { button, html, node, tell } from "./svg.js";

const LEAD = "Let the program find places for all numbers that are free, so that every target holds.";
const MARKS = {
  mm: [["as exact as can be", null], ["round to 0.5 mm", 0.5], ["round to 1 mm", 1]],
  in: [["as exact as can be", null], ["round to 1/32 in", 0.79375], ["round to 1/16 in", 1.5875]],
};
const BEFORE = "This is of an earlier state of the design.";
const EDGE = 8; // mm round a small side view
const STANDS = "This answer stands in the design now; Undo takes it back.";
const OTHER = "Another answer stands in the design now.";
const OLD = "The design has changed since: place again to have answers for what stands now.";

export function start(mount) {
  const mark = html("select", { "aria-label": "to be marked out" });
  const go = button("Place what is free", () => ask(parts));
  const halt = button("Stop", () => send("stop"));
  const bar = html("progress", { "aria-label": "search", max: 1, value: 0 });
  const said = html("p", { class: "fault", role: "status" });
  const found = html("div", { class: "found" });
  const parts = { go, halt, bar, mark, said, found, rev: null, taken: null, taking: false };
  mount.append(html("h2", {}, "Place"), html("p", { class: "hint" }, LEAD), html("p", { class: "ways" }, go, mark, bar, halt), said, found);
  wait(parts, false);
  const draw = () => {
    if (!store.state) return;
    mount.hidden = !store.result;
    if (mark.units !== store.state.units) {
      mark.units = store.state.units;
      mark.replaceChildren(...MARKS[mark.units].map(([text, value]) => html("option", { value: value ?? "" }, text)));
    }
    if (!parts.taking) drawAge(parts);
  };
  on("state", draw);
  draw();
}

/** An answer that was taken stands until something else changes. */
function drawAge({ rev, taken, said, found }) {
  const stands = taken?.rev === store.state.rev ? taken.n : null;
  const gone = rev !== null && rev !== store.state.rev;
  if (gone) tell(said, stands === null ? OLD : "");
  for (const take of found.querySelectorAll("button")) take.disabled = gone;
  for (const note of found.querySelectorAll(".old")) {
    note.hidden = !gone;
    note.classList.toggle("fault", note.n !== stands);
    tell(note, stands === null ? BEFORE : note.n === stands ? STANDS : OTHER);
  }
}

function wait({ go, halt, bar }, running) {
  go.disabled = running;
  halt.hidden = bar.hidden = !running;
}

async function ask(parts) {
  const { bar, mark, said, found } = parts;
  bar.value = 0;
  wait(parts, true);
  tell(said, "");
  found.replaceChildren();
  const pedal = (store.result?.pedals.length ?? 0) > 1 ? store.chosen : null;
  const body = { pedal, mark: mark.value ? Number(mark.value) : null, seed: 0 };
  const answer = await send("place", body, ({ share }) => (bar.value = share));
  wait(parts, false);
  parts.taken = null;
  parts.rev = answer.kind === "placed" ? answer.rev : null;
  if (answer.kind === "refused") tell(said, sentences(answer.faults));
  else if (answer.status === "stopped") tell(said, "Stopped. Nothing was changed.");
  else if (answer.kind === "placed") show(parts, answer);
}

function show(parts, placed) {
  const { found } = parts;
  found.replaceChildren(
    ...(placed.conflicts.length ? [] : [para(placed.says, "hint")]),
    ...placed.answers.map((answer) => answerOf(answer, placed, parts)),
    ...placed.conflicts.map(conflictOf),
    ...(placed.gives?.length ? [gives(placed.gives, "This would do, the rest kept")] : []),
    ...[...placed.besides, ...placed.notes].map((text) => para(text, "note")),
  );
  say(placed.says);
  found.scrollIntoView({ block: "nearest" });
}

// ------------------------------------------------------------------ rows

function answerOf(answer, placed, parts) {
  const take = button(`Take answer ${answer.n}`, () => taken(answer.n, parts));
  const marked = placed.mark !== null;
  return html("article", {},
    html("h3", {}, `Answer ${answer.n}. ${answer.says}`), before(answer.n), picture(answer, placed.door), take,
    grid(["number", "you allowed", ...(marked ? ["exact", "to mark out"] : ["written"])],
      answer.values.map((row) => [row.label, row.allowed, ...(marked ? [row.exact] : []), row.put])),
    grid(["target", "wanted", marked ? "as marked" : "gets"],
      answer.targets.map((row) => [row.says, row.wanted, `${row.got} ${row.met ? "\u2713" : "\u2717 missed"} ${row.verdict}`])),
    para([answer.free.says, answer.free.each.join("; ")].filter(Boolean).join(" "), "note"),
    ...[...answer.touched, ...answer.metal].map((text) => para(text, "note")));
}

async function taken(n, parts) {
  parts.taking = true;
  const done = await send("take", { answer: n });
  parts.taking = false;
  if (done.kind === "state") {
    parts.taken = { n, rev: done.rev ?? done.state.rev };
    say(STANDS);
  }
  drawAge(parts);
  if (done.kind !== "state") tell(parts.said, sentences(done.faults));
}

function conflictOf({ says, targets, because, gives: rows }, i) {
  return html("article", {},
    html("h3", {}, i ? `And apart from that: ${says}` : says), before(),
    grid(["line", "target", "wanted", "missed by"], targets.map((row) => [row.line, row.says, row.wanted, row.missed_by])),
    ...(because ? [para(because, "note")] : []),
    ...(rows.length ? [gives(rows, "Give way in one place, the rest kept")] : []));
}

/** What stands there once the design has gone on. */
function before(n = null) {
  const note = Object.assign(para(BEFORE, "fault old"), { n });
  note.hidden = true;
  return note;
}

function gives(rows, title) {
  return grid(["number", "change", "that is"], rows.map(({ label, change, size, way }) => [label, change.replace("->", "\u2192"), `${size} ${way}`]), title);
}

export function para(text, look) {
  return html("p", { class: look }, text);
}

export function grid(head, rows, title = "") {
  const line = (cells, name) => html("tr", {}, ...cells.map((text) => html(name, name === "th" ? { scope: "col" } : {}, text)));
  return html("table", {}, title && html("caption", {}, title), html("thead", {}, line(head, "th")), html("tbody", {}, ...rows.map((row) => line(row, "td"))));
}

/** A small side view: at rest, and thin at full. */
function picture({ n, scene: { pedals, extent: [x0, z0, x1, z1] } }, door) {
  const flip = door === "left";
  const left = (flip ? -x1 : x0) - EDGE;
  const view = node("svg", { viewBox: `${left} ${-z1 - EDGE} ${x1 - x0 + 2 * EDGE} ${z1 - z0 + 2 * EDGE}`, role: "img", "aria-label": `answer ${n}, side view at rest and at full` });
  const layer = node("g", { class: "true", transform: flip ? "scale(-1 1)" : null });
  for (const each of pedals) {
    const pedal = { ...each, at: [0, 1], marks: [] };
    const shapes = [...still(pedal, 0), ...moving(pedal, 0, 0)];
    layer.append(node("g", { class: `pedal chosen ${colourOf(each.name)}` }, ...shapes.map(draw)));
  }
  view.append(layer);
  return view;
}

function draw({ key, name, ...attributes }) {
  return node(name, attributes);
}

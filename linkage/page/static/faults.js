/**
 * The text of the design: opened by itself where the program cannot use it, with every
 * fault beside its line, and at any time by hand.
 */

import { sentences } from "./card.js";
import { emit, on, send, store } from "./store.js";
import { button, html, set, tell } from "./svg.js";

const WELL = "This is the whole file, as the program reads it. Apply makes one step that Undo takes back.";
let open = false;
let kept = null; // what was typed and not yet applied
let named = null; // and into which file

export function start(mount) {
  const area = html("textarea", { rows: 16, spellcheck: "false", "aria-label": "text of the design", wrap: "off" });
  const head = html("h2", {});
  const list = html("ol", { class: "faults" });
  const apply = button("Apply", () => put(area, apply));
  const back = button("Back to what stands", () => {
    kept = null;
    draw();
  });
  const close = button("Close", () => {
    open = false;
    draw();
  });
  const root = html("section", { class: "text", "aria-label": "text of the design" }, head, list, area, html("p", { class: "ways" }, apply, back, close));
  mount.append(root);
  area.addEventListener("input", () => {
    kept = area.value;
    drawWays();
  });
  const drawWays = () => {
    apply.disabled = kept === null || kept === store.state?.text || !store.linked;
    back.disabled = kept === null;
    close.hidden = !store.state?.result;
  };
  const draw = () => {
    const { state } = store;
    if (!state) return;
    if (state.file.name !== named) kept = null;
    named = state.file.name;
    const bad = !state.result;
    root.hidden = !(bad || open);
    document.body.classList.toggle("faulty", bad);
    set(root, { role: bad ? "main" : null }); // alone on the page while nothing is drawn
    if (root.hidden) return;
    tell(head, bad ? heading(state.faults.length) : WELL);
    list.replaceChildren(...(bad ? state.faults : []).map((fault) => entry(fault, state.text, area)));
    if (kept === null && area.value !== state.text) {
      area.value = state.text;
      if (bad) scroll(area, state.faults[0]?.line ?? 1);
    }
    drawWays();
  };
  on("text", () => {
    open = true;
    draw();
    toTop(area);
  });
  on("state", draw);
  on("link", draw);
  draw();
}

function heading(count) {
  const many = count === 1 ? "one thing" : `${count} things`;
  return `The program cannot use this text yet: ${many} to mend. Mend it here and apply, or undo.`;
}

async function put(area, apply) {
  const text = area.value;
  apply.disabled = true;
  const answer = await send("text", { text, label: "edit the text" });
  if (answer.kind === "refused" || answer.kind === "lost") {
    emit("said", sentences(answer.faults) || null);
    apply.disabled = false;
    return;
  }
  if (kept === text) kept = null;
  emit("state", store.state);
}

/** One fault: its line as it stands, what is wrong, what would be right. */
function entry({ line, key, wrong, right }, text, area) {
  const written = line ? (text.split(/\r?\n/)[line - 1] ?? "").trim() : "";
  const where = button(line ? `line ${line}` : "the file", () => select(area, line), "small");
  return html(
    "li", {}, where, ...(written ? [html("code", {}, written.slice(0, 160))] : []),
    html("span", { class: "wrong" }, `${key ? `${key}: ` : ""}${wrong}`), html("span", { class: "right" }, right ?? ""),
  );
}

/** With the caret before the first letter, or in the first line with a fault. */
function toTop(area) {
  const [first] = store.state.faults;
  if (first?.line) return select(area, first.line);
  area.setSelectionRange(0, 0);
  area.focus({ preventScroll: true });
  area.scrollTop = 0;
}

function select(area, line) {
  const lines = area.value.split("\n");
  const start = lines.slice(0, Math.max(line - 1, 0)).reduce((sum, each) => sum + each.length + 1, 0);
  area.focus();
  area.setSelectionRange(start, start + (lines[line - 1] ?? "").length);
  scroll(area, line);
}

function scroll(area, line) {
  const height = area.scrollHeight / Math.max(area.value.split("\n").length, 1);
  area.scrollTop = Math.max(0, (line - 4) * height);
}

/** The line above: which design this is, a step back and forth, the size of the drawing. */

import { finishKeys } from "./mover.js";
import { say } from "./speak.js";
import { on, send, store } from "./store.js";
import { fit } from "./sideview.js";
import { set, tell } from "./svg.js";

const ZOOM = 1.25;
const WHILE = 6000; // ms that a save is told beside the name
let kept = null; // the file that was saved a moment ago
let timer = 0;

export function start(side) {
  const get = (id) => document.getElementById(id);
  const undo = () => step("undo");
  const redo = () => step("redo");
  get("undo").addEventListener("click", undo);
  get("redo").addEventListener("click", redo);
  get("larger").addEventListener("click", () => side.view.zoom(ZOOM));
  get("smaller").addEventListener("click", () => side.view.zoom(1 / ZOOM));
  get("fit").addEventListener("click", () => fit(side));
  addEventListener("keydown", (event) => shortcut(event, undo, redo));
  side.svg.addEventListener("keydown", (event) => zoomKey(side, event));
  on("state", draw);
  on("saved", tellSaved);
  on("link", draw);
}

function tellSaved(path) {
  say(`saved as ${path}`);
  clearTimeout(timer);
  timer = setTimeout(() => {
    kept = null;
    draw();
  }, WHILE);
  kept = path;
  draw();
}

function step(kind) {
  finishKeys();
  send(kind);
}

function shortcut(event, undo, redo) {
  if (!(event.ctrlKey || event.metaKey) || event.altKey || isTyping(event.target)) return;
  const key = event.key.toLowerCase();
  if (key !== "z" && key !== "y") return;
  event.preventDefault();
  if (key === "y" || event.shiftKey) redo();
  else undo();
}

function isTyping(target) {
  return target.matches?.("input:not([type=range]), textarea, select") ?? false;
}

function zoomKey(side, event) {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key === "+" || event.key === "=") side.view.zoom(ZOOM);
  else if (event.key === "-") side.view.zoom(1 / ZOOM);
  else if (event.key === "0") fit(side);
}

function draw() {
  const { state } = store;
  if (!state) return;
  const name = state.file.name.split(/[\\/]/).pop();
  const title = state.result?.title || name;
  tell(document.getElementById("title"), title);
  const [called, how] = document.getElementById("file").children;
  tell(called, name);
  tell(how, !state.file.saved ? ", not saved" : kept ? `, saved as ${kept}` : "");
  set(document.getElementById("file"), { title: state.file.path ?? state.file.name });
  document.title = `${state.file.saved ? "" : "\u2022 "}${title}`;
  button("undo", state.undo);
  button("redo", state.redo);
  tell(document.getElementById("caution"), state.caution);
}

function button(id, label) {
  const name = id === "undo" ? "Undo" : "Redo";
  const what = label ? `${name}: ${label}` : `nothing to ${id}`;
  set(document.getElementById(id), { disabled: !label || !store.linked, title: what, "aria-label": label ? what : name });
}

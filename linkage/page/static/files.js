/**
 * Files: open, start from an example, save, take away. What an editor changed on disk and
 * what a crash left behind are told here, with what can be done about it.
 */

import { named, sentences } from "./card.js";
import { finishKeys } from "./mover.js";
import { emit, on, send, store } from "./store.js";
import { button, follow, html, set, tell } from "./svg.js";
import { fetched } from "./taken.js";

const MOST = 1_000_000;
const LATE = "The text of this design is too long to be a design (over 1 MB).";

export function start(mount, notices) {
  const save = button("Save", keep);
  const menu = html("details", { class: "menu" }, html("summary", {}, "File"), html("div", { class: "sheetlet" }));
  mount.append(save, menu);
  menu.addEventListener("keydown", (event) => event.key === "Escape" && shut(menu));
  addEventListener("pointerdown", (event) => !menu.contains(event.target) && menu.removeAttribute("open"));
  addEventListener("keydown", shortcut);
  const draw = () => {
    if (!store.state) return;
    drawSave(save);
    drawMenu(menu.lastChild, menu);
    drawNotices(notices);
  };
  for (const topic of ["state", "chosen", "link"]) on(topic, draw);
  on("disk", ({ disk }) => {
    store.state.file.disk = disk;
    drawNotices(notices);
  });
  on("said", (said) => drawNotices(notices, said));
  draw();
}

function shut(menu) {
  menu.removeAttribute("open");
  menu.querySelector("summary").focus();
}

function shortcut(event) {
  if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "s") return;
  event.preventDefault();
  keep();
}

// ------------------------------------------------------------------ save

async function keep() {
  finishKeys();
  if (store.state.file.path === null) return takeAway("design.toml");
  const answer = await save(false);
  emit("said", answer.kind === "refused" && answer.why !== "disk" ? sentences(answer.faults) : null);
}

async function save(force) {
  const answer = await send("save", { force });
  if (answer.kind === "saved") emit("saved", store.state.file.path);
  return answer;
}

function drawSave(save) {
  const { file } = store.state;
  tell(save, file.path === null ? "Download the design" : "Save");
  const title = file.path === null ? "it has no file yet" : file.path;
  set(save, { title, disabled: !store.linked || (file.saved && file.path !== null) });
}

// ------------------------------------------------------------------ the menu

function drawMenu(list, menu) {
  if (menu.contains(document.activeElement) && menu.open && list.childElementCount) return;
  list.replaceChildren(
    html("p", { class: "head" }, "Take away"), ...downloads(),
    html("p", { class: "head" }, "Open"), picker(menu),
    ...store.state.examples.map((example) => exampleButton(example, menu)),
    html("p", { class: "head" }, "Text"), textButton(menu),
  );
}

function downloads() {
  const names = (store.state.result?.pedals ?? []).map(({ name }) => name);
  const name = names.includes(store.chosen) ? store.chosen : names[0];
  const whose = names.length > 1 ? ` of the ${name}` : "";
  const pedal = name ? `?pedal=${encodeURIComponent(name)}` : "";
  const join = pedal ? "&" : "?";
  const each = name ? [
    ["arm.dxf" + pedal, `Arm to cut, DXF${whose}`],
    [`pattern.pdf${pedal}${join}paper=a4`, `Full-size pattern, A4${whose}`],
    [`pattern.pdf${pedal}${join}paper=letter`, `Full-size pattern, Letter${whose}`],
    [`pattern.pdf${pedal}${join}paper=a3`, `Full-size pattern, A3${whose}`],
    ["sweep.svg", "Picture of the sweep, SVG"],
    ["sweep.png", "Picture of the sweep, PNG"],
    [`sweep.csv${pedal}`, `Table of the sweep, CSV${whose}`],
  ] : [];
  return [...each, ["design.toml", "The design itself"]].map(([kind, text]) => link(kind, text));
}

function link(kind, text) {
  const anchor = html("a", { href: `/file/${kind}`, class: "entry" }, text);
  anchor.addEventListener("click", (event) => {
    event.preventDefault();
    const menu = anchor.closest(".menu");
    if (menu) shut(menu); // what is said of it stands below
    takeAway(kind);
  });
  return anchor;
}

async function takeAway(kind) {
  finishKeys();
  emit("said", await fetched(`/file/${kind}`));
}

function picker(menu) {
  const input = html("input", { type: "file", accept: ".toml,text/plain" });
  input.addEventListener("change", async () => {
    const [file] = input.files;
    if (!file) return;
    if (file.size > MOST) return emit("said", LATE);
    await load({ name: file.name, text: await file.text() }, menu);
  });
  return html("label", { class: "entry" }, "A file of yours ", input);
}

function exampleButton({ name, says }, menu) {
  return button(`An example: ${says}`, () => load({ example: name }, menu), "entry");
}

function textButton(menu) {
  return button("The text of this design", () => {
    menu.removeAttribute("open");
    emit("text");
  }, "entry");
}

/** Undo brings the design back that stood here before. */
async function load(body, menu) {
  shut(menu);
  try {
    const answer = await fetch("/load", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
    const { faults } = await answer.json();
    emit("said", answer.ok ? null : sentences(faults));
  } catch {
    emit("said", "The program does not answer: nothing was opened.");
  }
}

// ------------------------------------------------------------------ what must be told

let saying = null;

function drawNotices(mount, said) {
  if (said !== undefined) saying = said;
  const told = [spoken(), disk(), recovery(), unguarded(), ...unable(), ...cautions()].filter(Boolean);
  follow(mount, told, ([text, ways]) => [text, ...ways.map(([name]) => name)].join("|"), makeNotice, () => {});
}

function spoken() {
  return saying ? notice(saying, [["Close", () => emit("said", null)]]) : null;
}

function disk() {
  const { disk: how, path, saved } = store.state.file;
  const over = ["Keep mine, write over it", () => save(true)];
  if (how === "changed") {
    const text = "Another program has changed the file on disk since it was read here.";
    return notice(text, [[saved ? "Read it again" : "Take the file's, drop mine", () => send("reload")], over]);
  }
  if (how === "gone") return notice(`The file is gone from the disk: ${path}.`, [["Write it again", over[1]]]);
  return null;
}

function recovery() {
  const found = store.state.file.recovery;
  if (!found) return null;
  const lines = found.lines === 1 ? "1 line differs" : `${found.lines} lines differ`;
  return notice(`A page that ended before it was saved left its work (${found.when}; ${lines}).`, [
    ["Take it", () => send("recover", { take: true })],
    ["Let it go", () => send("recover", { take: false })],
  ]);
}

function unguarded() {
  const text = store.state.file.unguarded;
  return text ? notice(text, []) : null;
}

/** A pedal that cannot be swept is drawn at rest, one with a limit up to it: why stands here. */
function unable() {
  return (store.state.result?.pedals ?? []).flatMap(({ name, faults, sentences: said }) => [
    ...(faults ?? []).map((fault) => `${name}: ${sentences([fault])}`),
    ...(said ?? []).filter(([what]) => what === "LIMIT").map(([, text]) => `${name}: LIMIT: ${text}`),
  ]).map((text) => notice(text, []));
}

/** What is drawn and swept, but hardly meant. */
function cautions() {
  return (store.state.result?.cautions ?? []).map((fault) =>
    notice(`Look again: ${named([fault])}`, []));
}

function notice(text, ways) {
  return [text, ways];
}

function makeNotice([text, ways]) {
  const buttons = ways.map(([name, work]) => button(name, work));
  return html("p", { class: "notice", role: "status" }, html("span", {}, text), ...buttons);
}

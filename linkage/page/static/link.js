/**
 * The socket to the program.
 *
 * One message is out at a time. While it is, only the newest preview is kept; everything
 * else queues in order and is never dropped: a commit that was out when the socket was lost
 * goes out again (it says where to, not how far, so twice is once). A state that comes
 * while own steps are unanswered or a gesture runs is kept back until they have ended.
 */

import { carry, emit, lay, learn, store, take } from "./store.js";

const SCHEMA = 1;
const FIRST_WAIT = 250;
const LAST_WAIT = 5000;
const BASED = new Set(["preview", "commit", "text", "place", "take"]);
const AGAIN = new Set(["commit", "text", "take", "show"]);
const ASIDE = new Set(["place", "stop", "check"]); // long, or about something long: not waited for

const WHOLE = 4; // one preview in so many brings tables and curves
const REST = 80; // ms after which a hand rests: then they come too

const queue = [];
const aside = new Map();
let socket = null;
let out = null;
let newest = null;
let seq = 0;
let base = 0;
let late = null;
let awaited = 0; // the preview behind which tables and curves are to come
let lean = 0;
let resting = 0;
let gestures = 0;
let wait = FIRST_WAIT;

export function start() {
  carry(send);
  connect();
}

/** Take the state that came inside the page. */
export function begin(message) {
  base = message.rev;
  take(message.state);
}

/** A drag or a burst of keys has begun: states wait. Return what ends it, once. */
export function gesture() {
  gestures += 1;
  awaited = 0;
  let over = false;
  return () => {
    if (over) return;
    over = true;
    gestures -= 1;
    catchUp();
  };
}

// ------------------------------------------------------------------ out

function send(kind, body, progress) {
  return new Promise((resolve) => {
    const message = { kind, body, progress, resolve };
    if (ASIDE.has(kind)) sendAside(message);
    else if (kind === "preview") replaceNewest(message);
    else queue.push(message);
    pump();
  });
}

function replaceNewest(message) {
  newest?.resolve({ kind: "passed" });
  newest = message;
}

function sendAside(message) {
  if (socket?.readyState !== WebSocket.OPEN) {
    message.resolve({ kind: "lost" });
    return;
  }
  seq += 1;
  aside.set(seq, message);
  post(message, seq);
}

function pump() {
  if (out || socket?.readyState !== WebSocket.OPEN) return;
  const next = queue.shift() ?? newest;
  if (!next) return;
  if (next === newest) newest = null;
  seq += 1;
  out = { ...next, seq };
  if (out.kind === "preview") askFor(out);
  post(out, seq);
}

function askFor(message) {
  lean = message.body.whole || lean + 1 >= WHOLE ? 0 : lean + 1;
  message.body = { ...message.body, whole: lean === 0 };
  if (!lean) awaited = message.seq;
}

/** Ask again for all of the last preview, once the hand rests. */
function fillIn({ kind, body }) {
  clearTimeout(resting);
  if (kind !== "preview" || body.whole) return;
  resting = setTimeout(() => gestures > 0 && !newest && send(kind, { ...body, whole: true }), REST);
}

function post({ kind, body }, number) {
  const message = { schema: SCHEMA, kind, seq: number, ...body };
  if (BASED.has(kind)) message.base_rev = base;
  socket.send(JSON.stringify(message));
}

// ------------------------------------------------------------------ in

function receive(message) {
  const mine = out !== null && message.seq === out.seq;
  if (message.kind === "progress") return aside.get(message.seq)?.progress?.(message);
  if (message.kind === "told") return message.seq === awaited && gestures > 0 && learn(message.result);
  if (message.kind === "preview" && mine && gestures > 0) lay(message.result);
  if (message.kind === "disk") emit("disk", message);
  if (message.kind === "refused") emit("fault", message);
  const state = message.state ?? null;
  if (state) keepState(message.rev ?? state.rev, state, mine);
  settle(message, mine);
}

function keepState(rev, state, mine) {
  late = state;
  if (mine) base = rev;
}

function settle(message, mine) {
  const answered = mine ? out : aside.get(message.seq);
  if (mine) out = null;
  else aside.delete(message.seq);
  if (answered) fillIn(answered);
  pump();
  catchUp();
  answered?.resolve(message);
}

function catchUp() {
  if (!late || gestures > 0 || owed()) return;
  const state = late;
  late = null;
  base = state.rev;
  take(state);
}

/** Whether own steps still wait for their answer. */
function owed() {
  return queue.length > 0 || (out !== null && out.kind !== "preview");
}

// ------------------------------------------------------------------ connection

function connect() {
  const scheme = location.protocol === "https:" ? "wss:" : "ws:";
  socket = new WebSocket(`${scheme}//${location.host}/live`);
  socket.addEventListener("open", opened);
  socket.addEventListener("message", (event) => receive(JSON.parse(event.data)));
  socket.addEventListener("close", closed);
}

function opened() {
  wait = FIRST_WAIT;
  tellLink(true);
  pump();
}

function closed() {
  for (const { resolve } of aside.values()) resolve({ kind: "lost" });
  aside.clear();
  giveBack();
  newest?.resolve({ kind: "lost" });
  newest = null;
  tellLink(false);
  setTimeout(connect, wait);
  wait = Math.min(2 * wait, LAST_WAIT);
}

/** What was out goes to the front of the queue again, if sending it twice does no harm. */
function giveBack() {
  if (!out) return;
  if (AGAIN.has(out.kind)) queue.unshift(out);
  else out.resolve({ kind: "lost" });
  out = null;
}

function tellLink(linked) {
  if (store.linked === linked) return;
  store.linked = linked;
  emit("link", linked);
}

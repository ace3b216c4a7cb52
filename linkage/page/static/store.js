/**
 * What the page knows, and who wants to hear of it.
 *
 * The server owns the design. Kept here is the last state taken from it, the newest
 * preview laid over it, and what is only passing: the pads' travel, the chosen pedal, the
 * point in hand.
 *
 *   store.state      the last state (the `state` dict of the wire), or null
 *   store.result     what is to be drawn: state.result with the newest preview laid over
 *                    it; null while the file has faults
 *   store.preview    the newest preview result of the running drag, or null
 *   store.chosen     name of the pedal that is looked at (points named, readings shown)
 *   store.looked     id of the point that is looked at (focus or hand), else null
 *   store.hold       {id, at: [x, z], caught} the point in hand, else null
 *   store.share      the share of travel that all pads were brought to, null once one went
 *                    its own way
 *   store.linked     whether the program answers
 *   pedal(name)      a pedal of what is drawn; pedal() the chosen one
 *   travel(name)     {mm, spot, nearest}: pad travel; spot is a place between 0 and 100
 *                    for interpolation, nearest the whole one: the row of the table, the
 *                    sample of a curve
 *   travelTo(name, mm) · travelBy(share) · choose(name)
 *   cell(pedal, key, k)  the text of a column of its table at sample k, as `footwell sweep`
 *   colourOf(name)   class "hue-1" to "hue-6" of a pedal · offsetOf(frame) shift of a far end
 *
 *   on(topic, work)  returns what ends it. Topics:
 *     "state"   a state was taken (after load, commit, undo ..., never during a drag)
 *     "shown"   what is drawn changed: after every state and every preview; here too
 *               `store.result` is fresh
 *     "told"    tables and curves of it changed too: they come behind one preview in a few
 *     "travel"  a pad was moved along its arc (many times a second)
 *     "chosen"  another pedal is looked at · "looked" another point (look(id))
 *     "hold"    a point taken, moved, let go
 *     "link"    the connection was lost or found · "fault" a refusal (the message)
 *     other topics may be used freely between modules: emit(topic, what)
 *
 *   send(kind, body) -> promise of the answering message (of link.js, which fills it in):
 *     send("commit", {changes, label}), send("undo"), send("place", {...}, progress)
 *     `base_rev` is added where the wire wants it. Never rejects: a refusal is a message
 *     of kind "refused"; {kind: "lost"} when the connection went, {kind: "passed"} for a
 *     preview that a newer one replaced.
 */

export const store = {
  state: null,
  result: null,
  preview: null,
  chosen: null,
  looked: null,
  hold: null,
  linked: true,
  share: 0,
  travels: new Map(),
};

const listeners = new Map();
let sender = async () => ({ kind: "lost" });

export function on(topic, work) {
  if (!listeners.has(topic)) listeners.set(topic, new Set());
  listeners.get(topic).add(work);
  return () => listeners.get(topic).delete(work);
}

export function emit(topic, what) {
  for (const work of listeners.get(topic) ?? []) work(what);
}

export function send(kind, body = {}, progress = null) {
  return sender(kind, body, progress);
}

/** Who carries messages: link.js. */
export function carry(work) {
  sender = work;
}

// ------------------------------------------------------------------ what comes in

export function take(state) {
  store.state = state;
  store.preview = null;
  store.result = state.result;
  settle();
  emit("state", state);
  emit("shown", store.result);
  emit("told", store.result);
}

/** Lay a preview over what is drawn: what it brings replaces, the rest stays. */
export function lay(preview) {
  const base = store.result;
  if (!base) return;
  store.preview = preview;
  store.result = {
    ...base,
    pedals: over(base.pedals, preview.pedals, "name"),
    points: over(base.points, preview.points, "id"),
    lengths: preview.lengths ?? base.lengths,
    fixed: preview.fixed ?? base.fixed,
  };
  emit("shown", store.result);
}

/** Lay tables and curves over what is drawn, behind a preview; a curve left out is old. */
export function learn({ pedals, panels, travel }) {
  const base = store.result;
  const aged = (list, old) => list.map((each) => ({ ...each, old }));
  const laid = over(aged(base.panels, true), aged(panels, false), "id");
  store.result = { ...base, travel, pedals: over(base.pedals, pedals, "name"), panels: laid };
  emit("told", store.result);
}

/** Drop the preview: the last state is drawn again. */
export function lift() {
  if (!store.preview) return;
  store.preview = null;
  store.result = store.state?.result ?? null;
  emit("shown", store.result);
  emit("told", store.result);
}

function over(old, fresh, key) {
  const found = new Map(fresh.map((item) => [item[key], item]));
  const known = new Set(old.map((item) => item[key]));
  const laid = old.map((item) => (found.has(item[key]) ? { ...item, ...found.get(item[key]) } : item));
  return [...laid, ...fresh.filter((item) => !known.has(item[key]))];
}

function settle() {
  const names = (store.result?.pedals ?? []).map((pedal) => pedal.name);
  if (names.length && !names.includes(store.chosen)) store.chosen = names[0];
}

// ------------------------------------------------------------------ what is passing

export function pedal(name = store.chosen) {
  return store.result?.pedals.find((each) => each.name === name) ?? null;
}

export function choose(name) {
  if (!name || name === store.chosen || !pedal(name)) return;
  store.chosen = name;
  emit("chosen", name);
}

export function look(id) {
  if (id === store.looked) return;
  store.looked = id;
  emit("looked", id);
}

export function hold(what) {
  store.hold = what;
  emit("hold", what);
}

export function travel(name = store.chosen) {
  const places = pedal(name)?.at ?? [0];
  const mm = Math.min(store.travels.get(name) ?? 0, places[places.length - 1]);
  const spot = between(places, mm);
  return { mm, spot, nearest: Math.round(spot) };
}

export function travelTo(name, mm) {
  const places = pedal(name)?.at;
  if (!places) return;
  store.travels.set(name, Math.min(Math.max(mm, 0), places[places.length - 1]));
  store.share = null;
  emit("travel", name);
}

/** Carry every pad to the same share (0 to 1) of its travel. */
export function travelBy(share) {
  for (const { name, at } of store.result?.pedals ?? []) {
    store.travels.set(name, at[Math.round(share * (at.length - 1))]);
  }
  store.share = share;
  emit("travel", null);
}

/** Return where among rising `places` a value lies: 2.5 is half way from 2 to 3. */
export function between(places, value) {
  let low = 0;
  let high = places.length - 1;
  if (high < 1 || value <= places[0]) return 0;
  if (value >= places[high]) return high;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (places[middle] <= value) low = middle;
    else high = middle;
  }
  return low + (value - places[low]) / (places[high] - places[low]);
}

// ------------------------------------------------------------------ asked of the result

export function cell({ table }, key, k) {
  const column = table.keys.indexOf(key);
  return column < 0 ? "" : (table.rows[column][k] ?? "");
}

export function colourOf(name) {
  const number = store.result?.pedals.findIndex((each) => each.name === name) ?? 0;
  return `hue-${(Math.max(number, 0) % 6) + 1}`;
}

export function offsetOf(frame) {
  return store.result?.frames.find((each) => each.id === frame)?.offset ?? [0, 0];
}

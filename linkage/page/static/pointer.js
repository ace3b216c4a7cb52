/**
 * Mouse, pen and fingers on the drawing.
 *
 * What can be taken comes from `sources`: functions that return
 * [{at: [px, py], node, grab(place, event) -> {move, end, cancel} | null}]. The nearest in
 * reach is taken, whatever lies on top. Elsewhere the mouse moves the paper; one finger
 * scrolls the page, two zoom.
 */

const REACH = { mouse: 14, pen: 18, touch: 24 };

export function startPointer({ svg, view }, sources) {
  const hand = { svg, view, sources, fingers: new Map(), taken: null };
  svg.addEventListener("pointerdown", (event) => press(hand, event));
  svg.addEventListener("pointermove", (event) => move(hand, event));
  svg.addEventListener("pointerup", (event) => release(hand, event, "end"));
  svg.addEventListener("pointercancel", (event) => release(hand, event, "cancel"));
  svg.addEventListener("wheel", (event) => wheel(hand, event), { passive: false });
  // `touch-action` on an inner group has no effect: the touch itself is held back.
  svg.addEventListener("touchstart", (event) => touch(hand, event), { passive: false });
  addEventListener("keydown", (event) => escape(hand, event), true);
  addEventListener("blur", () => drop(hand, "end"));
}

/** To measure is slow: while something is in hand the drawing stays where it was. */
function spot(hand, event) {
  if (!hand.taken || !hand.box) hand.box = hand.svg.getBoundingClientRect();
  const { box } = hand;
  return [event.clientX - box.left, event.clientY - box.top];
}

function nearest(hand, [px, py], reach) {
  let best = null;
  for (const item of hand.sources.flatMap((source) => source())) {
    const away = Math.hypot(item.at[0] - px, item.at[1] - py) - (item.first ? 2 : 0);
    if (away <= reach && (!best || away < best.away)) best = { item, away };
  }
  return best?.item ?? null;
}

function press(hand, event) {
  if (event.button !== 0) return;
  const place = spot(hand, event);
  hand.fingers.set(event.pointerId, place);
  if (hand.fingers.size > 1) {
    drop(hand, "cancel");
    return;
  }
  const item = nearest(hand, place, REACH[event.pointerType] ?? REACH.mouse);
  if (item) takeItem(hand, event, item, place);
  else if (event.pointerType !== "touch") takePaper(hand, event, place);
}

function takeItem(hand, event, item, place) {
  event.preventDefault();
  item.node.focus({ preventScroll: true });
  const session = item.grab(place, event);
  if (!session) return;
  item.node.setPointerCapture(event.pointerId);
  hand.taken = { id: event.pointerId, ...session };
}

function takePaper(hand, event, place) {
  hand.svg.setPointerCapture(event.pointerId);
  let last = place;
  const pan = (now) => {
    hand.view.pan(now[0] - last[0], now[1] - last[1]);
    last = now;
  };
  hand.taken = { id: event.pointerId, move: pan, end() {}, cancel() {} };
}

function move(hand, event) {
  const place = spot(hand, event);
  if (hand.fingers.size === 2 && hand.fingers.has(event.pointerId)) pinch(hand, event.pointerId, place);
  else if (hand.taken?.id === event.pointerId) hand.taken.move(place, event);
  if (hand.fingers.has(event.pointerId)) hand.fingers.set(event.pointerId, place);
}

function pinch(hand, id, place) {
  const before = hand.fingers.get(id);
  const [other] = [...hand.fingers].filter(([key]) => key !== id).map(([, at]) => at);
  const size = (at) => Math.hypot(at[0] - other[0], at[1] - other[1]) || 1;
  hand.view.pan((place[0] - before[0]) / 2, (place[1] - before[1]) / 2);
  const middle = [(place[0] + other[0]) / 2, (place[1] + other[1]) / 2];
  hand.view.zoom(size(place) / size(before), middle);
}

function release(hand, event, way) {
  hand.fingers.delete(event.pointerId);
  if (hand.taken?.id === event.pointerId) drop(hand, way);
}

function drop(hand, way) {
  const { taken } = hand;
  hand.taken = null;
  taken?.[way]();
}

function escape(hand, event) {
  if (event.key !== "Escape" || !hand.taken) return;
  event.stopPropagation();
  drop(hand, "cancel");
}

function touch(hand, event) {
  const place = spot(hand, event.touches[0]);
  if (event.touches.length > 1 || nearest(hand, place, REACH.touch)) event.preventDefault();
}

function wheel(hand, event) {
  event.preventDefault();
  const lines = event.deltaMode === 1 ? 16 : 1;
  const speed = event.ctrlKey ? 0.01 : 0.0016;
  hand.view.zoom(Math.exp(-event.deltaY * lines * speed), spot(hand, event));
}

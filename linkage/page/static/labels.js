/**
 * Letters on the drawing: each beside its place, none upon another.
 *
 * A label tries places around its own, nearest first, and keeps the one it had while that
 * is free. Upon other letters or a handle it never goes; across an outline only where
 * there is nothing better. One that finds no room is left out.
 */

const SIZE = 12.5;
const LINE = 15;
const RINGS = [14, 24, 38, 56, 80, 110, 150];
const WAYS = 16;
const KEEP = 40; // what leaving its old place costs
const ASIDE = 0.85; // cosine: how little a number strays along its arc
const HIDDEN = 400; // what it may cost before it is left out
const pencil = document.createElement("canvas").getContext("2d");
const widths = new Map();
let family = "";

/** Return [width, height] of lines of text, in pixels. */
export function measure(lines, strong = false) {
  return [Math.max(...lines.map((line) => width(line, strong))), LINE * lines.length];
}

function width(line, strong) {
  const key = strong ? `*${line}` : line;
  if (!widths.has(key)) {
    family ||= getComputedStyle(document.body).fontFamily;
    pencil.font = `${strong ? "600 " : ""}${SIZE}px ${family}`;
    widths.set(key, pencil.measureText(line).width + 4);
  }
  return widths.get(key);
}

/**
 * Find a place for each label.
 *
 * labels    [{key, at: [x, y], lines, strong, wish: [dx, dy] | null, most, across}], first
 *           come first; no further off than most, and only to the sides of a line that
 *           the unit vector across is square to
 * fences    boxes [x0, y0, x1, y1] that stay free of letters
 * outlines  [[x, y], [x, y], half width] that rather stay free
 * old       Map of key -> candidate number of the last time; it is brought up to date
 * steady    a hand is at work: a label goes along as it stood, while it meets no other
 * Returns [{...label, box, far}]; far: it stands off, and wants a line to its place.
 */
export function arrange(labels, fences, outlines, [right, bottom], old, steady) {
  const taken = [...fences];
  const found = [];
  for (const label of labels) {
    if (!inside(label.at, [right, bottom])) continue;
    const had = old.get(label.key);
    const best = (steady && along(label, taken, [right, bottom], had)) ||
      choose(label, taken, outlines, [right, bottom], had);
    if (best === null) {
      old.delete(label.key);
      continue;
    }
    old.set(label.key, best.number);
    taken.push(best.box);
    found.push({ ...label, box: best.box, far: best.ring > 30 });
  }
  return found;
}

/** The label as it stood the last time beside its place, if it still can. */
function along(label, taken, room, number) {
  if (number === undefined) return null;
  const ring = RINGS[Math.floor(number / WAYS)];
  const box = boxAt(label.at, measure(label.lines, label.strong), ring, number % WAYS);
  return within(box, room) && !taken.some((other) => meets(box, other)) ? { box, ring, number } : null;
}

function choose(label, taken, outlines, room, had) {
  let best = null;
  const size = measure(label.lines, label.strong);
  for (let number = 0; number < RINGS.length * WAYS; number += 1) {
    const ring = RINGS[Math.floor(number / WAYS)];
    if (ring > (label.most ?? ring)) break;
    if (strays(label, number % WAYS)) continue;
    const changed = had !== undefined && had !== number ? KEEP : 0;
    const least = ring + changed;
    if (best && least >= best.cost) continue;
    const box = boxAt(label.at, size, ring, number % WAYS);
    if (!within(box, room) || taken.some((other) => meets(box, other))) continue;
    const cost = least + away(label, number % WAYS) + crossing(box, outlines, label.at);
    if (cost < HIDDEN && (!best || cost < best.cost)) best = { box, ring, cost, number };
  }
  return best;
}

function boxAt([x, y], [wide, high], ring, way) {
  const angle = (2 * Math.PI * way) / WAYS;
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const middle = [x + c * (ring + wide / 2), y - s * (ring + high / 2)];
  return [middle[0] - wide / 2, middle[1] - high / 2, middle[0] + wide / 2, middle[1] + high / 2];
}

/** The number of a tick stands beside its own tick, not along the arc at another. */
function strays({ across }, way) {
  const angle = (2 * Math.PI * way) / WAYS;
  return across !== undefined && Math.abs(Math.cos(angle) * across[0] - Math.sin(angle) * across[1]) < ASIDE;
}

/** A label with a wish pays for turning away from it. */
function away({ wish }, way) {
  if (!wish) return way % 2 ? 3 : 0;
  const angle = (2 * Math.PI * way) / WAYS;
  const size = Math.hypot(...wish) || 1;
  return 24 * (1 - (Math.cos(angle) * wish[0] - Math.sin(angle) * wish[1]) / size);
}

function inside([x, y], [right, bottom]) {
  return x >= 0 && y >= 0 && x <= right && y <= bottom;
}

function within([x0, y0, x1, y1], [right, bottom]) {
  return x0 > 2 && y0 > 2 && x1 < right - 2 && y1 < bottom - 2;
}

export function meets(a, b) {
  return a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
}

function crossing(box, outlines, at) {
  let cost = 0;
  const middle = [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2];
  for (const [a, b, half] of outlines) {
    if (clips(box, a, b, half)) cost += 60;
    else if (cuts(at, middle, a, b)) cost += 12;
  }
  return cost;
}

/** Whether the line from a to b, grown by half, touches the box. */
function clips([x0, y0, x1, y1], [ax, ay], [bx, by], half) {
  let [from, to] = [0, 1];
  const sides = [
    [ax - bx, ax - (x0 - half)], [bx - ax, x1 + half - ax],
    [ay - by, ay - (y0 - half)], [by - ay, y1 + half - ay],
  ];
  for (const [rate, room] of sides) {
    if (rate === 0 && room < 0) return false;
    if (rate < 0) from = Math.max(from, room / rate);
    if (rate > 0) to = Math.min(to, room / rate);
  }
  return from <= to;
}

function cuts(p, q, a, b) {
  const side = (m, n, o) => (n[0] - m[0]) * (o[1] - m[1]) - (n[1] - m[1]) * (o[0] - m[0]);
  return side(p, q, a) * side(p, q, b) < 0 && side(a, b, p) * side(a, b, q) < 0;
}

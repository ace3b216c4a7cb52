/**
 * Sizes that show while a point is looked at or carried: its two tape distances, lengths
 * between places, the room it has, how far out it may be.
 */

import { node, round, toward } from "./svg.js";
import { offsetOf, store } from "./store.js";

/** Return {shapes, labels} in pixels; both empty while no point is looked at. */
export function dimensions(view, result) {
  const point = result.points.find((each) => each.id === (store.hold?.id ?? store.looked));
  if (!point) return { shapes: [], labels: [] };
  const own = ({ pedal, frame }) => frame === 0 && pedal === (point.pedal ?? store.chosen);
  // What is nearest is not worked out again while a point is carried.
  const nearest = store.hold ? [] : (result.nearest ?? []);
  const lengths = [...(result.lengths ?? []), ...nearest].filter(own).filter(({ a, b }) => a && b);
  return {
    shapes: [
      ...room(view, point),
      ...tapes(view, point, result.fixed),
      ...lengths.map(({ a, b }) => dimension(view.at(a), view.at(b))),
    ],
    labels: lengths.map((size, i) => sizeName(view.at(size.a), view.at(size.b), size.text, i)),
  };
}

function dimension(p, q) {
  const [u, v] = toward(p, q);
  const head = ([x, y], s) =>
    `M${round(x + s * (9 * u - 2.4 * v))} ${round(y + s * (9 * v + 2.4 * u))}L${round(x)} ${round(y)}` +
    `L${round(x + s * (9 * u + 2.4 * v))} ${round(y + s * (9 * v - 2.4 * u))}`;
  return node("path", {
    class: "size", d: `M${round(p[0])} ${round(p[1])}L${round(q[0])} ${round(q[1])}${head(p, 1)}${head(q, -1)}`,
  });
}

function sizeName(p, q, text, i) {
  const at = [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
  const wish = [q[1] - p[1], q[0] - p[0]];
  return { key: `size ${i}`, at, lines: [text], look: "size-name", wish };
}

/** From the marks to the point, as the tape lies. */
function tapes(view, point, fixed) {
  if (point.frame !== 0) return [];
  const [px, py] = view.at(heldAt(point));
  return (fixed?.marks ?? []).map(({ way, place }) => {
    const at = Number(place) || 0;
    const [mx, my] = view.at([at, at]);
    const path = way === "back" ? `M${round(px)} ${round(py)}H${round(mx)}` : `M${round(px)} ${round(py)}V${round(my)}`;
    return node("path", { class: "tape", d: path });
  });
}

function heldAt(point) {
  return store.hold?.id === point.id ? store.hold.at : point.at;
}

/** The box, arc or ring that a point may move in, and the band of a toleranced one. */
function room(view, point) {
  const offset = offsetOf(point.frame);
  const shapes = [];
  if (point.box) shapes.push(boxRoom(view, point, offset));
  if (point.arc) shapes.push(arcRoom(view, point.arc, offset));
  if (point.ring) shapes.push(circle(view.at(point.ring.centre, offset), point.ring.r * view.scale, "room ring"));
  if (point.band) shapes.push(circle(view.at(point.at, offset), Math.max(point.band * view.scale, 9), "band"));
  return shapes;
}

function boxRoom(view, { box: [x0, z0, x1, z1] }, offset) {
  const [a, b] = [view.at([x0, z0], offset), view.at([x1, z1], offset)];
  const [left, top] = [Math.min(a[0], b[0]), Math.min(a[1], b[1])];
  const wide = Math.abs(a[0] - b[0]);
  const high = Math.abs(a[1] - b[1]);
  return node("rect", {
    class: "room", x: round(left - 2), y: round(top - 2), width: round(wide + 4), height: round(high + 4),
  });
}

function arcRoom(view, { centre: [x, z], r, from, to }, offset) {
  const steps = Math.max(Math.ceil((to - from) / 3), 1);
  const places = Array.from({ length: steps + 1 }, (_, i) => {
    const angle = ((from + ((to - from) * i) / steps) * Math.PI) / 180;
    return view.at([x + r * Math.cos(angle), z + r * Math.sin(angle)], offset);
  });
  const path = places.map(([px, py], i) => `${i ? "L" : "M"}${round(px)} ${round(py)}`).join("");
  return node("path", { class: "room", d: path });
}

function circle([cx, cy], r, look) {
  return node("circle", { class: look, cx: round(cx), cy: round(cy), r: round(r) });
}

/**
 * The paper: a grid that follows the zoom, numbers along two edges, a scale bar.
 *
 * Numbers count from the marks of the design and carry words (back, ahead, up, down), so
 * none has a sign. The only numbers that the page itself writes are these.
 */

import { node, round } from "./svg.js";

const INCH = 25.4;
// Lengths between numbers, and into how many parts the grid cuts them.
const STEPS = {
  mm: [[1, 5], [2, 4], [5, 5], [10, 5], [20, 4], [50, 5], [100, 5], [200, 4], [500, 5], [1000, 5]],
  in: [[1 / 16, 4], [1 / 8, 4], [1 / 4, 4], [1 / 2, 4], [1, 4], [2, 4], [4, 4], [10, 5], [20, 4], [40, 4]],
};
const ROOM = 62; // pixels between numbers
const EDGE = 22;

export function drawPaper(paper, edges, view, units, origin) {
  const unit = units === "in" ? INCH : 1;
  const [step, parts] = chooseStep(units, view.scale * unit);
  const span = { step: step * unit, fine: (step * unit) / parts };
  paper.replaceChildren(grid(view, origin, span.fine, "grid fine"), grid(view, origin, span.step, "grid"));
  edges.replaceChildren(
    ...numbers(view, origin, span.step, unit),
    ...scaleBar(view, span.step, unit, units),
    ...front(view),
  );
}

function chooseStep(units, pixels) {
  const steps = STEPS[units] ?? STEPS.mm;
  return steps.find(([step]) => step * pixels >= ROOM) ?? steps[steps.length - 1];
}

function lines(view, axis, origin, step) {
  const corners = [view.place([0, view.height])[axis], view.place([view.width, 0])[axis]];
  const low = Math.min(...corners);
  const high = Math.max(...corners);
  const first = Math.ceil((low - origin) / step);
  const count = Math.min(Math.floor((high - origin) / step) - first + 1, 400);
  return Array.from({ length: Math.max(count, 0) }, (_, i) => (first + i) * step);
}

function grid(view, [x, z], step, look) {
  const upright = lines(view, 0, x, step).map((at) => view.at([x + at, 0])[0]);
  const level = lines(view, 1, z, step).map((at) => view.at([0, z + at])[1]);
  const path = [
    ...upright.map((px) => `M${round(px)} 0V${view.height}`),
    ...level.map((py) => `M0 ${round(py)}H${view.width}`),
  ];
  return node("path", { class: look, d: path.join("") });
}

function* numbers(view, [x, z], step, unit) {
  for (const at of lines(view, 0, x, step)) {
    const [px] = view.at([x + at, 0]);
    if (px < 86 || px > view.width - 34) continue;
    yield rule(px, view.height - 8, "middle", words(at, unit, "back", "ahead"));
  }
  for (const at of lines(view, 1, z, step)) {
    const [, py] = view.at([0, z + at]);
    if (py < 44 || py > view.height - EDGE) continue;
    yield rule(6, py + 4, "start", words(at, unit, "down", "up"));
  }
}

function rule(x, y, anchor, text, look = "") {
  return node("text", { class: `rule${look}`, x: round(x), y: round(y), "text-anchor": anchor }, text);
}

function words(at, unit, below, above) {
  const size = length(Math.abs(at) / unit);
  return size === "0" ? size : `${size} ${at < 0 ? below : above}`;
}

/** A whole number, or a whole with a fraction of an inch. */
function length(value) {
  const sixteenths = Math.round(value * 16);
  const whole = Math.floor(sixteenths / 16);
  let [over, under] = [sixteenths % 16, 16];
  while (over && over % 2 === 0) [over, under] = [over / 2, under / 2];
  if (!over) return String(whole);
  return whole ? `${whole} ${over}/${under}` : `${over}/${under}`;
}

function scaleBar(view, step, unit, units) {
  const long = step * view.scale;
  const way = view.flip;
  const right = way > 0 ? view.width - 158 : 158 + long;
  const left = round(right - long);
  const text = `${length(step / unit)} ${units}`;
  return [
    node("path", { class: "bar", d: `M${left} 15V20H${round(right)}V15` }),
    way > 0 ? rule(left - 6, 24, "end", text, " strong") : rule(round(right + 6), 24, "start", text, " strong"),
  ];
}

function front(view) {
  const way = view.flip;
  const tail = way > 0 ? view.width - 56 : 56;
  const tip = tail + 42 * way;
  return [
    rule(tail - 6 * way, 24, way > 0 ? "end" : "start", "front of car", " strong"),
    node("path", { class: "bar", d: `M${tail} 20H${tip}` }),
    node("path", { class: "tip", d: `M${tip} 20l${-9 * way} -3v6z` }),
  ];
}

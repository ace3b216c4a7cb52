/**
 * The side view: layers of the drawing, drawn from what was sent.
 *
 *   paper    the grid                                       pixels
 *   ground   floor, bulkhead, the builder's marks           pixels
 *   true     the pedals, to scale                           mm, moved as a whole
 *   edges    numbers of the grid, scale bar, front of car   pixels
 *   notes    boxes of far ends, dimensions, letters         pixels
 *   points   handles (handles.js)                           pixels
 *   grips    the pads' grips (travel.js)                    pixels
 */

import { soon } from "./frame.js";
import { arrange } from "./labels.js";
import { outlines, fences, labelsOf } from "./lettering.js";
import { dimensions } from "./dimensions.js";
import { drawGround } from "./ground.js";
import { drawPaper } from "./paper.js";
import { framesOf, moving, still } from "./pose.js";
import { follow, node, round, set, tell } from "./svg.js";
import { colourOf, offsetOf, on, store, travel } from "./store.js";
import { createView } from "./view.js";

export function createSideview(svg) {
  const layers = Object.fromEntries(
    ["paper", "ground", "true", "edges", "notes", "points", "grips"].map((name) => [name, node("g", { class: name })]),
  );
  const fine = hatch("hatch-true");
  svg.append(node("defs", {}, hatch("hatch"), fine), ...Object.values(layers));
  const side = { svg, layers, redrawn: new Set(), letters: new Map(), fitted: null };
  side.view = createView(() => soon("view", () => drawAll(side, fine)));
  on("shown", () => soon("shown", () => drawShown(side)));
  on("travel", () => soon("travel", () => drawMoving(side)));
  on("chosen", () => soon("shown", () => drawShown(side)));
  on("hold", () => soon("notes", () => drawNotes(side)));
  on("looked", () => soon("notes", () => drawNotes(side)));
  new ResizeObserver(([entry]) => resize(side, entry.contentRect)).observe(svg);
  return side;
}

function hatch(id) {
  const stripe = node("path", { class: "stripe", d: "M-1 8L8 -1M-1 1L1 -1M6 8L8 6" });
  return node("pattern", { id, width: 7, height: 7, patternUnits: "userSpaceOnUse" }, stripe);
}

/** Show all of the drawing. */
export function fit(side) {
  if (store.result) side.view.fit(store.result.extent);
}

/** Hear when the view or what is drawn has changed (handles, grips). */
export function whenDrawn(side, work) {
  side.redrawn.add(work);
}

function resize(side, { width, height }) {
  if (width < 10 || height < 10) return;
  const { view, svg } = side;
  set(svg, { viewBox: `0 0 ${width} ${height}` });
  view.resize(width, height);
  if (!view.moved) fit(side);
}

// ------------------------------------------------------------------ drawing

function drawAll(side, pattern) {
  const { view, layers } = side;
  const result = store.result;
  set(pattern, { patternTransform: `scale(${1 / view.scale})` });
  set(layers.true, { transform: view.matrix() });
  drawPaper(layers.paper, layers.edges, view, store.state?.units ?? "mm", originOf(result));
  drawGround(layers.ground, view, result?.fixed);
  drawNotes(side);
  for (const work of side.redrawn) work();
}

function drawShown(side) {
  const result = store.result;
  const flip = store.state?.door === "left" ? -1 : 1;
  set(side.svg, { class: result ? "" : "empty" });
  if (result && (needsFit(side, result) || flip !== side.view.flip)) {
    side.view.flip = flip;
    fit(side);
  }
  const pedals = inOrder(result?.pedals ?? []);
  follow(side.layers.true, pedals, (each) => each.name, makePedal, (group, pedal) => {
    set(group, { class: lookOf(pedal) });
    drawGroups(group.firstChild, pedal, still);
  });
  drawMoving(side);
  side.view.redraw();
}

/** Another file is fitted; the same one stays where it is. */
function needsFit(side, result) {
  const name = `${store.state.file.name} ${result.pedals.map((pedal) => pedal.name)}`;
  const fresh = name !== side.fitted;
  side.fitted = name;
  return fresh;
}

function drawMoving(side) {
  for (const pedal of store.result?.pedals ?? []) {
    const group = side.layers.true.known?.get(pedal.name);
    if (group) drawGroups(group.lastChild, pedal, moving, travel(pedal.name).spot);
  }
  for (const work of side.redrawn) work("travel");
}

function makePedal() {
  return node("g", {}, node("g", { class: "still" }), node("g", { class: "moving" }));
}

function drawGroups(parent, pedal, shapes, spot) {
  follow(parent, framesOf(pedal), String, () => node("g"), (group, frame) => {
    const [dx, dz] = offsetOf(frame);
    set(group, { transform: frame ? `translate(${dx} ${-dz})` : null, "data-frame": frame });
    follow(group, shapes(pedal, frame, spot), (shape) => shape.key, (shape) => node(shape.name), drawShape);
  });
}

function drawShape(element, { key, name, ...attributes }) {
  set(element, attributes);
}

/** The chosen pedal lies on top. */
function inOrder(pedals) {
  const chosen = (pedal) => pedal.name === store.chosen;
  return [...pedals.filter((pedal) => !chosen(pedal)), ...pedals.filter(chosen)];
}

function lookOf(pedal) {
  const many = store.result.pedals.length > 1;
  const chosen = pedal.name === store.chosen || !many;
  return `pedal ${colourOf(pedal.name)}${chosen ? " chosen" : ""}`;
}

function originOf(result) {
  const marks = result?.fixed?.marks ?? [];
  const place = (way) => Number(marks.find((mark) => mark.way === way)?.place ?? 0) || 0;
  return [place("back"), place("up")];
}

// ------------------------------------------------------------------ notes

function drawNotes(side) {
  const { layers, view } = side;
  const result = store.result;
  if (!result) {
    layers.notes.replaceChildren();
    return;
  }
  const boxes = farEnds(side);
  const sizes = dimensions(view, result);
  const labels = arrange(
    [...sizes.labels, ...boxes.map((box) => box.label), ...labelsOf(view, result)],
    fences(view, result, side.layers), outlines(view, result), [view.width, view.height], side.letters,
  );
  layers.notes.replaceChildren(
    ...boxes.map((box) => box.shape), ...sizes.shapes, ...labels.map(leader), ...labels.map(letter),
  );
}

function farEnds({ view, layers }) {
  const frames = store.result.frames.filter((frame) => frame.id !== 0);
  return frames.map((frame) => {
    const [left, top, right, bottom] = bounds(layers.true, frame, view);
    const shape = node("rect", {
      class: "far", x: left, y: top, width: right - left, height: bottom - top, rx: 3,
    });
    const at = [(left + right) / 2, top];
    return { shape, label: { key: `far ${frame.id}`, at, lines: [frame.title ?? "far end"], look: "strong", strong: true, wish: [0, -1] } };
  });
}

function bounds(layer, frame, view) {
  const boxes = [...layer.querySelectorAll(`[data-frame="${frame.id}"]`)].map((group) => group.getBBox());
  const drawn = boxes.filter((box) => box.width || box.height);
  if (!drawn.length) return [0, 0, 0, 0];
  const low = [Math.min(...drawn.map((b) => b.x)), Math.max(...drawn.map((b) => b.y + b.height))];
  const high = [Math.max(...drawn.map((b) => b.x + b.width)), Math.min(...drawn.map((b) => b.y))];
  const corners = [low, high].map(([x, y]) => view.at([x, -y], frame.offset));
  const xs = corners.map(([x]) => x).sort((a, b) => a - b);
  return [round(xs[0] - 14), round(corners[1][1] - 14), round(xs[1] + 14), round(corners[0][1] + 14)];
}

function leader({ at, box, far }) {
  if (!far) return "";
  const near = [clamp(at[0], box[0], box[2]), clamp(at[1], box[1], box[3])];
  return node("path", { class: "leader", d: `M${round(at[0])} ${round(at[1])}L${round(near[0])} ${round(near[1])}` });
}

function letter({ box, lines, look }) {
  const middle = round((box[0] + box[2]) / 2);
  return node("text", { class: `letter ${look ?? ""}`, "text-anchor": "middle" },
    ...lines.map((line, i) => {
      const row = node("tspan", { x: middle, y: round(box[1] + 11.5 + 15 * i) });
      tell(row, line);
      return row;
    }));
}

function clamp(value, low, high) {
  return Math.min(Math.max(value, low), high);
}

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
import { clamp, follow, node, round, set, tell } from "./svg.js";
import { colourOf, offsetOf, on, store, travel } from "./store.js";
import { createView } from "./view.js";

export function createSideview(svg) {
  const layers = Object.fromEntries(
    ["paper", "ground", "true", "edges", "notes", "points", "grips"].map((name) => [name, node("g", { class: name })]),
  );
  const fine = hatch("hatch-true");
  layers.notes.append(node("g"), node("g"));
  svg.append(node("defs", {}, hatch("hatch"), fine), ...Object.values(layers));
  const side = {
    svg, layers, pattern: fine, redrawn: new Set(), wanted: new Set(), letters: new Map(),
    fitted: null, fixed: null, ends: new Map(),
  };
  side.view = createView(() => want(side, "view"));
  const topics = { shown: "shown", chosen: "shown", travel: "travel", hold: "notes", looked: "notes" };
  for (const [topic, what] of Object.entries(topics)) on(topic, () => want(side, what));
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

function resize(side, { width, height }) {
  if (width < 10 || height < 10) return;
  const { view, svg } = side;
  set(svg, { viewBox: `0 0 ${width} ${height}` });
  view.resize(width, height);
  if (!view.moved) fit(side);
}

// ------------------------------------------------------------------ drawing

/** Ask for a drawing: all that is asked for until the next picture is drawn once. */
function want(side, what) {
  side.wanted.add(what);
  soon("side", () => drawWanted(side));
}

function drawWanted(side) {
  if (side.wanted.has("shown")) drawPedals(side);
  const { wanted } = side;
  side.wanted = new Set();
  const only = [...wanted].every((what) => what === "travel");
  if (wanted.has("view")) drawSheet(side);
  if (wanted.has("view") || store.result?.fixed !== side.fixed) drawFixed(side);
  if (wanted.has("travel") || wanted.has("shown")) drawMoving(side);
  for (const work of side.redrawn) work(only);
  if (!only) drawNotes(side); // last: letters keep clear of the grips
}

function drawSheet({ pattern, layers, view }) {
  set(pattern, { patternTransform: `scale(${1 / view.scale})` });
  set(layers.true, { transform: view.matrix() });
  drawPaper(layers.paper, layers.edges, view, store.state?.units ?? "mm", originOf(store.result));
}

function drawFixed(side) {
  side.fixed = store.result?.fixed;
  drawGround(side.layers.ground, side.view, side.fixed);
}

function drawPedals(side) {
  const result = store.result;
  const flip = store.state?.door === "left" ? -1 : 1;
  set(side.svg, { class: result ? "" : "empty" });
  if (store.state !== side.stated) side.wanted.add("view");
  side.stated = store.state;
  if (result && (needsFit(side, result) || flip !== side.view.flip)) {
    side.view.flip = flip;
    fit(side);
  }
  follow(side.layers.true, inOrder(result?.pedals ?? []), (each) => each.name, makePedal, (group, pedal) => {
    set(group, { class: lookOf(pedal) });
    drawGroups(group.firstChild, pedal, still, isChosen(pedal));
  });
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
}

function makePedal() {
  return node("g", {}, node("g", { class: "still" }), node("g", { class: "moving" }));
}

function drawGroups(parent, pedal, shapes, how) {
  follow(parent, framesOf(pedal), String, () => node("g"), (group, frame) => {
    const [dx, dz] = offsetOf(frame);
    set(group, { transform: frame ? `translate(${dx} ${-dz})` : null, "data-frame": frame });
    follow(group, shapes(pedal, frame, how), (shape) => shape.key, (shape) => node(shape.name), drawShape);
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

function isChosen(pedal) {
  return pedal.name === store.chosen || store.result.pedals.length < 2;
}

function lookOf(pedal) {
  return `pedal ${colourOf(pedal.name)}${isChosen(pedal) ? " chosen" : ""}`;
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
    layers.notes.firstChild.replaceChildren();
    follow(layers.notes.lastChild, [], String);
    return;
  }
  const boxes = farEnds(side);
  const sizes = dimensions(view, result);
  const labels = arrange(
    [...sizes.labels, ...boxes.map((box) => box.label), ...labelsOf(view, result)],
    fences(view, result, side.layers), store.hold ? [] : outlines(view, result), [view.width, view.height],
    side.letters, store.hold !== null,
  );
  const [shapes, letters] = layers.notes.children;
  shapes.replaceChildren(...boxes.map((box) => box.shape), ...sizes.shapes, ...labels.map(leader).filter(Boolean));
  follow(letters, labels, (label) => label.key, makeLetter, drawLetter);
}

function farEnds(side) {
  const frames = store.result.frames.filter((frame) => frame.id !== 0);
  return frames.map((frame) => {
    const [left, top, right, bottom] = bounds(side, frame);
    const shape = node("rect", {
      class: "far", x: left, y: top, width: right - left, height: bottom - top, rx: 3,
    });
    const at = [(left + right) / 2, top];
    return { shape, label: { key: `far ${frame.id}`, at, lines: [frame.title ?? "far end"], look: "strong", strong: true, wish: [0, -1] } };
  });
}

function bounds(side, frame) {
  const [x0, y0, x1, y1] = roomOf(side, frame.id);
  const [p, q] = [side.view.at([x0, -y0], frame.offset), side.view.at([x1, -y1], frame.offset)];
  const [left, right] = [Math.min(p[0], q[0]), Math.max(p[0], q[0])];
  return [round(left - 14), round(p[1] - 14), round(right + 14), round(q[1] + 14)];
}

/** What a far end takes, in mm, y down. To measure is slow: not while a point is in hand. */
function roomOf({ layers, ends }, id) {
  if (store.hold && ends.has(id)) return ends.get(id);
  const boxes = [...layers.true.querySelectorAll(`[data-frame="${id}"]`)].map((group) => group.getBBox());
  const drawn = boxes.filter((box) => box.width || box.height);
  const room = [
    Math.min(...drawn.map((box) => box.x)), Math.min(...drawn.map((box) => box.y)),
    Math.max(...drawn.map((box) => box.x + box.width)), Math.max(...drawn.map((box) => box.y + box.height)),
  ];
  ends.set(id, drawn.length ? room : [0, 0, 0, 0]);
  return ends.get(id);
}

function leader({ at, box, far }) {
  if (!far) return null;
  const near = [clamp(at[0], box[0], box[2]), clamp(at[1], box[1], box[3])];
  return node("path", { class: "leader", d: `M${round(at[0])} ${round(at[1])}L${round(near[0])} ${round(near[1])}` });
}

function makeLetter() {
  return node("g", { "text-anchor": "middle" }, node("text"));
}

/** Moved as a whole: letters that stay the same are not set anew. */
function drawLetter(letter, { box, lines, look }) {
  const middle = (box[0] + box[2]) / 2;
  set(letter, { class: `letter ${look ?? ""}`, transform: `translate(${round(middle)} ${round(box[1] + 11.5)})` });
  follow(letter.firstChild, lines.map((line, i) => ({ line, i })), ({ i }) => i, ({ i }) => node("tspan", { x: 0, y: 15 * i }),
    (row, { line }) => tell(row, line));
}

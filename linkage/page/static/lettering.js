/** Which words stand on the drawing, and what they have to keep clear of. */

import { placeAlong } from "./pose.js";
import { colourOf, offsetOf, store, travel } from "./store.js";
import { toward } from "./svg.js";

const TICK = 14; // pixels from a tick to its number, at most: else it is left out

const SIGNS = { guess: ", a guess", free: ", free", locked: ", locked", tolerance: " \u00b1", choice: ", a choice" };

/** The word of a point's state beside its name; nothing where it is a plain number. */
export function stateWord(point) {
  return SIGNS[point.state] ?? "";
}

/** Return the labels of `result`, the weightiest first. */
export function labelsOf(view, result) {
  const many = result.pedals.length > 1;
  const shown = result.pedals.filter((pedal) => !many || pedal.name === store.chosen);
  return [
    ...(many ? result.pedals.filter((each) => each.pad).map((pedal) => padName(view, pedal)) : []),
    ...result.points.filter((point) => isNamed(point, many)).map((point) => pointName(view, point)),
    ...shown.flatMap((pedal) => pedal.marks.map((mark, i) => markName(view, pedal, mark, i))),
    ...(result.fixed?.marks ?? []).map((mark) => datumName(view, mark)),
    ...(result.fixed?.things ?? []).map((thing) => thingName(view, thing)),
    ...shown.flatMap((pedal) => partNames(view, pedal)),
    ...shown.flatMap((pedal) => tickNames(view, pedal)),
  ];
}

function isNamed(point, many) {
  return !many || point.pedal === store.chosen || point.pedal === null || point.id === store.looked;
}

function padName(view, pedal) {
  const look = `strong ${colourOf(pedal.name)} named`;
  const at = view.at(placeAlong(pedal.pad.path, 0) ?? [0, 0]);
  return { key: `pedal ${pedal.name}`, at, lines: [pedal.name], strong: true, look, wish: [-view.flip, -0.6] };
}

function pointName(view, point) {
  const word = stateWord(point);
  const held = store.hold?.id === point.id ? store.hold.at : point.at;
  const at = view.at(held, offsetOf(point.frame));
  const lines = [point.label + word];
  if (point.id === store.looked && point.says) lines.push(point.says);
  if (held !== point.at && store.hold.caught) lines.push(store.hold.caught);
  const wish = point.role === "pad" ? [-view.flip, -0.4] : null;
  return { key: `point ${point.id}`, at, lines, look: point.id === store.looked ? "looked" : "", wish };
}

function markName(view, pedal, mark, i) {
  const look = `mark mark-${mark.kind}`;
  return { key: `mark ${pedal.name} ${i}`, at: view.at(mark.at), lines: [mark.text], look, wish: [0.4 * view.flip, -1] };
}

function datumName(view, { way, text, place }) {
  const at = Number(place) || 0;
  const [px, py] = view.at([at, at]);
  const spot = way === "back" ? [px, 34] : [74, py];
  return { key: `datum ${way}`, at: spot, lines: [text], look: "datum-name", wish: way === "back" ? [-1, 0] : [0, -1] };
}

function thingName(view, { name, paths: [path] }) {
  const middle = [0, 1].map((k) => path.reduce((sum, p) => sum + p[k], 0) / path.length);
  return { key: `thing ${name}`, at: view.at(middle), lines: [name], look: "quiet", wish: [0, -1] };
}

/** Cylinders; a ferrule is named by its handle. */
function partNames(view, pedal) {
  return pedal.cylinders.filter((item) => item.text?.length).map((item) => ({
    key: `part ${pedal.name} ${item.id}`, at: view.at(item.face, offsetOf(item.frame)), lines: item.text,
    look: "quiet", wish: [view.flip, 0.8],
  }));
}

function tickNames(view, pedal) {
  const spots = pedal.ticks.map(([, x, z]) => view.at([x, z]));
  return pedal.ticks.map(([text], i) => [text, i]).filter(([text, i]) => text && i && i % 5 === 0).map(([text, i]) => ({
    key: `tick ${pedal.name} ${text}`, at: spots[i], across: across(spots[i - 1], spots[i + 1] ?? spots[i]), lines: [text], look: `tick ${colourOf(pedal.name)}`, wish: [0, -1], most: TICK,
  }));
}

/** The unit vector square to the way from one place to another. */
function across(a, b) {
  const [u, v] = toward(a, b);
  return [v, -u];
}

/** Boxes that no letters may enter: handles, grips, the edges' numbers. */
export function fences(view, result, layers) {
  const box = ([x, y], r) => [x - r, y - r, x + r, y + r];
  const many = result.pedals.length > 1;
  return [
    ...result.points.map((point) => box(view.at(point.at, offsetOf(point.frame)), 8)),
    ...result.points.filter((point) => stateWord(point) && isNamed(point, many)).map((point) => badge(view, point)),
    ...(store.hold ? [box(view.at(store.hold.at), 12)] : []),
    ...[...layers.grips.children].map((grip) => box(grip.spot ?? [-99, -99], 18)),
    [0, view.height - 22, view.width, view.height],
    [0, 0, 54, view.height],
    view.flip > 0 ? [view.width - 350, 0, view.width, 30] : [0, 0, 350, 30],
  ];
}

function badge(view, { at, frame }) {
  const [x, y] = view.at(at, offsetOf(frame));
  return [x + 7, y - 21, x + 23, y - 3];
}

/** Lines that letters rather do not cross: [from, to, half width]. */
export function outlines(view, result) {
  return [
    ...[result.fixed?.floor, result.fixed?.bulkhead].filter(Boolean).map(([a, b]) => [view.at(a), view.at(b), 5]),
    ...(result.fixed?.things ?? []).flatMap(({ paths }) => paths.flatMap((path) => edges(view, path))),
    ...result.pedals.flatMap((pedal) => [
      ...bodies(view, pedal),
      ...links(view, pedal, travel(pedal.name).nearest),
      ...cylinders(view, pedal),
      ...ferrules(view, pedal),
      ...arcs(view, pedal),
    ]),
  ];
}

/** An outline in some twenty pieces. */
function edges(view, path) {
  const few = path.filter((_, i) => i % Math.ceil(path.length / 20) === 0).map((place) => view.at(place));
  return few.map((place, i) => [place, few.at(i - 1), 2]);
}

function bodies(view, pedal) {
  return pedal.bodies.flatMap((body) => {
    const offset = offsetOf(body.frame);
    const ends = body.pins.map(([x, z]) => [x, z]);
    const pad = pedal.pad?.path[0];
    if (body.id === "arm" && pad) ends.push(pad);
    const pivot = view.at(body.pivot, offset);
    const found = ends.map((end) => [pivot, view.at(end, offset), 9 * view.scale]);
    return body.id === "arm" && pad ? [...found, plate(view, pad, pedal.pad.press)] : found;
  });
}

/** The plate of the pad, as long as a foot is wide. */
function plate(view, [x, z], [u, v]) {
  return [view.at([x - 32 * v, z + 32 * u]), view.at([x + 32 * v, z - 32 * u]), 5 * view.scale];
}

function links(view, pedal, at) {
  return pedal.links.filter((link) => link.a[at] && link.b[at]).map((link) => {
    const offset = offsetOf(link.frame);
    return [view.at(link.a[at], offset), view.at(link.b[at], offset), 3];
  });
}

function cylinders(view, pedal) {
  return pedal.cylinders.flatMap(({ face: [x, z], axis: [u, v], frame }) => {
    const at = (s, h) => view.at([x + s * u - h * v, z + s * v + h * u], offsetOf(frame));
    return [[at(0, 0), at(62, 0), 16 * view.scale], [at(5, -28), at(5, 28), 5 * view.scale]];
  });
}

function ferrules(view, pedal) {
  return pedal.ferrules.map(({ at, inner, frame }) => {
    const back = at.map((x, i) => x - 45 * inner[i]);
    return [view.at(at, offsetOf(frame)), view.at(back, offsetOf(frame)), 7 * view.scale];
  });
}

function arcs(view, pedal) {
  const path = pedal.pad?.path ?? [];
  const steps = [0, 25, 50, 75, 100].filter((k) => k < path.length);
  return steps.slice(1).filter((k, i) => path[k] && path[steps[i]]).map((k, i) => [view.at(path[steps[i]]), view.at(path[k]), 6]);
}

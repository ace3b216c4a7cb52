/**
 * The shapes of one plot: axes, bands, walls, curves and the words on them; no state.
 *
 * A shape is {name, text, ...attributes}: a node to be made, or one that is there already.
 */

import { clamp, round } from "./svg.js";

const LETTER = 6.1; // px a letter of the plot's small letters, a little too much
const GAP = 11; // px between two lines of words
const STEPS = [0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6, -6, 7, -7];
const SAME = 0.02; // of the height: walls and bands this near the frame are the frame

/**
 * Return {scale, layers: [grid, bands, kept, curves, words]}, lists of shapes.
 * `kept` is the same panel of an earlier state, or null.
 */
export function plotted(panel, kept, { box, travel, placesOf, keptPlaces, colourOf }) {
  const scale = scaleOf(panel, kept, box, travel);
  const curves = panel.series.map((series) =>
    curve(series, placesOf(series.pedal), scale, `line ${colourOf(series.pedal)}`));
  const earlier = (kept?.series ?? []).map((series) => curve(series, keptPlaces(series.pedal), scale, "line"));
  return {
    scale,
    layers: [
      axes(panel, travel, scale, box),
      panel.bands.flatMap((band) => bandShapes(band, scale, box)),
      earlier,
      curves,
      words(panel, placesOf, scale, box),
    ],
  };
}

function scaleOf(panel, kept, box, { upto }) {
  const low = Math.min(panel.span[0], kept?.span[0] ?? Infinity);
  const high = Math.max(panel.span[1], kept?.span[1] ?? -Infinity);
  const [width, height] = [box.right - box.left, box.bottom - box.top];
  return {
    x: (mm) => round(box.left + (mm / (upto || 1)) * width),
    y: (value) => round(box.bottom - ((value - low) / (high - low || 1)) * height),
    low,
    high,
  };
}

// ------------------------------------------------------------------ axes

function axes(panel, travel, scale, box) {
  const across = panel.ticks.filter(([value]) => value >= scale.low && value <= scale.high);
  return [
    ...across.map(([value]) => path("rule-line", `M${box.left} ${scale.y(value)}H${box.right}`)),
    ...travel.ticks.map(([mm]) => path("rule-line", `M${scale.x(mm)} ${box.bottom}v3`)),
    path("axis", `M${box.left} ${box.top}V${box.bottom}H${box.right}`),
    ...across.map(([value, text]) => letters(text, box.left - 4, scale.y(value) + 3.5, "end")),
    ...below(travel, scale, box),
  ];
}

/** The figures under the axis; the name of the axis takes the place of the last of them. */
function below(travel, scale, box) {
  const room = box.right - travel.name.length * LETTER - 8;
  const fit = travel.ticks.filter(([mm, text]) => scale.x(mm) + (text.length * LETTER) / 2 < room);
  return [
    ...fit.map(([mm, text]) => letters(text, scale.x(mm), box.bottom + 13, "middle")),
    letters(travel.name, box.right, box.bottom + 13, "end"),
  ];
}

// ------------------------------------------------------------------ targets and walls

function bandShapes(band, scale, box) {
  const [left, right] = [scale.x(band.from), Math.min(scale.x(band.to), box.right)];
  const top = band.high === null ? box.top : within(scale.y(band.high), box);
  const bottom = band.low === null ? box.bottom : within(scale.y(band.low), box);
  const edges = [band.high, band.low].filter((value) => value !== null && value >= scale.low && value <= scale.high);
  const width = Math.max(right - left, 3);
  const d = `M${left - (width > right - left ? 1.5 : 0)} ${top}h${round(width)}V${bottom}h${round(-width)}Z`;
  return [
    path("band-room", d),
    ...edges.map((value) => path("band-edge", `M${left} ${scale.y(value)}H${Math.max(right, left + 3)}`)),
  ];
}

function within(y, box) {
  return clamp(y, box.top, box.bottom);
}

// ------------------------------------------------------------------ curves

function curve({ values }, places, scale, look) {
  let pen = "M";
  const d = values.map((value, k) => {
    if (value === null || places[k] === undefined) {
      pen = "M";
      return "";
    }
    const step = `${pen}${scale.x(places[k])} ${scale.y(value)}`;
    pen = "L";
    return step;
  }).join("");
  return path(look, d);
}

// ------------------------------------------------------------------ words

/** Walls with their lines, spots with their rings, texts of bands: each where it is free. */
function words(panel, places, scale, box) {
  const room = { box, taken: [], busy: samples(panel, places, scale) };
  const seen = (value) => value >= scale.low - SAME && value <= scale.high;
  const walls = panel.walls.filter(({ value }) => seen(value));
  const least = Math.min(...walls.map(({ value }) => value)); // its words lie below, those of others above
  for (const { value } of walls) room.taken.push({ start: box.left, end: box.right, y: scale.y(value) + 4, line: true });
  return [
    ...walls.map(({ value }) => path("wall", `M${box.left} ${scale.y(value)}H${box.right}`)),
    ...panel.spots.map(({ travel, value }) => ({ name: "circle", class: "spot", cx: scale.x(travel), cy: scale.y(value), r: 3 })),
    ...walls.map(({ value, text }) => put(text, [box.left + 6, box.right - 6], scale.y(value) + (value > least ? -4 : 12), room)),
    ...panel.spots.map(({ travel, value, text }) => put(text, [scale.x(travel)], scale.y(value) + 14, room)),
    ...panel.bands.filter(({ text }) => text).map((band) => wish(band, scale, room)),
  ];
}

function samples(panel, places, scale) {
  return panel.series.flatMap(({ pedal, values }) => {
    const at = places(pedal);
    return values.flatMap((value, k) => (value === null || at[k] === undefined ? [] : [[scale.x(at[k]), scale.y(value)]]));
  });
}

function wish({ from, to, low, high, text }, scale, room) {
  const y = within(scale.y(high ?? low), room.box);
  const [left, right] = [scale.x(from), scale.x(to)];
  const half = (text.length * LETTER) / 2;
  return put(text, [(left + right) / 2, left + half + 4, right - half - 4], high === null ? y - 4 : y + 12, room);
}

/** Letters that stay inside the box, off each other and off the curves where they can. */
function put(text, middles, y, room) {
  const { box } = room;
  const width = text.length * LETTER;
  const starts = middles.map((x) => Math.max(box.left + 4, Math.min(x - width / 2, box.right - 4 - width)));
  const tries = STEPS.flatMap((step) => starts.map((start) => [start, y + step * GAP]));
  const inside = tries.filter(([, at]) => at > box.top + 8 && at < box.bottom - 2);
  const [start, line] = inside.find(([x, at]) => !crossed(x, width, at, room) && !covered(x, width, at, room)) ??
    inside.find(([x, at]) => !covered(x, width, at, room)) ?? [starts[0], Math.max(y, box.top + 9)];
  room.taken.push({ start, end: start + width, y: line });
  return letters(text, round(start), round(line), "start");
}

function covered(start, width, y, { taken }) {
  return taken.some((other) => Math.abs(other.y - y) < (other.line ? 7 : GAP) && other.start < start + width && start < other.end);
}

function crossed(start, width, y, { busy }) {
  return busy.some(([x, at]) => x > start - 3 && x < start + width + 3 && at > y - 11 && at < y + 5);
}

function letters(text, x, y, anchor) {
  return { name: "text", x, y, "text-anchor": anchor, text };
}

function path(look, d) {
  return { name: "path", class: look, d };
}

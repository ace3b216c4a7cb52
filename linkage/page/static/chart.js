/**
 * The curves: one small plot a quantity against pad travel, tied to where the pads stand.
 *
 * Every text is the program's. The curves of an earlier state can be kept: they are drawn
 * thin behind the new ones until they are let go.
 */

import { plotted } from "./curve.js";
import { soon } from "./frame.js";
import { cell, colourOf, on, pedal, store, travel, travelTo } from "./store.js";
import { follow, html, node, set, tell } from "./svg.js";

const WIDTH = 372;
const HEIGHT = 138;
const BOX = { left: 40, right: 366, top: 8, bottom: 118 };
const NOTHING = "There are no curves: a pedal needs a train (a cylinder, lever or cable) that it can move.";
const BROKEN = "No curves yet: this pedal cannot move as it stands. What is wrong with it stands above the drawing.";
let kept = null;

export function start(mount) {
  const bar = keeping();
  const list = html("div", { class: "charts" });
  const none = html("p", { class: "hint" });
  mount.append(bar.root, list, none);
  const draw = () => {
    if (store.hold && mount.closest("[hidden]")) return;
    const panels = store.result?.panels ?? [];
    none.hidden = panels.length > 0 || !store.result;
    tell(none, store.result?.pedals.some(({ faults }) => faults?.length) ? BROKEN : NOTHING);
    bar.draw(panels.length > 0);
    follow(list, panels, (panel) => panel.id, makeChart, drawChart);
  };
  const point = () => follow(list, store.result?.panels ?? [], (panel) => panel.id, makeChart, drawPlaces);
  on("told", () => soon("charts", draw));
  on("chosen", () => soon("charts", draw));
  on("kept", () => soon("charts", draw));
  on("travel", () => soon("chart places", point));
  draw();
}

// ------------------------------------------------------------------ an earlier state

function keeping() {
  const button = html("button", { type: "button" });
  const said = html("span", { class: "says" });
  const root = html("div", { class: "keeping" }, button, said);
  const draw = (any) => {
    root.hidden = !any;
    tell(button, kept ? "Let the earlier curves go" : "Keep these curves to compare");
    tell(said, kept ? "thin and grey: as it was when you kept them" : "");
  };
  button.addEventListener("click", () => {
    kept = kept ? null : remember(store.result);
    soon("charts", () => {
      draw(true);
      for (const chart of document.querySelectorAll(".chart")) drawChart(chart, panelOf(chart));
    });
  });
  return { root, draw };
}

function remember({ panels, pedals }) {
  return { units: store.state.units, panels, places: new Map(pedals.map(({ name, at }) => [name, at])) };
}

function panelOf(chart) {
  return store.result?.panels.find(({ id }) => id === chart.panelId) ?? chart.panel;
}

function keptOf({ id, unit }) {
  const panel = kept?.panels.find((each) => each.id === id);
  return panel && panel.unit === unit ? panel : null;
}

// ------------------------------------------------------------------ one plot

function makeChart(panel) {
  const chart = html("figure", { class: "chart" });
  const plot = node("svg", { viewBox: `0 0 ${WIDTH} ${HEIGHT}`, role: "img" });
  const now = html("span", { class: "now" });
  const button = html("button", { type: "button", class: "small", "aria-expanded": "false" }, "Table");
  const table = html("div", { class: "tableroom", tabindex: "0", role: "group" });
  table.hidden = true;
  Object.assign(chart, { panelId: panel.id, parts: { plot, now, button, table }, open: false });
  chart.append(html("figcaption", {}, html("strong"), now, button), plot, table);
  chart.layers = ["grid", "bands", "kept", "curves", "words", "here"].map((name) => {
    const layer = node("g", { class: name });
    plot.append(layer);
    return layer;
  });
  button.addEventListener("click", () => toggle(chart));
  plot.addEventListener("pointerdown", (event) => press(chart, event));
  plot.addEventListener("pointermove", (event) => event.buttons === 1 && press(chart, event));
  return chart;
}

function toggle(chart) {
  chart.open = !chart.open;
  const { button, table } = chart.parts;
  set(button, { "aria-expanded": String(chart.open) });
  tell(button, chart.open ? "Plot alone" : "Table");
  table.hidden = !chart.open;
  if (chart.open) drawTable(chart);
}

/** A press on a plot brings the pad there. */
function press(chart, event) {
  const box = chart.parts.plot.getBoundingClientRect();
  const x = ((event.clientX - box.left) / box.width) * WIDTH;
  const share = (x - BOX.left) / (BOX.right - BOX.left);
  travelTo(store.chosen, share * store.result.travel.upto);
}

function drawChart(chart, panel) {
  chart.panel = panel;
  chart.classList.toggle("old", Boolean(panel.old));
  const { plot, button, table } = chart.parts;
  const name = panel.unit ? `${panel.name}, ${panel.unit}` : panel.name;
  tell(chart.querySelector("strong"), name);
  set(plot, { "aria-label": `${name}, against travel of the pad. ${panel.summary}` });
  set(button, { "aria-label": `${panel.name} as a table` });
  set(table, { "aria-label": `${panel.name}, table` });
  const shapes = plotted(panel, keptOf(panel), { box: BOX, travel: store.result.travel, placesOf, keptPlaces, colourOf });
  chart.scale = shapes.scale;
  chart.layers.slice(0, 5).forEach((layer, i) => drawShapes(layer, shapes.layers[i]));
  drawPlaces(chart, panel);
  if (chart.open) drawTable(chart);
}

/** Nodes stay while there are shapes of their kind: letters that are the same are not set anew. */
function drawShapes(layer, shapes) {
  const counts = {};
  const keyed = shapes.map((shape) => {
    const kind = shape.class ?? shape["text-anchor"];
    counts[kind] = (counts[kind] ?? 0) + 1;
    return { ...shape, key: `${kind} ${counts[kind]}` };
  });
  follow(layer, keyed, ({ key }) => key, ({ name }) => node(name), drawShape);
}

function drawShape(element, { key, name, text, ...attributes }) {
  set(element, attributes);
  if (text !== undefined) tell(element, text);
}

function placesOf(name) {
  return pedal(name)?.at ?? [];
}

function keptPlaces(name) {
  return kept?.places.get(name) ?? [];
}

/** The line and the dots where the pads stand, and what is read there. */
function drawPlaces(chart, panel) {
  if (!chart.scale) return;
  const shown = panel.series.map((series) => ({ ...series, k: travel(series.pedal).nearest, mm: travel(series.pedal).mm }));
  const dots = shown.flatMap((series) => mark(chart.scale, series));
  drawShapes(chart.layers[5], dots);
  const several = panel.series.length > 1;
  follow(chart.parts.now, shown, ({ pedal: name }) => name, makeNow, (item, series) => {
    const text = panel.old ? "worked out when you let go" : said(series, panel, series.k) || "no value";
    set(item, { class: colourOf(series.pedal) });
    tell(item.lastChild, several ? `${series.pedal} ${text}` : text);
  });
}

function makeNow() {
  return html("span", {}, html("i", { class: "swatch" }), html("b"));
}

function mark(scale, { pedal: name, values, mm, k }) {
  const x = scale.x(mm);
  const lines = name === store.chosen ? [{ name: "path", class: "place", d: `M${x} ${BOX.top}V${BOX.bottom}` }] : [];
  const value = values[Math.min(k, values.length - 1)];
  if (value === null || value === undefined) return lines;
  return [...lines, { name: "circle", class: `dot ${colourOf(name)}`, cx: x, cy: scale.y(value), r: 3.6 }];
}

// ------------------------------------------------------------------ the table behind it

/** A curve's values in words stand beside them, or in the table of its pedal. */
function said(series, panel, k) {
  const shown = pedal(series.pedal);
  if (panel.old || !shown) return "";
  return series.said ? series.said[k] : cell(shown, panel.id, k);
}

function drawTable(chart) {
  const { panel } = chart;
  const sets = panel.series.map((series) => series.pedal);
  const tables = panel.series.map((series) => tableOf(panel, series, sets.length > 1));
  chart.parts.table.replaceChildren(...tables);
}

function tableOf(panel, series, several) {
  const shown = pedal(series.pedal);
  const pads = shown?.table.rows[0] ?? [];
  const head = html("tr", {}, html("th", { scope: "col" }, shown?.table.head[0].join(" ") ?? "pad"), html("th", { scope: "col" }, panel.name));
  const rows = pads.map((pad, k) => html("tr", {}, html("td", {}, pad), html("td", {}, said(series, panel, k) || "-")));
  const caption = html("caption", {}, several ? series.pedal : panel.name);
  return html("table", {}, caption, html("thead", {}, head), html("tbody", {}, ...rows));
}

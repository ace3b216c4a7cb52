/**
 * One pedal as shapes: what stands still, and what is carried through the travel.
 *
 * A shape is {key, name, look, ...attributes} in mm, y down. Outlines come from the
 * program; here they are turned by the angle that came with them, and moved.
 */

import { chain, toward } from "./svg.js";

/** Return the shapes of `pedal` in `frame` that do not move: walls, arc; full of the chosen. */
export function still(pedal, frame, chosen) {
  const here = inFrame(frame);
  return [
    ...pedal.cylinders.filter(here).flatMap(housing),
    ...pedal.ferrules.filter(here).flatMap(ferrule),
    ...(chosen ? ghosts(pedal, frame, last(pedal), "full") : []),
    ...(frame === 0 ? arc(pedal) : []),
  ];
}

/** Return the shapes of `pedal` in `frame` at `spot`, a place between 0 and 100; and at rest. */
export function moving(pedal, frame, spot) {
  const here = inFrame(frame);
  return [
    ...(spot > 0 ? ghosts(pedal, frame, 0, "rest") : []),
    ...pedal.cylinders.filter(here).flatMap((item) => plunger(item, spot)),
    ...pedal.bodies.filter(here).flatMap((body) => solid(body, spot)),
    ...(frame === 0 ? plate(pedal, spot, "plate") : []),
    ...pedal.links.filter(here).flatMap((link) => line(link, spot, `${link.kind} now`)),
    ...pedal.bodies.filter(here).flatMap((body) => pins(body, spot)),
  ];
}

/** Return the frames that a pedal is drawn in. */
export function framesOf(pedal) {
  const parts = [...pedal.bodies, ...pedal.links, ...pedal.cylinders, ...pedal.ferrules];
  return [...new Set([0, ...parts.map((part) => part.frame)])];
}

function inFrame(frame) {
  return (part) => part.frame === frame;
}

function last(pedal) {
  return pedal.at.length - 1;
}

// ------------------------------------------------------------------ between samples

/** Return what lies at `spot` of a list of numbers. */
export function along(values, spot) {
  const low = Math.min(Math.max(Math.floor(spot), 0), values.length - 1);
  const high = Math.min(low + 1, values.length - 1);
  return values[low] + (spot - low) * (values[high] - values[low]);
}

/** Return what lies at `spot` of a list of places; null in a gap. */
export function placeAlong(places, spot) {
  const low = Math.min(Math.max(Math.floor(spot), 0), places.length - 1);
  const [a, b] = [places[low], places[Math.min(low + 1, places.length - 1)]];
  if (!a || !b) return a ?? b ?? null;
  const share = spot - low;
  return [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])];
}

function turned(body, spot) {
  const [x, z] = body.pivot;
  const turn = along(body.turn, spot);
  return turn ? `rotate(${-turn} ${x} ${-z})` : null;
}

const down = ([x, z]) => [x, -z];

// ------------------------------------------------------------------ parts

function solid(body, spot) {
  const transform = turned(body, spot);
  const outline = { key: body.id, name: "path", class: `body ${body.kind}`, d: body.path, transform };
  if (!body.mark) return [outline];
  return [outline, { key: `${body.id} mark`, name: "path", class: "pointer", d: chain(body.mark.map(down)), transform }];
}

function pins(body, spot) {
  const circle = ([x, z, r]) => `M${x - r} ${-z}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0Z`;
  return [{ key: `${body.id} pins`, name: "path", class: "pins", d: body.pins.map(circle).join(""), transform: turned(body, spot) }];
}

function plate(pedal, spot, look) {
  const arm = pedal.bodies.find((body) => body.id === "arm");
  if (!arm || !pedal.pad?.rest) return [];
  return [{ key: look, name: "path", class: look, d: pedal.pad.rest, transform: turned(arm, spot) }];
}

function line(link, spot, look) {
  const places = [placeAlong(link.a, spot), placeAlong(link.b, spot)];
  if (!places[0] || !places[1]) return [];
  return [{ key: `${link.id} ${look}`, name: "path", class: look, d: chain(places.map(down)) }];
}

function ghosts(pedal, frame, spot, look) {
  const here = inFrame(frame);
  return [
    ...pedal.bodies.filter(here).map((body) => ({
      key: `${body.id} ${look}`, name: "path", class: `ghost ${look}`, d: body.path, transform: turned(body, spot),
    })),
    ...(frame === 0 ? plate(pedal, spot, `ghost plate-${look} ${look}`) : []),
    ...pedal.links.filter(here).flatMap((link) => line(link, spot, `ghost ${link.kind} ${look}`)),
  ];
}

function housing(item) {
  const parts = { case: item.path, bore: item.bore, fixed: item.fixed, wall: item.wall };
  return Object.entries(parts).filter(([, d]) => d).map(([look, d]) => ({
    key: `${item.id} ${look}`, name: "path", class: look, d,
  }));
}

function plunger(item, spot) {
  const [rest, now] = [item.piston[0], placeAlong(item.piston, spot)];
  if (!item.slug || !rest || !now) return [];
  const transform = `translate(${now[0] - rest[0]} ${rest[1] - now[1]})`;
  return [{ key: `${item.id} slug`, name: "path", class: "slug", d: item.slug, transform }];
}

/** The bracket, the ferrule and the first of the casing; `inner` is the way of the wire. */
function ferrule({ at, inner }, i) {
  const box = (from, to, half) => rectangle(down(at), toward([0, 0], down(inner)), from, to, half);
  return [
    { key: `casing ${i}`, name: "path", class: "casing", d: box(-45, -20, 1.6) },
    { key: `bracket ${i}`, name: "path", class: "bracket", d: box(-12, -6, 22) },
    { key: `ferrule ${i}`, name: "path", class: "case", d: box(-24, 0, 6) },
  ];
}

function rectangle([x, y], [u, v], from, to, half) {
  const corners = [[from, -half], [to, -half], [to, half], [from, half]];
  return `${chain(corners.map(([s, h]) => [x + s * u - h * v, y + s * v + h * u]))}Z`;
}

// ------------------------------------------------------------------ the pad's arc

function arc(pedal) {
  const path = (pedal.pad?.path ?? []).filter(Boolean);
  if (path.length < 2) return [];
  const arm = pedal.bodies.find((body) => body.id === "arm");
  return [
    ...(arm ? [{ key: "arc", name: "path", class: "arc", d: bow(path.map(down), down(arm.pivot)) }] : []),
    ...pedal.marks.filter((mark) => mark.corner).map(square),
    ...(arm ? [{ key: "ticks", name: "path", class: "arc", d: ticks(pedal, arm.pivot) }] : []),
  ];
}

/** Return the arc of places round a centre, from the first to the last, by way of the middle. */
function bow(places, [cx, cy]) {
  const [[x, y], [u, v], [ex, ey]] = [places[0], places[places.length >> 1], places[places.length - 1]];
  const radius = Math.hypot(x - cx, y - cy);
  const clockwise = (u - x) * (ey - y) - (v - y) * (ex - x) > 0;
  const far = ((x - cx) * (ey - cy) - (y - cy) * (ex - cx) > 0) !== clockwise;
  return `M${x} ${y}A${radius} ${radius} 0 ${Number(far)} ${Number(clockwise)} ${ex} ${ey}`;
}

/** A small square where rod and arm are square. */
function square({ corner: [at, a, b] }, i) {
  const [u, v] = [a, b].map((p) => toward(at, p).map((part) => 10 * part));
  const places = [u, [u[0] + v[0], u[1] + v[1]], v].map(([x, z]) => [at[0] + x, -at[1] - z]);
  return { key: `square ${i}`, name: "path", class: "square", d: chain(places) };
}

function ticks(pedal, pivot) {
  return pedal.ticks.map(([, x, z], i) => {
    const [u, v] = toward(pivot, [x, z]);
    const reach = i % 5 === 0 ? 6 : 3;
    return chain([[x - reach * u, -z + reach * v], [x + reach * u, -z - reach * v]]);
  }).join("");
}

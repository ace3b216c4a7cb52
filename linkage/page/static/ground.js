/** What the pedals are bolted to: floor, bulkhead, and the marks that the tape hooks on. */

import { node, round, toward } from "./svg.js";

const THICK = 11; // pixels of hatch

export function drawGround(layer, view, fixed) {
  if (!fixed) {
    layer.replaceChildren();
    return;
  }
  layer.replaceChildren(
    ...(fixed.floor ? metal(view, fixed.floor, [0, -1]) : []),
    ...(fixed.bulkhead ? metal(view, fixed.bulkhead, [1, 0]) : []),
    ...(fixed.things ?? []).flatMap(({ paths }) => paths.flatMap((path) => thing(view, path))),
    ...(fixed.marks ?? []).map((mark) => datum(view, mark)),
  );
}

/** A fixed thing of the footwell: its outline, hatched where it has an inside. */
function thing(view, path) {
  const d = path.map((p, i) => (i ? "L" : "M") + view.at(p).map(round).join(" ")).join("");
  return ["hatched", "edge"].map((look) => node("path", { class: look, d: `${d}Z` }));
}

/** A thick edge, hatched on the side away from the foot. */
function metal(view, [a, b], away) {
  const [p, q] = [view.at(a), view.at(b)];
  const [s, t] = toward(p, q);
  let [u, v] = [-t, s];
  if (u * away[0] * view.flip - v * away[1] < 0) [u, v] = [-u, -v];
  const at = ([x, y], off) => `${round(x + off * u)} ${round(y + off * v)}`;
  return [
    node("path", { class: "hatched", d: `M${at(p, 0)}L${at(q, 0)}L${at(q, THICK)}L${at(p, THICK)}Z` }),
    node("path", { class: "edge", d: `M${at(p, 0)}L${at(q, 0)}` }),
  ];
}

function datum(view, { way, place }) {
  const at = Number(place) || 0;
  const [px, py] = view.at([at, at]);
  const path = way === "back" ? `M${round(px)} 30V${view.height - 24}` : `M40 ${round(py)}H${view.width}`;
  return node("path", { class: "datum", d: path });
}

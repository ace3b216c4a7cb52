/**
 * Where on the drawing a place of the car lies: pan, zoom and fit.
 *
 * Places are [x, z] in mm, x forward and z up; the drawing counts pixels, y down. The
 * layer of true shapes is moved and scaled as a whole; letters and handles stand in
 * pixels and are placed by `at`. Seen through the left door the front of the car is left:
 * `flip` is then -1.
 */

import { clamp } from "./svg.js";

const LEAST = 0.05; // pixels a mm
const MOST = 40;
const MARGIN = 40;
const ABOVE = 26; // more of it at the top, for the scale bar

export function createView(changed) {
  const view = { scale: 1, flip: 1, left: 0, top: 0, width: 800, height: 600, moved: false };

  view.at = ([x, z], [dx, dz] = [0, 0]) => [
    view.left + (x + dx) * view.scale * view.flip,
    view.top - (z + dz) * view.scale,
  ];
  view.place = ([px, py], [dx, dz] = [0, 0]) => [
    (px - view.left) / view.scale / view.flip - dx,
    (view.top - py) / view.scale - dz,
  ];
  view.matrix = () => `translate(${view.left} ${view.top}) scale(${view.scale * view.flip} ${view.scale})`;

  view.resize = (width, height) => {
    if (width === view.width && height === view.height) return;
    view.left += (width - view.width) / 2;
    view.top += (height - view.height) / 2;
    Object.assign(view, { width, height });
    changed();
  };

  view.fit = ([x0, z0, x1, z1]) => {
    const margin = Math.min(MARGIN, view.width / 9);
    const wide = Math.max(view.width - 2 * margin, 40) / Math.max(x1 - x0, 1);
    const high = Math.max(view.height - 2 * margin - ABOVE, 40) / Math.max(z1 - z0, 1);
    view.scale = clamp(Math.min(wide, high), LEAST, MOST);
    view.left = view.width / 2 - (view.flip * view.scale * (x0 + x1)) / 2;
    view.top = (view.height + ABOVE) / 2 + (view.scale * (z0 + z1)) / 2;
    view.moved = false;
    changed();
  };

  view.pan = (dx, dy) => {
    view.left += dx;
    view.top += dy;
    view.moved = true;
    changed();
  };

  view.zoom = (factor, [px, py] = [view.width / 2, view.height / 2]) => {
    const scale = clamp(view.scale * factor, LEAST, MOST);
    const grown = scale / view.scale;
    view.left = px - (px - view.left) * grown;
    view.top = py - (py - view.top) * grown;
    view.scale = scale;
    view.moved = true;
    changed();
  };

  view.redraw = changed;
  return view;
}

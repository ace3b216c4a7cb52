/** Makers of nodes. Text goes in as text, never as markup; looks come from classes. */

const SVG = "http://www.w3.org/2000/svg";

/** Return a new SVG node; a string among the children becomes text. */
export function node(name, attributes = {}, ...children) {
  return fill(document.createElementNS(SVG, name), attributes, children);
}

/** Return a new HTML node. */
export function html(name, attributes = {}, ...children) {
  return fill(document.createElement(name), attributes, children);
}

/** Return a button that does `work`. */
export function button(name, work, look = null) {
  const made = html("button", { type: "button", class: look }, name);
  made.addEventListener("click", work);
  return made;
}

function fill(element, attributes, children) {
  set(element, attributes);
  element.append(...children.filter((child) => child !== null));
  return element;
}

/** Write what has changed; null, undefined and false take an attribute away. */
export function set(element, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) {
      element.removeAttribute(name);
    } else {
      const text = value === true ? "" : String(value);
      if (element.getAttribute(name) !== text) element.setAttribute(name, text);
    }
  }
}

/** Write the text of a node that nobody else writes, if it is another. */
export function tell(element, text) {
  if (element.told === text) return;
  element.textContent = text;
  element.told = text;
}

/**
 * Make the children of `parent` follow `items`: one each, found again by its key, so that
 * focus and pointer capture live on. `make(item)` returns a node, `write(node, item)` fills it.
 */
export function follow(parent, items, key, make, write) {
  const known = parent.known ?? (parent.known = new Map());
  const kept = new Map();
  const wanted = new Set(items.map(key));
  for (const [name, child] of known) if (!wanted.has(name)) child.remove();
  let before = null;
  for (const item of items) {
    const name = key(item);
    const child = known.get(name) ?? make(item);
    kept.set(name, child);
    const here = before ? before.nextSibling : parent.firstChild;
    if (child !== here) parent.insertBefore(child, here);
    write(child, item);
    before = child;
  }
  parent.known = kept;
}

/** Return `path` data of a chain of places, already in the units of the layer. */
export function chain(places) {
  return places.map(([x, y], i) => `${i ? "L" : "M"}${round(x)} ${round(y)}`).join("");
}

/** Return the unit vector from one place towards another. */
export function toward([ax, ay], [bx, by]) {
  const size = Math.hypot(bx - ax, by - ay) || 1;
  return [(bx - ax) / size, (by - ay) / size];
}

export function clamp(value, low, high) {
  return Math.min(Math.max(value, low), high);
}

/** Two digits are a hundredth of a pixel: enough, and short. */
export function round(number) {
  return Math.round(number * 100) / 100;
}

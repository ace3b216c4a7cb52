/** What a screen reader is told: politely, and only after a pause. */

const PAUSE = 500;
let region = null;
let timer = 0;

export function start(mount) {
  region = mount;
}

export function say(text) {
  clearTimeout(timer);
  timer = setTimeout(() => {
    region.textContent = text;
  }, PAUSE);
}

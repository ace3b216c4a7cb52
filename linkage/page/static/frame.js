/** Draw at most once a picture: work that is asked for several times is done once. */

const waiting = new Map();

/** Do `work` in the next animation frame; a later call under the same name replaces it. */
export function soon(name, work) {
  if (waiting.size === 0) requestAnimationFrame(flush);
  waiting.set(name, work);
}

function flush() {
  const works = [...waiting.values()];
  waiting.clear();
  for (const work of works) work();
}

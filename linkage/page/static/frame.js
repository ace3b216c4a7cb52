/** Draw at most once a picture: work that is asked for several times is done once. */

const waiting = new Map();
const done = new Map();
let picture = 0;

/** Do `work` in the next animation frame; a later call under the same name replaces it. */
export function soon(name, work) {
  if (waiting.size === 0) requestAnimationFrame(flush);
  waiting.set(name, work);
}

/** The same, in every `nth` picture at most: for what may lag behind a hand. */
export function seldom(name, work, nth) {
  soon(name, () => {
    if (picture < (done.get(name) ?? 0) + nth) return seldom(name, work, nth);
    done.set(name, picture);
    return work();
  });
}

function flush() {
  picture += 1;
  const works = [...waiting.values()];
  waiting.clear();
  for (const work of works) work();
}

/** Take a file away: the browser's own download, or why there is none. */

import { named } from "./card.js";
import { html } from "./svg.js";

/** Return null once the file is on its way, else a sentence that says what is wrong. */
export async function fetched(address) {
  try {
    const answer = await fetch(address);
    if (!answer.ok) return await why(answer);
    hand(await answer.blob(), nameOf(answer.headers.get("content-disposition") ?? ""));
    return null;
  } catch {
    return "The program does not answer: nothing was written.";
  }
}

async function why(answer) {
  const { faults } = await answer.json();
  return named(faults);
}

function nameOf(disposition) {
  const [, coded] = /filename\*=UTF-8''([^;]+)/.exec(disposition) ?? [];
  return coded ? decodeURIComponent(coded) : "design";
}

function hand(blob, name) {
  const address = URL.createObjectURL(blob);
  const anchor = html("a", { href: address, download: name });
  document.body.append(anchor);
  anchor.click();
  anchor.remove();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

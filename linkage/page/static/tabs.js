/** Panels of which one is open; arrow keys go from tab to tab. */

import { emit } from "./store.js";

const KEYS = { ArrowRight: 1, ArrowLeft: -1 };

export function start(list) {
  const tabs = tabsOf(list);
  for (const tab of tabs) {
    tab.addEventListener("click", () => open(tabs, tab));
    tab.addEventListener("keydown", (event) => step(tabs, tab, event));
  }
}

function tabsOf(list) {
  return [...list.querySelectorAll("[role=tab]")];
}

function open(tabs, chosen) {
  for (const tab of tabs) {
    const here = tab === chosen;
    tab.setAttribute("aria-selected", String(here));
    tab.tabIndex = here ? 0 : -1;
    document.getElementById(tab.getAttribute("aria-controls")).hidden = !here;
  }
  emit("opened", chosen.id);
}

function step(tabs, tab, event) {
  const way = KEYS[event.key];
  if (!way) return;
  event.preventDefault();
  const next = tabs[(tabs.indexOf(tab) + way + tabs.length) % tabs.length];
  open(tabs, next);
  next.focus();
}

/** What a check of the pedals finds, the gravest first; asked for while it is looked at. */

import { grid, para } from "./answers.js";
import { named } from "./card.js";
import { choose, on, send, store, travelTo } from "./store.js";
import { button, html } from "./svg.js";

const LEAD = "Checking ...";
let asked = null; // the state that was asked about last
let busy = false;

export function start(mount) {
  const look = () => mount.parentElement.hidden || ask(mount);
  on("opened", look);
  on("state", look);
}

async function ask(mount) {
  if (busy || !store.result || asked === store.state) return;
  busy = true;
  asked = store.state;
  if (!mount.firstChild) mount.append(para(LEAD, "hint"));
  const answer = await send("check");
  busy = false;
  if (answer.kind === "checked") show(mount, answer);
  else {
    asked = null;
    mount.replaceChildren(para(named(answer.faults ?? []), "fault"));
  }
  if (asked && asked !== store.state) ask(mount);
}

function show(mount, { says, findings, lacks, days, safe }) {
  const grave = findings.filter(({ told }) => told.length);
  const rest = findings.filter(({ told }) => !told.length);
  mount.replaceChildren(
    html("h2", { class: "unseen" }, "Findings"), para(safe, "hint"), para(says, "note"), ...grave.map(entry),
    ...(rest.length ? [grid(["ok", "is", "limit"], rest.map((each) => [each.name, each.value, each.limit]), "In order")] : []),
    ...(days.length ? [html("h2", {}, "On a bad day")] : []), ...days.map(entry),
    ...lacks.flatMap(({ names, why }) => [html("h3", {}, `? NOT CHECKED: ${names}`), para(why, "note")]),
  );
}

function entry({ pedal, name, verdict, sign, value, limit, told, at }) {
  const there = at !== null && button("Show where", () => {
    choose(pedal);
    travelTo(pedal, at);
  }, "small");
  const got = [value, limit && `(${limit})`].filter(Boolean).join(" ");
  return html("article", { class: verdict },
    html("h3", {}, `${sign}  ${name}`), html("p", { class: "ways" }, got, there || null),
    ...told.map((text, i) => para(text, i ? "hint" : "note")));
}

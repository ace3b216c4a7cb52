/** Starts all, and shows the state that came inside the page. */

import * as answers from "./answers.js";
import * as card from "./card.js";
import * as chart from "./chart.js";
import * as faults from "./faults.js";
import * as fields from "./fields.js";
import * as findings from "./findings.js";
import * as files from "./files.js";
import { startGrips } from "./grips.js";
import { startHandles } from "./handles.js";
import { begin, start as startLink } from "./link.js";
import { startPointer } from "./pointer.js";
import * as readings from "./readings.js";
import { createSideview } from "./sideview.js";
import * as speak from "./speak.js";
import { on } from "./store.js";
import { tell } from "./svg.js";
import * as tabs from "./tabs.js";
import * as targets from "./targets.js";
import * as toolbar from "./toolbar.js";
import * as travel from "./travel.js";
import * as units from "./units.js";

const mount = (id) => document.getElementById(id);
const LOST = "The program does not answer. Nothing can be moved until it does; what you " +
  "see is its last answer. Trying again. If you have ended it, start it again and open " +
  "the address that it prints.";

speak.start(mount("spoken"));
const side = createSideview(mount("drawing"));
toolbar.start(side);
card.start(mount("card"), mount("refusal"));
const points = startHandles(side);
const grips = startGrips(side);
startPointer(side, [points, grips]);
travel.start(mount("travel"));
readings.start(mount("readings"));
readings.startSaid(mount("said"));
chart.start(mount("charts"));
tabs.start(mount("tabs"));
fields.start(mount("fields"));
targets.start(mount("targets"));
answers.start(mount("answers"));
findings.start(mount("check"));
units.start(mount("units"));
files.start(mount("files"), mount("notices"));
faults.start(mount("faults"));
on("link", (linked) => {
  tell(mount("lost"), linked ? "" : LOST);
  document.body.classList.toggle("cut-off", !linked);
});

const first = mount("state").textContent.trim();
if (first) begin(JSON.parse(first));
startLink();

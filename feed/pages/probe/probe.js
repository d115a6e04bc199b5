// The camera page: measures how late a wall shows what a display draws, and what a judge's tap takes to be seen there.
// Wires camera, decoder, feed and estimate together, and says in words what came of it.

import { deviceName, fragment, keep, kept } from "../common/device.js";
import { follow, make, write } from "../common/dom.js";
import { Entry } from "../common/entry.js";
import { Link } from "../common/link.js";
import { load } from "../common/words.js";
import * as camera from "./camera.js";
import { aheadFor, ENOUGH_CODES, MOST_AHEAD_MS, Sightings } from "./estimate.js";
import { Road } from "./road.js";

// How often figures are made anew: often enough to follow, and seldom enough to read.
const SHOW_EVERY_MS = 500;
// Exchanges before the feed's time is taken for known.
const FIRST_EXCHANGES = 4;
// Without a code for this long, the page says how to aim.
const AIM_AFTER_MS = 1200;
const REFERENCE = "fivemark.probe.reference";

const part = (id) => document.getElementById(id);
const words = await load("probe");
document.title = words.say("probe-title");

// The roles to ask for, in turn: the address may name one, and otherwise the access key is one of these roles'. Without
// a key the page comes as a spectator, and asks for one only if these are not let in.
const { role } = fragment();
const ROLES = role ? [role] : ["announcer", "display"];
let roles = [...ROLES];
const sightings = new Sightings();
let became = null;
let readAt = -Infinity;
let stamped = null;
let lagMs = null;
let stream = null;
let found = null;
let worker = null;
// What the camera is in trouble with stands until it is opened again, whatever the link says.
let cameraTrouble = "";

const entry = new Entry({ role: "probe", form: part("entry"), words, came: () => link.connect() });
entry.show(false);
const link = new Link({
  join: () => ({ ...(entry.key ? { role: roles[0], access_key: entry.key } : { role: "spectator" }), device: deviceName("probe") }),
  hear,
});
const road = new Road(link);
link.start();

function hear(message) {
  if (message.type === "clock") {
    road.heard(message);
    part("open").disabled = false;
  } else if (message.type === "welcome") {
    entry.hear(message);
    // Codes of a feed that has started again are of another time.
    if (stream && stream !== message.stream) sightings.forget();
    stream = message.stream;
    road.askJournal();
  } else if (message.type === "refusal" && message.of === "join") {
    refused(message);
  }
  show();
}

function refused(message) {
  if (message.code === "wrong_access_key" && roles.length > 1) {
    roles.shift();
    link.connect();
    return;
  }
  roles = [...ROLES];
  entry.hear(message);
}

part("open").addEventListener("click", async () => {
  part("open").disabled = true;
  try {
    const track = await camera.open(part("video"));
    track.addEventListener("ended", () => closed("probe-camera-gone"));
    cameraTrouble = "";
    part("before").hidden = true;
    part("watching").hidden = false;
    decode();
  } catch (fault) {
    console.warn(fault);
    closed(`probe-camera-${fault.message}`);
  }
});

function closed(word) {
  cameraTrouble = words.say(word);
  show();
  part("before").hidden = false;
  part("watching").hidden = true;
  part("open").disabled = false;
}

// Sends every frame that the worker has time for to be read.
function decode() {
  if (worker) return;
  let busy = false;
  worker = new Worker("/pages/probe/decode.js");
  worker.onmessage = ({ data: { text, at } }) => {
    busy = false;
    saw(text, at);
  };
  camera.watch(part("video"), {
    ready: () => !busy,
    take: (picture, at) => {
      busy = true;
      const { width, height, data } = picture;
      worker.postMessage({ pixels: data.buffer, width, height, at }, [data.buffer]);
    },
  });
}

function saw(text, at) {
  const best = link.clock.best();
  if (text === null || !best || link.clock.samples.length < FIRST_EXCHANGES) return;
  // Times of two kinds don't mix.
  if (stamped !== at.stamped) sightings.forget();
  stamped = at.stamped;
  if (stamped) lagMs = lagMs === null ? at.lagMs : lagMs + (at.lagMs - lagMs) / 16;
  const { speedMilli } = link.clock;
  became = sightings.see(text, Math.round(at.ms * speedMilli), { addUs: best.add_us, speedMilli });
  readAt = performance.now();
  part("codes").value = Math.min(sightings.codes.length, ENOUGH_CODES);
}

setInterval(show, SHOW_EVERY_MS);
part("codes").max = ENOUGH_CODES;
part("tap").addEventListener("pointerdown", (event) => road.tap(event.timeStamp));
// The keyboard's way to the same button, which gives no pointer.
part("tap").addEventListener("click", (event) => event.detail === 0 && road.tap(event.timeStamp));
part("keep").addEventListener("click", () => {
  keep(REFERENCE, JSON.stringify({ name: found.name, delayMs: found.delayMs }));
  sightings.forget();
  show();
});
part("drop").addEventListener("click", () => {
  keep(REFERENCE, "null");
  show();
});

function reference() {
  try {
    const known = JSON.parse(kept(REFERENCE));
    return known && Number.isFinite(known.delayMs) ? known : null;
  } catch {
    return null;
  }
}

function show() {
  const text = cameraTrouble || linkTrouble();
  write(part("trouble"), text);
  part("trouble").hidden = !text;
  write(part("says"), status());
  const best = link.clock.best();
  found = best && sightings.estimate({ addUs: best.add_us, speedMilli: link.clock.speedMilli, errorUs: best.delay_us / 2 });
  if (found) figures();
}

function linkTrouble() {
  // What a refusal says stands in the form, and the first attempt to connect is no trouble yet.
  return link.refused || link.state === "up" || !stream ? "" : words.say("link-lost");
}

function status() {
  if (link.clock.samples.length < FIRST_EXCHANGES) return words.say("probe-finding-time");
  if (performance.now() - readAt > AIM_AFTER_MS) became = null;
  part("watching").firstElementChild.classList.toggle("seen", became === "new" || became === "same");
  switch (became) {
    case null:
      return words.say("probe-aim");
    case "strange":
    case "foreign":
    case "changed":
      return words.say(`probe-${became}`);
    default:
      return words.say(sightings.last && sightings.last.name ? "probe-seen-name" : "probe-seen", {
        name: (sightings.last && sightings.last.name) || "",
        codes: sightings.codes.length,
      });
  }
}

function figures() {
  const quick = reference();
  const wallMs = found.delayMs - (quick ? quick.delayMs : 0);
  const doubtMs = Math.ceil(found.halfMs + found.clockMs);
  part("measured").hidden = false;
  write(part("delay"), words.say("probe-delay", { ms: Math.round(wallMs), doubt: doubtMs }));
  Object.assign(part("delay").dataset, { ms: wallMs.toFixed(1), codes: found.codes, enough: found.enough });
  write(part("means"), means(quick));
  proposal(wallMs);
  parts(wallMs, quick);
  write(part("camera"), stamped ? words.say("probe-camera-out", { ms: Math.round(lagMs) }) : words.say("probe-camera-in"));
  write(part("reference"), quick ? words.say("probe-reference", { ms: Math.round(quick.delayMs), name: quick.name || "–" }) : "");
  part("keep").disabled = !found.enough;
  part("drop").hidden = !quick;
}

function means(quick) {
  if (found.early) return words.say("probe-early");
  if (found.codes < ENOUGH_CODES) return words.say("probe-not-enough", { codes: found.codes, enough: ENOUGH_CODES });
  if (!found.enough) return words.say("probe-wavers");
  return words.say(quick ? "probe-means-reference" : stamped ? "probe-means" : "probe-means-camera");
}

function proposal(wallMs) {
  part("proposal").hidden = !found.enough;
  if (!found.enough) return;
  const ahead = aheadFor(wallMs);
  const word = ahead === 0 ? "probe-propose-none" : ahead === MOST_AHEAD_MS ? "probe-propose-most" : "probe-propose";
  write(part("proposal-words"), words.say(word, { now: found.aheadMs }));
  part("command").hidden = ahead === 0;
  write(part("command"), `--ahead-ms ${ahead}`);
}

// What a judge's tap takes to be seen, part by part.
function parts(wallMs, quick) {
  const rows = [
    [road.trips.length ? "probe-part-tap" : "probe-part-way", road.wayMs()],
    ["probe-part-journal", road.journalMs],
    [stamped || quick ? "probe-part-wall" : "probe-part-wall-camera", wallMs],
  ];
  rows.push(["probe-part-sum", rows.reduce((sum, [, ms]) => sum + (ms || 0), 0)]);
  follow(part("parts"), rows.map(([word, ms], index) => ({ word, ms, index })), {
    keyOf: ({ index }) => index,
    begin: ({ word }) => make("tr", word === "probe-part-sum" ? "sum" : "", make("td"), make("td")),
    fill: ({ children: [what, figure] }, { word, ms }) => {
      write(what, words.say(word));
      write(figure, ms === null ? words.say("probe-unknown") : words.say("probe-ms", { ms: Math.round(ms) }));
    },
  });
}

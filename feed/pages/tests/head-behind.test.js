import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { test } from "node:test";

import { FluentResource } from "../lib/fluent/index.js";
import { Words } from "../common/words.js";
import { attention } from "../head/attention.js";
import { phoneAttention, phoneText } from "../head/phones.js";
import { recordLine } from "../head/record.js";
import { commandText, speaking } from "../head/wording.js";
import { count, picture } from "./head-picture.js";

const english = readFileSync(new URL("../messages/en/head.ftl", import.meta.url), "utf8");
const words = speaking(new Words([["en", english]]));
const seen = (text) => text.replace(/[\u2066-\u2069]/g, "");

const phone = (more) => ({ lane: 1, device: "phone-a", shadow: false, holds: true, on_line: true, ...more });

test("phones need attention when they are low, wait, or stand by", () => {
  const phones = [
    phone({ charge_percent: 19, charging: false }),
    phone({ lane: 2, charge_percent: 5, charging: true }),
    phone({ lane: 3, waiting: 5 }),
    phone({ lane: 3, device: "b", holds: false }),
    phone({ lane: 3, device: "c", holds: false }),
    phone({ lane: 4, holds: false, shadow: true }),
    phone({ lane: 5, holds: false, on_line: false }),
  ];
  assert.deepEqual(phoneAttention(phones).map(({ what, lane }) => `${what} ${lane}`), ["stands-by 3", "phone-low 1", "calls-wait 3"]);
});

test("a phone says only what the feed knows of it", () => {
  assert.equal(seen(phoneText(phone({}), words)), "phone-a · holds the lane");
  const known = phone({ holds: false, on_line: false, charge_percent: 81, charging: true, waiting: 1, delay_us: 24_100, stays_awake: false });
  assert.equal(seen(phoneText(known, words)), "phone-a · stands by · off the line · 81 %, charging · 1 call waits · clock within 13 ms · the screen may go dark");
});

test("every entry of a record reads as what it is", () => {
  const line = (what, heat_ms = 134_380) => {
    const { time, kind, text, rest, english } = recordLine({ heat_ms, what }, words);
    return [time, kind, seen(text), seen(rest), english];
  };
  const call = (more) => ({ call: { device: "phone-a", epoch: 7, number: 3, call: "good", amount: 0, verdict: { counted: { units: 1 } }, ...more } });
  assert.deepEqual(line(call({ done: 34 })), ["2:14.38", "counted", "good – 34 along the course", "phone-a #3", ""]);
  assert.deepEqual(line(call({ call: "no-rep", fault: "depth", verdict: { taken_back: { epoch: 7, number: 4 } } })).slice(1, 3), ["taken_back", "no-rep, depth – taken back"]);
  const late = call({ doubts: ["late", "no_clock"], verdict: { not_counted: { code: "after_cap", says: "After time was called." } } });
  assert.deepEqual(line(late).slice(1), ["not_counted", "good – does not count", "phone-a #3 · came after time was called · without a known clock", "After time was called."]);
  assert.deepEqual(line(call({ verdict: "shadow" })).slice(1, 3), ["shadow", "good – shadow judge"]);
  assert.deepEqual(line({ ruling: { by: "head judge", says: "added 1 unit", reason: "video", before: "1 of 90", after: "2 of 90" } }, null), ["", "ruling", "head judge: 1 of 90 → 2 of 90", "video", "added 1 unit"]);
  const initials = { athlete: "AB", judge: "CD", result: "7:08.4", by: "phone-a", reason: "" };
  assert.equal(line({ initials })[1], "initials");
  assert.equal(line({ initials: { ...initials, taken_back_ms: 0 } })[1], "taken_back");
  assert.equal(line({ hand_over: { from: "", to: "b", by: "head judge" } })[2], "lane given from – to b");
  assert.equal(line({ heat: { says: "run again", reason: "rig" } })[4], "run again");
});

test("initials are missed where some results have theirs", () => {
  const result = { text: "7:08.4" };
  const on = (lanes) => attention(picture({ heat: { state: "provisional", clock: "idle" }, lanes })).map(({ what, lane }) => `${what} ${lane}`);
  const ended = (lane, more) => count(lane, { status: "finished", result, ...more });
  assert.deepEqual(on([ended(1, { confirmed: true }), ended(2), count(3, { status: "empty" })]), ["initials 2"]);
  assert.deepEqual(on([ended(1), ended(2), count(3, { status: "empty" })]), []);
  assert.deepEqual(on([ended(1, { confirmed: true }), ended(2, { status: "did_not_start" }), count(3, { status: "empty" })]), []);
});

test("what is given for a lane is told in words", () => {
  assert.equal(seen(commandText({ type: "hand_over", lane: 5, to: "phone-b" }, words)), "Lane 5: given to phone-b");
  assert.equal(seen(commandText({ type: "confirm", lane: 5 }, words)), "Lane 5: initials from paper");
});

test("every word that the page asks for by name is there", () => {
  const common = readFileSync(new URL("../messages/en/common.ftl", import.meta.url), "utf8");
  const there = new Set(new FluentResource(`${english}\n${common}`).body.map(({ id }) => id));
  const folder = new URL("../head/", import.meta.url);
  for (const file of readdirSync(folder).filter((name) => /\.(js|html)$/.test(name))) {
    const text = readFileSync(new URL(file, folder), "utf8");
    for (const [, id] of text.matchAll(/(?:\bsay\(|data-word=|data-label=|\btell\()"([a-z_-]+)"/g)) assert.ok(there.has(id.replace(/_/g, "-")), `${file}: ${id}`);
  }
});

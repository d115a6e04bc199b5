import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

import { Phrases } from "../announcer/words.js";
import { Words } from "../common/words.js";

const phrases = new Phrases(new Words([["en", readFileSync(new URL("../messages/en/announcer.ftl", import.meta.url), "utf8")]]));
const seen = (text) => text.replace(/[\u2066-\u2069]/g, "").replace(/\u00a0/g, " ");

const lift = { scoring: "heaviest_lift", load_unit: "kg", attempts: 3, units: 3, parts: [{ movement: "Snatch", amount: 3, unit: "kilogram", step: 1 }] };
const hold = { ...lift, scoring: "longest_hold", attempts: undefined, units: 100 };
const row = (course, count, order = {}) => ({ course, count: { part: 0, part_done: 0, to_go: null, done: 0, score: 0, ...count }, order });

test("a lifter's row says the best, the attempt that is made now, and the gap in the declared unit", () => {
  const one = row(lift, { done: 1, score: 140_000, tries: { declared_g: 142_500 } }, { gap_units: 2_500 });
  assert.deepEqual([phrases.count(one), phrases.part(one), phrases.gap(one), phrases.gapShort(one)].map(seen), ["140 kg", "now 142.5 kg · attempt 2 of 3", "2.5 kg behind", "−2.5 kg"]);
  const before = row(lift, { tries: {} });
  assert.deepEqual([phrases.count(before), seen(phrases.part(before))], ["–", ""]);
});

test("a holder's row says the longest hold and whether one is under way", () => {
  const one = row(hold, { done: 2, score: 83_400, tries: { holding_ms: 90_000 } }, { gap_units: 7_400 });
  assert.deepEqual([phrases.count(one), phrases.part(one), phrases.gap(one)].map(seen), ["1:23.4", "holding · attempt 2", "7.4 s behind"]);
  assert.equal(phrases.part(row(hold, { tries: {} })), "");
});

test("the head names the window without calling it an AMRAP", () => {
  const picture = (courses) => ({ heat: { state: "on_deck", cap_ms: 480_000 }, courses });
  assert.equal(seen(phrases.cap(picture([lift]), { leftTenths: 0, countdownS: null })), "window 8:00");
});

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

import { Words } from "../common/words.js";
import { flagAttention, flagText, quietSince } from "../head/flags.js";
import { agreementLines, briefing, byChance, faultText, movements, nameOf, rateText } from "../head/judging.js";
import { speaking } from "../head/wording.js";

const read = (language) => readFileSync(new URL(`../messages/${language}/head.ftl`, import.meta.url), "utf8");
const words = speaking(new Words([["en", read("en")]]));
// Numbers stand apart from their percent sign in some languages by a space that does not break.
const seen = (text) => text.replace(/[\u2066-\u2069]/g, "").replace(/\u00a0/g, " ");

const ends = (low, high) => ({ low_ppm: low * 1e6, high_ppm: high * 1e6 });
const rate = (name, noReps, attempts, interval, more = {}) => ({ judge: { name }, movement: "Thruster", attempts, no_reps: noReps, interval, ...more });
const fault = { fault: "Not deep enough", no_reps: 0, interval: ends(0, 0.046), field_no_reps: 30, outside: "below" };
const tables = {
  id: 1,
  heats: 3,
  field: [{ movement: "Thruster", judges: 3, attempts: 240, no_reps: 44 }],
  rates: [
    rate("Bo Tamiya", 12, 80, ends(0.0879, 0.2441)),
    rate("Sanna Krueger", 2, 80, ends(0.0069, 0.0866), { outside: "below", faults: [fault] }),
    rate("Edda Quist", 30, 80, ends(0.277, 0.484), { outside: "above" }),
  ],
  left_out: 0,
  comparisons: 9,
};

test("judges stand by movement, the strictest first, on a scale that holds them all", () => {
  const [thruster] = movements(tables);
  assert.deepEqual([thruster.movement, thruster.scale, thruster.rows.map(({ judge }) => judge.name)], ["Thruster", 0.5, ["Edda Quist", "Bo Tamiya", "Sanna Krueger"]]);
  const rounded = Object.fromEntries(Object.entries(thruster.rows[1].marks).map(([name, place]) => [name, Math.round(place)]));
  assert.deepEqual(rounded, { from: 18, to: 49, own: 30, field: 37 });
  assert.deepEqual(movements({ field: [], rates: [] }), []);
});

test("a rate is told with its interval, and a fault with the field's share", () => {
  assert.equal(seen(rateText(tables.rates[1], words)), "2 of 80: 2.5% (0.7% to 8.7%)");
  assert.equal(seen(faultText(fault, tables.rates[1], tables.field[0], words)), "Not deep enough: 0 of 80: 0% (0% to 4.6%), field 12.5%");
  assert.equal(seen(faultText({ ...fault, fault: "" }, tables.rates[1], tables.field[0], words)).split(":")[0], "no fault named");
  assert.equal(nameOf({ device: "phone-9" }, words), "phone-9");
  assert.equal(seen(nameOf({ initials: "ZZ" }, words)), "initials ZZ");
  const german = speaking(new Words([["de", read("de")]]));
  assert.equal(seen(rateText(tables.rates[1], german)), "2 von 80: 2,5 % (0,7 % bis 8,7 %)");
});

test("who lies outside of the field is listed for the briefing, and how many do by chance", () => {
  assert.deepEqual(briefing(tables, words).map(seen), [
    "Sanna Krueger, Thruster: fewer no-reps than the field. 2 of 80: 2.5% (0.7% to 8.7%); field 18.3%",
    "Sanna Krueger, Thruster, “Not deep enough”: named less often than by the field. 0 of 80: 0% (0% to 4.6%); field 12.5%",
    "Edda Quist, Thruster: more no-reps than the field. 30 of 80: 37.5% (27.7% to 48.4%); field 18.3%",
  ]);
  assert.deepEqual([byChance(tables), byChance({ comparisons: 62 })], [0, 3]);
});

test("agreement says what kappa cannot", () => {
  const of = { movement: "Thruster", decisions: 110, same: 92, differ: 7, judge_alone: 7, shadow_alone: 4, raw: ends(0.756, 0.894), kappa: { ppm: 520_349, interval: ends(0.344, 0.697) } };
  assert.deepEqual(agreementLines(of, words).map(seen), [
    "92 of 110 decisions alike: 83.6% (75.6% to 89.4%)",
    "Kappa 0.52 (0.34 to 0.70)",
    "7 judged differently, 7 called by the lane judge alone, 4 by the shadow judge alone",
  ]);
  const alike = { decisions: 30, same: 30, raw: ends(0.886, 1) };
  assert.equal(seen(agreementLines(alike, words)[1]), "Kappa says nothing here: both said the same throughout.");
  assert.equal(seen(agreementLines({ ...alike, kappa: { ppm: 1e6 } }, words)[1]), "Kappa 1.00; full agreement gives it no interval");
});

test("a flag says why, and a quiet lane calls for nobody", () => {
  const flags = [
    { lane: 2, what: { too_fast: { times: 1, at_ms: 0, heat_ms: 134_380, took_ms: 402, expected_ms: 2_500 } } },
    { lane: 3, what: { quiet: { since_ms: 58_000, usual_ms: 3_100 } } },
    { lane: 4, what: { late_calls: { calls: 19, longest_ms: 41_200 } } },
    { lane: 4, what: { off_line: { since_ms: 40_000 } } },
    { lane: 5, what: { clock_error: { error_ms: 300 } } },
  ];
  assert.deepEqual(flagAttention(flags).map(({ what, lane }) => `${what} ${lane}`), ["too-fast 2", "late-calls 4", "off-line 4", "clock-error 5"]);
  assert.deepEqual(flags.map((flag) => seen(flagText(flag, words, 100_900))), [
    "At 2:14.3 two reps in a row came faster than a human can do them: the last after 0.4 s, where 2.5 s are expected. Look at the count.",
    "No call for 42 s; this lane usually takes 3.1 s. A rest, mostly.",
    "19 calls came more than 10 s after they were tapped: after up to 42 s.",
    "The phone that holds the lane was last heard of 60 s ago.",
    "The times of its calls may be wrong by up to 300 ms.",
  ]);
  assert.deepEqual([quietSince(flags, 3), quietSince(flags, 2)], [58_000, null]);
});

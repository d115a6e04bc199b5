import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

import { Words } from "../common/words.js";
import { Calls } from "../head/calls.js";
import { recordLine } from "../head/record.js";
import { countText, gapFigures, triesText } from "../head/rows.js";
import { draft, kinds } from "../head/rulings.js";
import { changeText, commandText, speaking } from "../head/wording.js";
import { count, part, picture } from "./head-picture.js";

const words = speaking(new Words([["en", readFileSync(new URL("../messages/en/head.ftl", import.meta.url), "utf8")]]));
const seen = (text) => text.replace(/[\u2066-\u2069]/g, "").replace(/\u00a0/g, " ");

const lift = { scoring: "heaviest_lift", load_unit: "kg", attempts: 3, parts: [part("snatch", 3, { unit: "kilogram" })], units: 3, score_units: 3, closing_blocks: 0, closing_step: 0, finish_call: false };
const hold = { ...lift, scoring: "longest_hold", load_unit: undefined, attempts: undefined, parts: [part("sandbag", 1, { unit: "second_held" })], units: 100 };
const tried = { done: 2, score: 142_500, tries: { attempts: [{ load_g: 142_500, good: true }, { load_g: 150_000, good: false }], declared_g: 147_500 } };
const on = (course, lane) => picture({ courses: [course], lanes: [count(1, lane), count(2), count(3, { status: "empty" })] });

test("a lane's row says the best, the attempts with their loads, and what is declared", () => {
  const row = { course: lift, count: count(1, tried) };
  assert.equal(seen(countText(row, words)), "142.5 kg");
  assert.equal(seen(triesText(row, words)), "2 of 3 tried: 142.5, 150 ✗, 147.5 kg declared");
  assert.equal(countText({ course: lift, count: count(1) }, words), "–");
  assert.equal(gapFigures(lift, 7_500, words), "7.5");
  const holding = { course: hold, count: count(1, { done: 1, score: 83_400, tries: { holding_ms: 90_000 } }) };
  assert.deepEqual([countText(holding, words), seen(triesText(holding, words))], ["1:23.4", "1 tried: holding"]);
});

test("only bests are ruled on where attempts are judged", () => {
  assert.deepEqual(kinds(on(lift, tried), 1), ["credit", "set_best_load", "status", "review", "move_athlete"]);
  assert.deepEqual(kinds(on(hold, {}), 1), ["credit", "set_held", "status", "review", "move_athlete"]);
});

test("a best load and a time held are ruled beside what stands", () => {
  const rule = (course, lane, kind, typed) => {
    const drafted = draft(on(course, lane), 1, kind, typed);
    return drafted.problem || [drafted.wire, seen(changeText(drafted.change, { count: count(1, lane), course }, words))];
  };
  assert.deepEqual(rule(lift, tried, "set_best_load", { load: "150" }), [{ set_best_load: { load_g: 150_000 } }, "142.5 kg → 150 kg"]);
  assert.deepEqual(rule(lift, tried, "set_best_load", { load: "0" }), [{ set_best_load: { load_g: 0 } }, "142.5 kg → no mark"]);
  for (const load of ["", "heavy", "1001"]) assert.equal(rule(lift, tried, "set_best_load", { load }), "no-load");
  assert.deepEqual(rule(hold, { score: 83_400 }, "set_held", { time: "1:20" }), [{ set_held: { held_ms: 80_000 } }, "1:23.4 → 1:20.0"]);
  assert.equal(rule(hold, {}, "set_held", { time: "long" }), "no-time");
  const said = (kind) => seen(commandText({ type: "ruling", lane: 4, kind }, words, "lb"));
  assert.equal(said({ set_best_load: { load_g: 102_058 } }), "Lane 4: best load set to 225 lb");
  assert.equal(said({ set_held: { held_ms: 80_000 } }), "Lane 4: time held set to 1:20.0");
});

test("the record tells an attempt with its load", () => {
  const call = { device: "phone-1", number: 3, call: "attempt-failed", load_g: 150_000, fault: "press", verdict: { counted: { units: 1 } }, done: 2, doubts: [] };
  assert.equal(seen(recordLine({ heat_ms: 61_000, what: { call } }, words, "kg").text), "attempt failed 150 kg, press – 2 tried");
});

test("the last calls tell good attempts, failed ones by their no-rep, and the start of a hold", () => {
  const heard = (course, lane, noReps = []) => {
    const calls = new Calls();
    calls.hear({ type: "snapshot" }, on(course, { done: 0 }));
    calls.hear({ type: "delta", at_ms: 61_000, lanes: [count(1, lane)], no_reps: noReps }, on(course, lane));
    return calls.last(1).map(({ kind, fault }) => [kind, fault]);
  };
  assert.deepEqual(heard(lift, { done: 1, tries: { attempts: [{ load_g: 1, good: true }] } }), [["good", ""]]);
  assert.deepEqual(heard(lift, { done: 1, tries: { attempts: [{ load_g: 1, good: false }] } }, [{ lane: 1, fault: "press", at_ms: 61_000 }]), [["no_rep", "press"]]);
  assert.deepEqual(heard(hold, { done: 1, tries: { holding_ms: 10_000 } }), [["hold", ""]]);
});

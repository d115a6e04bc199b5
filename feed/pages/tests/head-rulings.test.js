import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

import { Words } from "../common/words.js";
import { doneAt, placeOf } from "../head/course.js";
import { asksFinish, draft, FIELDS, kinds, placeTyped } from "../head/rulings.js";
import { changeText, commandText, speaking } from "../head/wording.js";
import { count, picture, rounds, sprint } from "./head-picture.js";

const words = speaking(new Words([["en", readFileSync(new URL("../messages/en/head.ftl", import.meta.url), "utf8")]]));
// Isolation marks keep names from turning words about; they are not seen.
const seen = (text) => text.replace(/[\u2066-\u2069]/g, "");

const typed = { less: false, load: "", units: "1", round: "1", part: "0", done: "0", finish: "", time: "", minutes: "10", status: "under_review", to: "3" };
const capped = () => picture({ heat: { state: "provisional", clock: { stopped: { elapsed_ms: 600_000 } } }, lanes: [count(1, { status: "capped", done: 87, score: 87, part: 1, part_done: 57, result: { text: "87 of 90" } }), count(2), count(3, { status: "empty" })] });
const finished = (result) =>
  picture({ heat: { state: "provisional", clock: { stopped: { elapsed_ms: 600_000 } } }, lanes: [count(1, { status: "finished", done: 90, score: 90, part: 2, result: { text: "7:08.4", official_ms: 428_400, ...result } }), count(2), count(3, { status: "empty" })] });

// What is sent, and what stands beside it.
function ruled(on, kind, more) {
  const { problem, wire, change } = draft(on, 1, kind, { ...typed, ...more });
  return problem ? { problem } : { wire, says: seen(changeText(change, { count: on.lanes[0], course: on.courses[0] }, words)) };
}

test("a place and its count lead to each other", () => {
  for (const course of [sprint, rounds]) {
    for (let done = 0; done <= (course === sprint ? 89 : 200); done += 1) assert.equal(doneAt(course, placeOf(course, done)), done);
  }
  assert.deepEqual(placeOf(sprint, 90), { round: 0, part: 2, partDone: 0 });
  assert.deepEqual(placeOf(rounds, 10), { round: 1, part: 1, partDone: 0 });
  assert.deepEqual(placeOf(rounds, 25), { round: 2, part: 1, partDone: 0 });
  assert.deepEqual(placeOf(rounds, 9), { round: 0, part: 0, partDone: 9 });
});

test("only rulings that fit the lane are offered", () => {
  assert.deepEqual(kinds(capped(), 1), Object.keys(FIELDS).filter((kind) => !["move_finish", "set_best_load", "set_held"].includes(kind)));
  assert.ok(kinds(finished({}), 1).includes("move_finish"));
  assert.deepEqual(kinds(capped(), 3), [], "nobody stands there");
  const before = picture({ heat: { state: "on_deck", clock: "idle" } });
  assert.deepEqual(kinds(before, 1), ["time_penalty", "unit_penalty", "status", "review", "move_athlete"]);
  before.heat.alone = 2;
  assert.ok(kinds(before, 1).includes("set_count"), "this lane has run");
  assert.ok(!kinds(before, 2).includes("set_count"));
  for (const state of ["signed", "cancelled"]) assert.deepEqual(kinds(picture({ heat: { state } }), 1), []);
  const full = picture({ lanes: [count(1), count(2), count(3)] });
  assert.ok(!kinds(full, 1).includes("move_athlete"), "no lane is empty");
  assert.ok(!kinds(picture({ courses: [rounds] }), 1).includes("time_penalty"), "it changes nothing there");
});

test("units are added and taken beside what stands", () => {
  assert.deepEqual(ruled(capped(), "add_units", {}), { wire: { add_units: { add: 1 } }, says: "87 of 90 → 88 of 90 (pull-up 57 of 60 → pull-up 58 of 60)" });
  assert.deepEqual(ruled(capped(), "add_units", { units: "60", less: true }).wire, { add_units: { add: -60 } });
  assert.equal(ruled(capped(), "add_units", { units: "3" }).problem, "add-reaches-end");
  assert.equal(ruled(capped(), "add_units", { units: "4" }).problem, "beyond-course");
  assert.equal(ruled(capped(), "add_units", { units: "88", less: true }).problem, "beyond-course");
  for (const units of ["0", "", "x", "-1"]) assert.equal(ruled(capped(), "add_units", { units }).problem, "no-units");
});

test("a count is set by its place, with a finish where that is the end", () => {
  const at = { part: "1", done: "58" };
  assert.deepEqual(ruled(capped(), "set_count", at), { wire: { set_count: { done: 88 } }, says: "87 of 90 → 88 of 90 (pull-up 57 of 60 → pull-up 58 of 60)" });
  assert.deepEqual(ruled(capped(), "from_paper", at).wire, { from_paper: { done: 88 } });
  assert.equal(ruled(capped(), "set_count", { part: "1", done: "61" }).problem, "no-count");
  const whole = { part: "1", done: "60" };
  assert.ok(asksFinish({ course: sprint }, { ...typed, ...whole }));
  assert.equal(ruled(capped(), "set_count", whole).problem, "no-finish");
  assert.equal(ruled(capped(), "set_count", { ...whole, finish: "9.59" }).wire.set_count.finish_ms, 9_590);
  assert.deepEqual(ruled(capped(), "set_count", { ...whole, finish: "9:59.0" }), {
    wire: { set_count: { done: 90, finish_ms: 599_000 } },
    says: "87 of 90 → 90 of 90 (pull-up 57 of 60 → all done), finished in 9:59.0",
  });
  const called = capped();
  called.courses = [{ ...sprint, finish_call: true }];
  assert.deepEqual(ruled(called, "set_count", whole).wire, { set_count: { done: 90 } }, "the finish call is still to come");
});

test("an open-ended count is set by round, part and rep", () => {
  const open = picture({ courses: [rounds], lanes: [count(1, { done: 47, score: 47, round: 3, round_score: 7, part: 2, part_done: 1 }), count(2), count(3, { status: "empty" })] });
  assert.deepEqual(placeTyped({ count: open.lanes[0], course: rounds }), { round: "3", part: "2", done: "1" });
  assert.deepEqual(ruled(open, "set_count", { round: "4", part: "1", done: "2" }), {
    wire: { set_count: { done: 57 } },
    says: "2 + 7 → 3 + 2 (round 3, squat 1 of 9 → round 4, burpee 2 of 6)",
  });
  assert.equal(ruled(open, "set_count", { round: "", part: "1", done: "2" }).problem, "no-count");
  assert.deepEqual(ruled(open, "set_count", { round: "", part: "0", done: "4" }).wire, { set_count: { done: 4 } }, "a buy-in has no round");
});

test("a finish is moved beside the one that stands, penalties aside", () => {
  assert.deepEqual(ruled(finished({}), "move_finish", { time: "7:05" }), { wire: { move_finish: { elapsed_ms: 425_000 } }, says: "7:08.4 → 7:05.0" });
  assert.equal(ruled(finished({ official_ms: 438_400, penalty_ms: 10_000 }), "move_finish", { time: "7:05" }).says, "7:08.4 → 7:05.0 · penalties and credits come on top");
  assert.equal(ruled(finished({}), "move_finish", { time: "" }).problem, "no-time");
});

test("penalties and credits stand beside what they add to", () => {
  assert.deepEqual(ruled(finished({}), "time_penalty", { time: "10" }), { wire: { time_penalty: { add_ms: 10_000 } }, says: "7:08.4 → 7:18.4 (penalty 0:00.0 → 0:10.0)" });
  assert.deepEqual(ruled(finished({ penalty_ms: 10_000 }), "time_penalty", { time: "5", less: true }).says, "7:08.4 → 7:03.4 (penalty 0:10.0 → 0:05.0)");
  assert.equal(ruled(finished({}), "time_penalty", { time: "0:10.05" }).says, "penalty 0:00.0 → 0:10.05", "how it is cut is the feed's to say");
  assert.equal(ruled(picture(), "time_penalty", { time: "10" }).says, "0:10.0 more penalty", "nothing is told of a lane that works");
  assert.deepEqual(ruled(capped(), "unit_penalty", { units: "2" }), { wire: { unit_penalty: { take: 2 } }, says: "87 units → 85 units" });
  assert.deepEqual(ruled(capped(), "unit_penalty", { units: "1", less: true }).wire, { unit_penalty: { take: -1 } });
  assert.deepEqual(ruled(finished({}), "credit", { time: "12" }), { wire: { credit: { credit_ms: 12_000 } }, says: "7:08.4 → 6:56.4 (credit 0:00.0 → 0:12.0)" });
  assert.equal(ruled(finished({}), "credit", { time: "1", less: true }).problem, "credit-below-nothing");
  for (const kind of ["time_penalty", "credit"]) assert.equal(ruled(finished({}), kind, { time: "0" }).problem, "no-time");
});

test("a status and a lane are named beside the ones that stand", () => {
  assert.deepEqual(ruled(capped(), "status", { status: "disqualified" }), { wire: { status: { status: "disqualified" } }, says: "capped → disqualified" });
  assert.equal(ruled(capped(), "status", { status: "reinstated" }).problem, "same-status");
  assert.deepEqual(ruled(capped(), "move_athlete", { to: "3" }), { wire: { move_athlete: { to: 3 } }, says: "lane 1 → lane 3" });
  for (const to of ["2", "9", ""]) assert.equal(ruled(capped(), "move_athlete", { to }).problem, "no-lane");
});

test("a stop by hand and a deadline stand beside what they replace", () => {
  assert.deepEqual(ruled(finished({}), "note_stop", { time: "7:08.3" }), { wire: { note_stop: { elapsed_ms: 428_300 } }, says: "stop by hand 7:08.3, noted beside the finish" });
  const stopped = finished({});
  stopped.lanes[0].stop_ms = 428_000;
  assert.equal(ruled(stopped, "note_stop", { time: "7:08.3" }).says, "stop by hand 7:08.0 → 7:08.3");
  assert.equal(ruled(stopped, "note_stop", { time: "soon" }).problem, "no-time");
  assert.deepEqual(ruled(capped(), "review", { minutes: "20" }), { wire: { review: { within_min: 20 } }, says: "capped → under review, to be decided within 20 min" });
  for (const minutes of ["0", "", "1441", "1.5"]) assert.equal(ruled(capped(), "review", { minutes }).problem, "no-minutes");
});

test("every kind and step has its words", () => {
  const wires = Object.keys(FIELDS).map((kind) => ruled(kind === "move_finish" ? finished({}) : capped(), kind, { time: "10", part: "1", done: "5", load: "100" }).wire);
  for (const kind of wires) assert.doesNotMatch(commandText({ type: "ruling", lane: 1, kind }, words), /ruled-|status-/);
  for (const command of ["on_deck", "hold", "open_heat", { rerun: { reason: "rig" } }, { rerun_lane: { lane: 2, reason: "rig" } }, { set_lanes: { lanes: [{ lane: 2 }], reason: "hurt" } }]) {
    assert.doesNotMatch(commandText({ type: "floor", heat: 1007, command }, words), /did-/);
  }
  assert.equal(seen(commandText({ type: "floor", heat: 1007, command: "open_heat" }, words)), "Go to heat 1007");
  assert.equal(seen(commandText({ type: "ruling", lane: 4, kind: { add_units: { add: -2 } } }, words)), "Lane 4: 2 units taken away");
});

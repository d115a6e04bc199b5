import assert from "node:assert/strict";
import { test } from "node:test";

import { ahead, blocks, isDone, mayStop, offers, place, toGo, unitsOf } from "../judge/course.js";

const part = (movement, amount, more = {}) => ({
  movement, short_name: movement, amount, unit: "rep", step: 1, several_at_once: false, load: "", round: 0, faults: [], ...more,
});
const course = (parts, more = {}) => ({
  scoring: "for_time", parts, units: parts.reduce((sum, one) => sum + one.amount, 0), closing_blocks: 5, closing_step: 1, finish_call: false, ...more,
});

const row = part("Row", 110, { unit: "metre", step: 25, several_at_once: true });
const squats = part("Squat", 21, { round: 1, faults: [{ code: "depth", name: "Depth", partial: false }] });
const timed = course([row, squats, part("Burpee", 12, { round: 1 })]);
const rounds = course([row, part("Squat", 4, { round: 1 }), part("Burpee", 6, { round: 1 })], { scoring: "amrap_rounds", closing_blocks: 0 });

test("a count lies in its part, and a part that is done is left", () => {
  for (const [done, index, partDone, left] of [[0, 0, 0, 110], [109, 0, 109, 1], [110, 1, 0, 21], [130, 1, 20, 1], [131, 2, 0, 12], [143, 3, 0, 0]]) {
    const at = place(timed, done);
    assert.deepEqual([at.index, at.partDone, at.left], [index, partDone, left], `${done} units`);
  }
  assert.ok(isDone(timed, 143) && !isDone(timed, 142));
});

test("open-ended work goes round after its buy-in", () => {
  for (const [done, laps, index, partDone] of [[109, 0, 0, 109], [110, 0, 1, 0], [119, 0, 2, 5], [120, 1, 1, 0], [134, 2, 2, 0], [1110, 100, 1, 0]]) {
    const at = place(rounds, done);
    assert.deepEqual([at.laps, at.index, at.partDone], [laps, index, partDone], `${done} units`);
  }
  assert.equal(isDone(rounds, 5000), false);
  assert.equal(ahead(rounds, 120).round, 2);
  assert.deepEqual(ahead(rounds, 114).then.map((next) => next.movement), ["Squat"]);
  assert.deepEqual(ahead(timed, 131).then, []);
});

test("one touch is a step, and never runs into the next part", () => {
  assert.equal(unitsOf(timed, 0, { call: "good" }), 25);
  assert.equal(unitsOf(timed, 100, { call: "good" }), 10);
  assert.equal(unitsOf(timed, 25, { call: "good", amount: 50 }), 50);
  assert.equal(unitsOf(timed, 25, { call: "part-done" }), 85);
  assert.equal(unitsOf(timed, 143, { call: "good" }), 0);
  assert.equal(unitsOf(timed, 130, { call: "no-rep" }), 0);
});

test("only what the part allows is offered", () => {
  assert.deepEqual(offers(course([part("Row", 500, { unit: "metre", step: 25, several_at_once: true })]), 0).several, [125, 250]);
  assert.deepEqual(offers(timed, 0), { good: 25, several: [], partDone: true, finish: false, faults: [] });
  assert.deepEqual(offers(timed, 100), { good: 10, several: [], partDone: false, finish: false, faults: [] });
  assert.deepEqual(offers(timed, 115).faults, squats.faults);
  assert.equal(offers({ ...timed, finish_call: true }, 143).finish, true);
  assert.equal(offers(timed, 143).finish, false);
  const pullUps = course([part("Pull-up", 12, { several_at_once: true })]);
  assert.deepEqual(offers(pullUps, 0).several, [5, 10]);
  assert.deepEqual(offers(pullUps, 4).several, [5]);
});

test("the last five lie in the last part", () => {
  assert.equal(toGo(timed, 137), null);
  assert.equal(toGo(timed, 138), 5);
  assert.equal(toGo(timed, 142), 1);
  assert.equal(toGo(timed, 143), null);
  assert.equal(toGo({ ...timed, finish_call: true }, 143), 0);
  assert.equal(toGo(rounds, 119), null);
  assert.deepEqual(blocks(timed, 5), { many: 5, done: 0 });
  assert.deepEqual(blocks(timed, 1), { many: 5, done: 4 });
  assert.deepEqual(blocks({ closing_blocks: 5, closing_step: 10 }, 25), { many: 5, done: 2 });
});

test("a mark at the end of another part is the feed's to tell, and then counts on", () => {
  const told = { part: 1, part_done: 17, to_go: 4 };
  assert.equal(toGo(timed, 127, told), 4);
  assert.equal(toGo(timed, 129, told), 2);
  assert.equal(toGo(timed, 126, told), null);
  assert.equal(toGo(timed, 131, told), null, "the next part has none of it");
});

test("a stop by hand is offered in the last part of work that has a finish", () => {
  assert.deepEqual([0, 130, 131, 142, 143].map((done) => mayStop(timed, done)), [false, false, true, true, true]);
  assert.ok(![0, 110, 119, 1110].some((done) => mayStop(rounds, done)));
});

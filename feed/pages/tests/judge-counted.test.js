import assert from "node:assert/strict";
import { test } from "node:test";

import { Counted } from "../judge/counted.js";
import { keyOf, Queue } from "../judge/queue.js";
import { choice, Floor, FLOOR_MS, meaning } from "../judge/taps.js";

const part = (movement, amount, more = {}) => ({ movement, amount, unit: "rep", step: 1, round: 0, faults: [], ...more });
const course = {
  scoring: "for_time", parts: [part("Row", 100, { unit: "metre", step: 25 }), part("Squat", 20)], units: 120, closing_blocks: 5, closing_step: 1, finish_call: false,
};

// A phone on lane 3 with a feed that has counted `done`.
function phone(done = 100, counts = true) {
  const queue = new Queue();
  const counted = new Counted();
  const told = { run: 1, done, no_reps: 0, status: "racing" };
  const shown = () => counted.shown(told, queue.waiting, { course, heat: 1, nowMs: 0 });
  const tap = (call, stamp_ms = 0, amount = 0) => {
    const tally = { heat: 1, run: 1, lane: 3, call, stamp_ms, amount };
    const kept = queue.push(tally, { expected: counted.expect(tally, { course, done: shown().done, counts }) });
    counted.remember(kept);
    return kept.tally;
  };
  const answer = (tally, why = null) => counted.answered(queue.answered(tally), why, 0);
  return { queue, counted, told, shown, tap, answer };
}

test("a tap shows at once and is not counted twice when count and answer come, in any order", () => {
  for (const order of ["count first", "answer first"]) {
    const judge = phone();
    const first = judge.tap("good");
    judge.tap("good");
    assert.equal(judge.shown().done, 102);
    if (order === "answer first") judge.answer(first);
    assert.equal(judge.shown().done, 102, order);
    judge.told.done = 101;
    judge.counted.told();
    assert.equal(judge.shown().done, 102, order);
    if (order === "count first") judge.answer(first);
    assert.equal(judge.shown().done, 102, order);
  }
});

test("calls that the feed has while their answers were lost add nothing", () => {
  const judge = phone();
  for (let rep = 0; rep < 4; rep += 1) judge.tap("good");
  judge.told.done = 102;
  judge.counted.told();
  assert.equal(judge.shown().done, 104);
});

test("steps show as what they are", () => {
  const judge = phone(0);
  judge.tap("good");
  judge.tap("good", 0, 50);
  assert.equal(judge.shown().done, 75);
  judge.tap("part-done");
  assert.equal(judge.shown().done, 100);
});

test("what does not count is taken off again, and never shown before the start", () => {
  const judge = phone();
  judge.answer(judge.tap("good"), "after_cap");
  assert.equal(judge.shown().done, 100);
  assert.equal(phone(100, false).shown().done, 100);
  const early = phone(100, false);
  early.tap("good");
  assert.equal(early.shown().done, 100);
});

test("undo takes back the own last call within five seconds, and only once", () => {
  const judge = phone(0);
  judge.tap("good", 0);
  judge.tap("good", 1000);
  assert.equal(judge.counted.undoable(6000, { heat: 1, run: 1 }).stamp_ms, 1000);
  assert.equal(judge.counted.undoable(6001, { heat: 1, run: 1 }), null);
  judge.tap("undo", 2000);
  assert.equal(judge.shown().done, 25);
  judge.tap("undo", 2000);
  assert.equal(judge.shown().done, 0);
  assert.equal(judge.counted.undoable(2000, { heat: 1, run: 1 }), null);
  assert.equal(judge.counted.undoable(2000, { heat: 2, run: 1 }), null, "never of another heat");
  judge.tap("good", 2000);
  const reloaded = new Counted(judge.counted.calls);
  assert.equal(reloaded.undoable(2000, { heat: 1, run: 1 }), null, "never of an earlier page load");
});

test("undo whose answer was lost is not taken off twice", () => {
  const judge = phone();
  judge.answer(judge.tap("good"));
  judge.told.done = 101;
  judge.counted.told();
  judge.tap("undo", 10);
  assert.equal(judge.shown().done, 100);
  judge.told.done = 100;
  judge.counted.told();
  assert.equal(judge.shown().done, 100);
});

test("last was a no-rep takes a rep back, undo gives it back", () => {
  const judge = phone();
  judge.tap("good", 0);
  judge.tap("no-rep", 10);
  judge.tap("last-was-no-rep", 20);
  assert.deepEqual(judge.shown(), { done: 100, finished: false, noReps: 2 });
  judge.tap("undo", 30);
  assert.deepEqual(judge.shown(), { done: 101, finished: false, noReps: 1 });
  judge.tap("last-was-no-rep", 40);
  assert.equal(judge.shown().done, 100, "the rep that was given back may be taken again");
});

test("a tap after the last unit was no rep, and the one before it is meant", () => {
  const judge = phone(118);
  judge.tap("good", 0);
  judge.tap("good", 1);
  judge.answer(judge.tap("good", 2), "past_end");
  judge.tap("last-was-no-rep", 3);
  assert.equal(judge.shown().done, 119);
});

test("calls of an earlier run are not shown in the next", () => {
  const judge = phone();
  judge.tap("good");
  judge.told.run = 2;
  assert.equal(judge.shown().done, 100);
});

test("last was a no-rep of a rep that did not count takes nothing back", () => {
  const judge = phone();
  judge.answer(judge.tap("good", 0), "during_hold");
  judge.tap("last-was-no-rep", 20);
  assert.equal(judge.shown().done, 100);
});

test("where the last rep is not known, one step is taken back", () => {
  const judge = phone(75);
  judge.tap("last-was-no-rep");
  assert.equal(judge.shown().done, 50);
});

test("the last unit finishes, its undo reopens", () => {
  const judge = phone(119);
  judge.tap("good", 0);
  assert.deepEqual(judge.shown(), { done: 120, finished: true, noReps: 0 });
  judge.tap("undo", 10);
  assert.equal(judge.shown().finished, false);
});

test("a call that gets another key keeps its place", () => {
  const judge = phone();
  const first = judge.tap("good", 0);
  judge.counted.rename(keyOf(first), "9:1");
  assert.equal(judge.counted.undoable(10, { heat: 1, run: 1 }).key, "9:1");
});

test("a second tap under the floor is held back, and the floor is counted from the first", () => {
  const floor = new Floor();
  assert.deepEqual([0, 100, FLOOR_MS - 1, FLOOR_MS, 2 * FLOOR_MS].map((ms) => floor.lets(ms)), [true, false, false, true, true]);
  assert.equal(floor.heldBack, 2);
});

test("keys mean calls, a held key calls once, and shortcuts of the browser are left alone", () => {
  assert.equal(meaning({ key: " " }), "good");
  assert.equal(meaning({ key: "AudioVolumeUp" }), "good");
  assert.equal(meaning({ key: "N" }), "no-rep");
  assert.equal(meaning({ key: "Enter", repeat: true }), null);
  assert.equal(meaning({ key: "l", ctrlKey: true }), null);
  assert.equal(meaning({ key: "Tab" }), null);
  assert.equal(choice({ key: "2" }), 1);
  assert.equal(choice({ key: "0" }), null);
});

test("a stop by hand counts nothing, and an undo looks past it", () => {
  const judge = phone();
  const good = judge.tap("good", 1000);
  judge.tap("manual-stop", 1100);
  assert.deepEqual([judge.shown().done, judge.shown().noReps], [101, 0]);
  assert.equal(judge.counted.undoable(2000, { heat: 1, run: 1 }).key, keyOf(good));
  judge.tap("undo", 2000);
  assert.deepEqual([judge.shown().done, judge.shown().noReps], [100, 0]);
});

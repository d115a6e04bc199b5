import assert from "node:assert/strict";
import { test } from "node:test";

import { keyOf, MAX_WAITING, Queue, randomEpoch } from "../judge/queue.js";

const epochs = (from = 1) => {
  let next = from;
  return () => next++;
};
const good = (more = {}) => ({ heat: 1, run: 1, lane: 3, call: "good", stamp_ms: 5, ...more });
const offset = { add_us: 7, delay_us: 2 };

// A queue whose page knows its clock, with so many calls in it.
function filled(calls, options = {}) {
  const queue = new Queue({ epoch: epochs(), order: () => 0, ...options });
  queue.setOffset(offset);
  for (let number = 0; number < calls; number += 1) queue.push(good({ stamp_ms: number }));
  return queue;
}

const sent = (queue, nowMs) => {
  const numbers = [];
  for (let tally = queue.due(nowMs); tally; tally = queue.due(nowMs)) numbers.push(tally.number);
  return numbers;
};

test("calls are numbered without gaps and sent in order, with the page's clock offset", () => {
  const queue = filled(3);
  assert.deepEqual(queue.due(0), { ...good({ stamp_ms: 0 }), epoch: 1, number: 1, offset });
  assert.deepEqual(sent(queue, 0), [2, 3]);
  assert.equal(queue.due(0), null);
});

test("a call of this page load waits for the clock, one of an earlier load does not", () => {
  const earlier = filled(2).kept();
  const queue = new Queue({ saved: earlier, offsets: [[1, offset]], epoch: epochs(9), order: () => 0 });
  queue.push(good());
  assert.deepEqual(queue.due(0).offset, offset);
  assert.equal(queue.due(0).epoch, 1);
  assert.equal(queue.due(0), null, "the new page's own call has no offset yet");
  assert.equal(queue.setOffset({ add_us: 1, delay_us: 1 }), true);
  assert.equal(queue.setOffset({ add_us: 1, delay_us: 1 }), false, "nothing new to keep");
  const own = queue.due(0);
  assert.deepEqual([own.epoch, own.number, own.offset.add_us], [9, 1, 1]);
  assert.equal(queue.waiting[2].seq, 3, "kept after those of the earlier load");
});

test("what was on its way is sent again after an outage, and without an answer, later each time", () => {
  const queue = filled(2);
  assert.deepEqual(sent(queue, 0), [1, 2]);
  queue.loseAllSent();
  assert.deepEqual(sent(queue, 10), [1, 2]);
  assert.deepEqual(sent(queue, 8_009), []);
  assert.deepEqual(sent(queue, 8_010), [1], "its second time waits twice as long");
  assert.equal(queue.againAtMs(), 8_010 + 16_000);
  queue.answered({ epoch: 1, number: 1 });
  assert.equal(queue.answered({ epoch: 1, number: 1 }), null, "an answer that comes again");
  assert.equal(queue.waiting.length, 1);
});

test("a hole is filled once, however often it is asked for", () => {
  const queue = filled(4);
  sent(queue, 0);
  queue.fillHole(1, 2, 100);
  assert.deepEqual(sent(queue, 100), [2, 3, 4]);
  queue.fillHole(1, 2, 200);
  assert.deepEqual(sent(queue, 200), []);
});

test("at most so many are on their way at once", () => {
  const queue = filled(40);
  assert.equal(sent(queue, 0).length, 32);
  queue.answered({ epoch: 1, number: 1 });
  assert.deepEqual(sent(queue, 0), [33]);
});

test("another heat is another epoch, and a clock that slept too; calls keep theirs", () => {
  const queue = filled(1);
  queue.push(good({ heat: 2 }));
  queue.startEpoch(2);
  queue.push(good({ heat: 2 }));
  assert.deepEqual(queue.waiting.map(({ tally }) => keyOf(tally)), ["1:1", "2:1", "3:1"]);
});

test("a refusal for now is waited out, in order", () => {
  const queue = filled(3);
  sent(queue, 0);
  for (const number of [2, 3]) queue.refused({ epoch: 1, number }, "too_fast", 100);
  assert.deepEqual(sent(queue, 1_099), []);
  assert.deepEqual(sent(queue, 1_100), [2, 3]);
});

test("a refusal for good takes one call out, and those behind it come under new numbers", () => {
  const queue = filled(4);
  sent(queue, 0);
  const { gone, moved } = queue.refused({ epoch: 1, number: 2 }, "out_of_range", 0);
  assert.equal(gone.tally.number, 2);
  assert.deepEqual(moved.map(({ was, call }) => [was, keyOf(call.tally), call.seq]), [["1:3", "2:1", 3], ["1:4", "2:2", 4]]);
  assert.deepEqual(queue.due(0).offset, offset, "it is the same clock");
  assert.equal(queue.push(good()).tally.number, 3);
  assert.deepEqual(queue.waiting.map(({ tally }) => keyOf(tally)), ["1:1", "2:1", "2:2", "2:3"]);
});

test("calls are kept in their order, whatever the wall clock does", () => {
  const clock = [5000, 9000, 100];
  const queue = filled(3, { order: () => clock.shift() });
  assert.deepEqual(queue.kept().map(({ seq }) => seq), [5000, 9000, 9001]);
});

test("too many calls are not taken in", () => {
  const queue = filled(MAX_WAITING);
  assert.equal(queue.push(good()), null);
  assert.equal(queue.waiting.length, MAX_WAITING);
});

test("an epoch is a whole number that JSON carries", () => {
  for (let turn = 0; turn < 1000; turn += 1) {
    const epoch = randomEpoch();
    assert.ok(Number.isSafeInteger(epoch) && epoch > 0);
  }
});

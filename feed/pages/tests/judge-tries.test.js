import assert from "node:assert/strict";
import { test } from "node:test";

import { attemptLines, bestText, failedCall, goodCall } from "../judge/attempt-lines.js";
import { Counted } from "../judge/counted.js";
import { offers, place, toGo, unitsOf } from "../judge/course.js";
import { ShadowCount } from "../judge/shadow.js";

const part = { movement: "Snatch", short_name: "SN", amount: 3, unit: "kilogram", step: 1, several_at_once: false, load: "", round: 0, faults: [{ code: "press", name: "Pressed out" }] };
const lift = { scoring: "heaviest_lift", load_unit: "kg", attempts: 3, parts: [part], units: 3, closing_blocks: 0, closing_step: 0, finish_call: false };
const hold = { ...lift, scoring: "longest_hold", load_unit: undefined, attempts: 2, units: 2, parts: [{ ...part, unit: "second_held", load: "20 kg" }] };
const told = (more = {}) => ({ lane: 3, run: 1, status: "racing", done: 0, score: 0, no_reps: 0, tries: {}, ...more });

// A phone's calls on a course: each is expected on top of those before it, none answered.
function judged(course, count, calls) {
  const counted = new Counted();
  const waiting = [];
  const shown = () => counted.shown(count, waiting, { course, heat: 7, nowMs: 0 });
  for (const [call, more] of calls) {
    const now = shown();
    const tally = { call, stamp_ms: 1000 * waiting.length, heat: 7, run: 1, epoch: 1, number: waiting.length + 1, ...more };
    const expected = counted.expect(tally, { course, done: now.done, counts: true, tries: now.tries, at_ms: more && more.at_ms });
    counted.remember({ tally, expected });
    waiting.push({ tally, expected });
  }
  return shown();
}

test("attempts are shown at once, with the best good one and none too many", () => {
  const now = judged(lift, told(), [["declare-load", { load_g: 100_000 }], ["attempt-good", { load_g: 100_000 }], ["attempt-failed", { load_g: 110_000 }]]);
  assert.deepEqual(now.tries, { done: 2, best: 100_000, declaredG: null, holdingMs: null, attempts: [{ load_g: 100_000, good: true }, { load_g: 110_000, good: false }] });
  assert.equal(now.finished, false);
  const all = judged(lift, told({ done: 2, score: 100_000 }), [["attempt-good", { load_g: 90_000 }]]);
  assert.deepEqual([all.done, all.finished, all.tries.best], [3, true, 100_000]);
});

test("a call that the feed has counted already adds nothing again", () => {
  const counted = new Counted();
  const tally = { call: "attempt-good", load_g: 100_000, stamp_ms: 0, heat: 7, run: 1, epoch: 1, number: 1 };
  const was = counted.shown(told(), [], { course: lift, heat: 7, nowMs: 0 });
  const expected = counted.expect(tally, { course: lift, done: 0, counts: true, tries: was.tries });
  const waiting = [{ tally, expected }];
  const there = told({ done: 1, score: 100_000, tries: { attempts: [{ load_g: 100_000, good: true }] } });
  const now = counted.shown(there, waiting, { course: lift, heat: 7, nowMs: 0 });
  assert.deepEqual([now.done, now.tries.attempts.length], [1, 1]);
});

test("undo brings back what stood before the attempt, and passes over what was declared since", () => {
  const now = judged(lift, told(), [
    ["declare-load", { load_g: 100_000 }], ["attempt-good", { load_g: 100_000 }],
    ["declare-load", { load_g: 120_000 }], ["attempt-good", { load_g: 120_000 }], ["declare-load", { load_g: 125_000 }], ["undo"],
  ]);
  assert.deepEqual([now.done, now.tries.best, now.tries.declaredG, now.tries.attempts.length], [1, 100_000, 120_000, 1]);
});

test("a hold goes on when its stop is taken back", () => {
  const held = judged(hold, told(), [["hold-start", { at_ms: 5_000 }], ["hold-stop", { at_ms: 45_000 }]]);
  assert.deepEqual([held.done, held.tries.best, held.tries.holdingMs, held.finished], [1, 40_000, null, false]);
  const on = judged(hold, told({ done: 1, score: 50_000 }), [["hold-start", { at_ms: 60_000 }], ["hold-stop", { at_ms: 115_000 }], ["undo"]]);
  assert.deepEqual([on.done, on.tries.best, on.tries.holdingMs, on.finished], [2, 50_000, 60_000, false]);
  const none = judged(hold, told(), [["hold-start", { at_ms: 5_000 }], ["undo"]]);
  assert.deepEqual([none.done, none.tries.holdingMs], [0, null]);
});

test("a touch means the attempt with its load, or the hold's start and stop", () => {
  const tries = { done: 0, best: 0, declaredG: null, holdingMs: null, attempts: [] };
  assert.equal(goodCall({ course: lift, tries }), null);
  assert.equal(failedCall({ course: lift, tries }), null);
  const declared = { course: lift, tries: { ...tries, declaredG: 90_000 } };
  assert.deepEqual([goodCall(declared), failedCall(declared)], [{ call: "attempt-good", loadG: 90_000 }, { call: "attempt-failed", loadG: 90_000 }]);
  assert.equal(goodCall({ course: hold, tries }).call, "hold-start");
  assert.equal(goodCall({ course: hold, tries: { ...tries, holdingMs: 0 } }).call, "hold-stop");
  assert.equal(failedCall({ course: hold, tries }), null);
});

test("the target says load, turn and best; a hold says its time", () => {
  const words = { mark: ".", say: (id, values = {}) => [id, ...Object.values(values)].join(" ") };
  const running = { countdownS: null, untilMs: null, counts: true, held: false };
  const tries = { done: 1, best: 100_000, declaredG: 142_500, holdingMs: null, attempts: [] };
  const lines = attemptLines({ ...running, course: lift, tries }, words, 0);
  assert.deepEqual(lines, { number: "142.5", of: "kg · Snatch", then: "attempt-number-of 2 3 · best 100\u00a0kg", raise: "touch-good" });
  assert.equal(attemptLines({ ...running, course: { ...lift, attempts: undefined }, tries: { ...tries, declaredG: null } }, words, 0).raise, "load-first");
  const holding = attemptLines({ ...running, course: hold, tries: { ...tries, best: 40_100, holdingMs: 60_000 } }, words, 83_450);
  assert.deepEqual([holding.number, holding.then, holding.raise], ["0:23.4", "hold-number-of 1 2 · best 0:40.1", "touch-stop"]);
  assert.equal(bestText({ course: hold, tries: { ...tries, best: 0 } }, words), "no-best-hold");
  assert.equal(attemptLines({ ...running, counts: false, countdownS: 3, course: lift, tries }, words, 0).number, "3");
});

test("a course of attempts has one part, and no last five", () => {
  assert.equal(place(lift, 3).part, part);
  assert.equal(toGo(lift, 2, told({ done: 2 })), null);
  assert.deepEqual(offers(lift, 1).faults, part.faults);
  assert.deepEqual(["attempt-good", "declare-load", "hold-start", "hold-stop"].map((call) => unitsOf(lift, 0, { call })), [1, 0, 1, 0]);
});

test("a shadow judge sees the own attempts alone", () => {
  const shadow = new ShadowCount();
  const count = told({ done: 2, score: 120_000, tries: { attempts: [{ load_g: 120_000, good: true }] } });
  assert.deepEqual([shadow.of(count, 7).score, shadow.of(count, 7).done], [0, 0]);
  const was = { best: 0, declaredG: null, holdingMs: null };
  shadow.took({ heat: 7, run: 1, call: "attempt-good", load_g: 100_000, from: 0, after: 1, was }, 0);
  const own = shadow.of(count, 7);
  assert.deepEqual([own.done, own.score, own.tries.attempts], [1, 100_000, [{ load_g: 100_000, good: true }]]);
});

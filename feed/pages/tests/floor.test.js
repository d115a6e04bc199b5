import assert from "node:assert/strict";
import { test } from "node:test";

import { after, mayOpen, offers } from "../floor/offers.js";
import { asked, fault, MAX_STEPS, newStep, readDraft, showOwn, spanSeconds } from "../floor/order.js";
import { turn } from "../floor/turn.js";

const order = (again, lengths) => ({ since_ms: 1000, again, steps: lengths.map((for_ms, index) => ({ for_ms, card: { words: { title: `${index}`, text: "" } } })) });
const at = (order, feedMs) => {
  const { index, leftMs } = turn(order, feedMs);
  return [index, leftMs];
};

test("an order stands where every screen has it", () => {
  // The same moments as in the tests of the wire's own `Program::at`.
  const once = order(false, [500, 300, 200]);
  assert.deepEqual([-7, 1000, 1499, 1500, 1800, 99_000].map((ms) => at(once, ms)), [[0, 500], [0, 500], [0, 1], [1, 300], [2, null], [2, null]]);
  const round = order(true, [500, 300]);
  assert.deepEqual([1799, 1800, 2300, 1000 + 800 * 7 + 10].map((ms) => at(round, ms)), [[1, 1], [0, 500], [1, 300], [0, 490]]);
  assert.deepEqual([1500, 90_000].map((ms) => at(order(true, [500, 0, 300]), ms)), [[1, null], [1, null]]);
  assert.deepEqual(turn({ since_ms: 0, again: true, steps: [] }, 5), { index: 0, card: "heat", leftMs: null });
  assert.deepEqual(at(order(true, [-5, 3]), 9), [0, null]);
});

test("spans are typed as m:ss, as h:mm:ss or as minutes", () => {
  for (const [typed, seconds] of [["0:12", 12], [" 10:00 ", 600], ["1:00:05", 3605], ["7", 420], ["0", 0], ["", null], ["1:5", null], ["1:75", null], ["-1", null], ["a", null], ["1:2:3:4", null]]) {
    assert.equal(spanSeconds(typed), seconds, typed);
  }
});

test("what is wrong with a step is said at its field", () => {
  const field = (changes) => {
    const found = fault({ ...newStep("words"), title: "Lunch", ...changes });
    return found && found.field;
  };
  assert.equal(field({}), null);
  assert.equal(field({ time: "soon" }), "time");
  assert.equal(field({ time: "25:00:00" }), "time");
  assert.equal(field({ title: "ü".repeat(61) }), "title", "bytes count, not letters");
  assert.equal(field({ text: "w".repeat(401) }), "text");
  assert.equal(field({ title: " " }), "title");
  assert.equal(field({ card: "countdown", until: "" }), "until");
  assert.equal(field({ card: "event", title: "x".repeat(999) }), null, "nothing is written on it");
});

test("a draft becomes the command that the wire knows", () => {
  const steps = [newStep("heat"), { ...newStep("words"), title: " Lunch ", time: "0:00" }, { ...newStep("countdown"), title: "", until: "1:30" }];
  assert.deepEqual(showOwn(steps, true), {
    board: {
      own: {
        again: true,
        steps: [
          { for_ms: 12_000, card: "heat" },
          { for_ms: 0, card: { words: { title: "Lunch", text: "" } } },
          { for_ms: 12_000, card: { countdown: { title: "", in_ms: 90_000 } } },
        ],
      },
    },
  });
  assert.deepEqual(asked(newStep("standings")).card, { standings: {} });
});

test("a kept draft is read, whatever has become of it", () => {
  const kept = { again: false, steps: [newStep("event"), { card: "spell" }, { card: "words", title: 7 }] };
  assert.deepEqual(readDraft(JSON.stringify(kept)), { again: false, steps: [newStep("event"), newStep("words")] });
  for (const broken of ["", "{", "null", "{}", "[]"]) assert.deepEqual(readDraft(broken), { again: true, steps: [] });
  assert.equal(readDraft(JSON.stringify({ steps: Array(99).fill(newStep()) })).steps.length, MAX_STEPS);
});

test("only what the state allows is offered, and nothing of the head judge's", () => {
  const of = (state, clock = "idle") => offers({ heat: { state, clock } });
  assert.deepEqual(of("on_deck"), ["start_countdown"]);
  assert.deepEqual(of("held", { stopped: { elapsed_ms: 5 } }), ["resume", "call_time"]);
  assert.deepEqual(of("held"), ["resume"], "held in the first countdown");
  assert.deepEqual(of("provisional"), []);
  assert.deepEqual(["running", "signed"].map((state) => mayOpen({ heat: { state } })), [false, true]);
  assert.equal(after({ titles: { heats: [1, 2, 7], heat: 2 } }), 7);
  assert.equal(after({ titles: { heats: [1, 2, 7], heat: 7 } }), 1);
  assert.equal(after({ titles: { heats: [7], heat: 7 } }), null);
});

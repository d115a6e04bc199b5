import assert from "node:assert/strict";
import { test } from "node:test";

import { LaneDraft, maySetLanes } from "../head/lane-draft.js";
import { missing, readinessText } from "../head/readiness.js";
import { count, entry, picture } from "./head-picture.js";

const before = (more = {}) => picture({ heat: { state: "lanes_set", clock: "idle" }, ...more });
const text = (line) => `${line.lane}: ${line.from ? line.from.bib : "–"} → ${line.to ? line.to.bib : "–"}`;

test("two lanes change places, and changed back nothing is left", () => {
  const [draft, now] = [new LaneDraft(), before()];
  draft.swap(now, 1, 2);
  assert.deepEqual(draft.lines(now).map(text), ["1: 101 → 102", "2: 102 → 101"]);
  draft.swap(now, 2, 3);
  assert.deepEqual(draft.lines(now).map(text), ["1: 101 → 102", "2: 102 → –", "3: – → 101"]);
  assert.deepEqual(draft.scratched(now), []);
  draft.swap(now, 3, 2);
  draft.swap(now, 2, 1);
  assert.deepEqual(draft.lines(now), []);
});

test("who is taken out is named, and the feed is told the lanes that change alone", () => {
  const [draft, now] = [new LaneDraft(), before()];
  draft.put(now, 1, null);
  assert.deepEqual(draft.scratched(now), ["101"]);
  draft.put(now, 3, { bib: "777", name: "Somebody Else" });
  assert.deepEqual(draft.command(now, "hurt"), { set_lanes: { lanes: [{ lane: 1 }, { lane: 3, bib: "777" }], reason: "hurt" } });
  // Put on another lane after all, nobody is out.
  draft.put(now, 3, { bib: "101", name: "Athlete 1" });
  assert.deepEqual(draft.scratched(now), []);
});

test("a draft ends when it has come true, and is lost when the lanes are set otherwise", () => {
  const [draft, now] = [new LaneDraft(), before()];
  assert.equal(draft.follow(now), false);
  draft.swap(now, 1, 2);
  assert.equal(draft.follow(before({ at_ms: 5 })), false);
  assert.equal(draft.lines(now).length, 2, "a count changes nothing of it");
  const done = before({ entries: [entry(1, { bib: "102" }), entry(2, { bib: "101" }), entry(3, { bib: "", name: "" })] });
  assert.equal(draft.follow(done), false);
  assert.deepEqual(draft.lines(done), []);
  draft.swap(done, 1, 3);
  assert.equal(draft.follow(now), true);
  assert.deepEqual(draft.lines(now), []);
});

test("lanes are set before the start of the whole heat alone", () => {
  const may = (heat) => maySetLanes(picture({ heat }));
  assert.ok(may({ state: "lanes_set" }) && may({ state: "on_deck" }));
  assert.ok(!may({ state: "on_deck", alone: 2 }) && !may({ state: "countdown" }) && !may({ state: "signed" }));
});

test("what a start lacks is named by lanes", () => {
  const phone = (lane, more = {}) => ({ lane, device: `phone-${lane}`, shadow: false, holds: true, on_line: true, ...more });
  const of = (lanes, phones, heat = {}) => missing(before({ lanes, heat: { state: "on_deck", ...heat } }), phones).map(({ what, lanes: some }) => `${what} ${some}`);
  const three = [count(1), count(2), count(3)];
  assert.deepEqual(of(three, []), [], "a phone that tells nothing of itself is not amiss");
  assert.deepEqual(of([count(1, { judge_on: false }), count(2), count(3, { status: "empty", judge_on: false })], []), ["judge 1"]);
  const low = [phone(1, { charge_percent: 19 }), phone(2, { charge_percent: 20 }), phone(3, { charge_percent: 3, charging: true })];
  assert.deepEqual(of(three, low), ["charge 1"]);
  assert.deepEqual(of(three, [phone(1, { delay_us: 500_000 }), phone(2, { delay_us: 500_001 })]), ["link 2"]);
  // What stands by, shadows or has gone says nothing of the lane's own phone.
  const others = [phone(1, { charge_percent: 3, holds: false }), phone(2, { charge_percent: 3, shadow: true }), phone(3, { charge_percent: 3, on_line: false })];
  assert.deepEqual(of(three, others), []);
  assert.deepEqual(of([count(1, { judge_on: false }), count(2, { judge_on: false })], [], { alone: 2 }), ["judge 2"]);
  const words = { say: (id, { count: many, lanes }) => `${id} ${many} ${lanes || ""}`.trim() };
  assert.equal(readinessText([{ what: "judge", lanes: [8, 10] }, { what: "link", lanes: [2] }], 9, words), "missing-judge 2 8, 10 · missing-link 1 2");
  assert.equal(readinessText([], 9, words), "ready-all 9");
});

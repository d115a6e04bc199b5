import assert from "node:assert/strict";
import { test } from "node:test";

import { APART_MS, Facts, NEWS_MS, STANDS_MS } from "../announcer/facts.js";
import { done, leader, phase, results, rows, running } from "../announcer/view.js";

const course = { scoring: "for_time", units: 90, parts: [{}] };

// A heat whose lanes a test sets; each lane is `[done, place, more]`.
function heat(lanes, { state = "running", run = 1, clock = { running: { zero_at_ms: 0 } }, divisions = lanes.map(() => 0), alone = null } = {}) {
  const of = (make) => lanes.map((lane, index) => make(lane, index + 1));
  return {
    titles: { heat: 7 },
    heat: { state, run, clock, cap_ms: 600_000, alone, first_on_floor: 1 },
    courses: [course, course],
    entries: of((_, lane) => ({ lane, course: divisions[lane - 1], division: divisions[lane - 1], name: `A${lane}`, bib: `${lane}` })),
    lanes: of(([units, , more], lane) => ({ lane, run, part: 0, status: "racing", done: units, score: units, ...more })),
    order: of(([, place], lane) => ({ lane, place, division_place: place })),
  };
}

const five = (units, place, more = {}) => [units, place, { to_go: 90 - units, ...more }];
const finished = (place, text) => [90, place, { status: "finished", result: { text } }];
const told = (facts) => facts.map(({ what, change, lane }) => [what, change, lane]);
const lanesOf = (list) => list.map(({ lane }) => lane);

test("leaders come by place, and every working lane stands somewhere", () => {
  const picture = heat([[40, 4], [60, 1], five(86, 2), [50, 3], [0, 0], finished(1, "7:08"), [30, 5, { status: "capped" }]]);
  const { leaders, lastFive, behind, done } = running(picture);
  assert.deepEqual(lanesOf(leaders[0].rows), [2, 3, 4]);
  assert.deepEqual([lanesOf(lastFive), lanesOf(behind), lanesOf(done)], [[3], [1, 5], [6, 7]]);
});

test("on a mixed floor each division has its leaders, and an empty lane is nobody's", () => {
  const picture = heat([[40, 2], [60, 1], [50, 1], [0, 0, { status: "empty" }]], { divisions: [0, 0, 1, 2] });
  assert.deepEqual(running(picture).leaders.map(({ division, rows }) => [division, lanesOf(rows)]), [[0, [2, 1]], [1, [3]]]);
  assert.equal(leader(picture, 1).lane, 3);
  assert.deepEqual(lanesOf(results(picture)), [2, 1, 3]);
  assert.equal(rows(picture).length, 3);
});

test("who has no place comes last", () => {
  const out = { status: "disqualified" };
  assert.deepEqual(lanesOf(done(rows(heat([[3, 0, out], finished(2, "8:00"), finished(1, "7:00"), [5, 0, out]])), false)), [3, 2, 1, 4]);
});

test("a heat is before, running or after", () => {
  const of = (state, clock = "idle", alone = null) => phase({ heat: { state, clock, alone } });
  const counting = (elapsed_ms) => ({ counting_down: { since_ms: 0, go_at_ms: 9, elapsed_ms } });
  assert.deepEqual(["lanes_set", "on_deck", "running", "held", "time_called", "signed", "cancelled"].map((state) => of(state)), ["before", "before", "running", "running", "after", "after", "after"]);
  assert.equal(of("countdown", counting(0)), "before");
  assert.equal(of("countdown", counting(5000)), "running", "a held heat resumes");
  assert.equal(of("on_deck", "idle", 3), "after", "a lane is to run again alone, and the others' results stand");
});

test("what stood already when the page came is not said", () => {
  const facts = new Facts();
  const picture = heat([five(86, 2), [60, 3], finished(1, "7:08")]);
  for (const now of [0, 5_000, 10_000]) assert.deepEqual(facts.look(picture, now), []);
});

test("a lead is said when it has stood, and not said twice", () => {
  const facts = new Facts();
  facts.look(heat([[0, 0], [0, 0]]), 0);
  const first = heat([[5, 1], [4, 2]]);
  const second = heat([[5, 2], [6, 1]]);
  assert.deepEqual(facts.look(first, 1_000), []);
  assert.deepEqual(told(facts.look(first, 1_000 + STANDS_MS)), [["lead", "new", 1]]);
  assert.deepEqual(facts.look(second, 10_000), []);
  assert.deepEqual(facts.look(first, 12_000), [], "back again before it had stood");
  assert.deepEqual(facts.look(first, 20_000), []);
  facts.look(second, 30_000);
  assert.deepEqual(told(facts.look(second, 30_000 + STANDS_MS)), [["lead", "new", 2]]);
});

test("whoever is first because the leader has finished has not taken the lead", () => {
  const facts = new Facts();
  facts.look(heat([[89, 1], [80, 2]]), 0);
  const after = heat([finished(1, "7:08"), [80, 2]]);
  assert.deepEqual(told(facts.look(after, 5_000)), [["finish", "new", 1]]);
  for (let now = 6_000; now < 30_000; now += 1_000) assert.deepEqual(facts.look(after, now), []);
});

test("facts keep apart, finishes don't wait, and what is old is no news", () => {
  const facts = new Facts();
  facts.look(heat([[80, 1], [80, 2], [80, 3], [80, 4], [80, 5], [80, 6]]), 0);
  const all = [1, 2, 3, 4, 5].map((place) => five(85, place));
  const said = [];
  for (let now = 1_000; now <= 40_000; now += 500) {
    const picture = heat([...all, now < 6_000 ? [80, 6] : finished(1, "7:08")]);
    for (const fact of facts.look(picture, now)) said.push([now, fact.what]);
  }
  assert.deepEqual(said, [[1_000, "last-five"], [5_000, "last-five"], [6_000, "finish"], [10_000, "last-five"]]);
  assert.ok(said.at(-1)[0] <= 1_000 + NEWS_MS && said[1][0] - said[0][0] >= APART_MS);
});

test("two finishes at once are both said", () => {
  const facts = new Facts();
  facts.look(heat([[89, 1], [89, 2]]), 0);
  assert.deepEqual(told(facts.look(heat([finished(1, "7:08"), finished(2, "7:09")]), 100)), [["finish", "new", 1], ["finish", "new", 2]]);
});

test("a finish that a ruling changes is corrected, and one that does not stand is taken back", () => {
  const facts = new Facts();
  facts.look(heat([[89, 1], [80, 2]]), 0);
  facts.look(heat([finished(1, "7:08"), [80, 2]]), 1_000);
  const [corrected] = facts.look(heat([finished(1, "7:18"), [80, 2]]), 9_000);
  assert.deepEqual([corrected.change, corrected.result, corrected.place], ["corrected", "7:18", 1]);
  assert.deepEqual(facts.look(heat([[90, 0, { status: "under_review" }], [80, 1]]), 20_000), [], "nothing is decided under review");
  assert.deepEqual(told(facts.look(heat([[70, 2], [80, 1]]), 30_000)), [["finish", "back", 1]]);
  assert.deepEqual(told(facts.look(heat([finished(1, "9:00"), [80, 2]]), 40_000)), [["finish", "new", 1]], "it is new again");
});

test("whoever falls out of the last five is taken back if it was said and lasts", () => {
  const facts = new Facts();
  facts.look(heat([[84, 1], [84, 2]]), 0);
  assert.deepEqual(told(facts.look(heat([five(85, 1), [84, 2]]), 5_000)), [["last-five", "new", 1]]);
  assert.deepEqual(facts.look(heat([[84, 1], [84, 2]]), 10_000), []);
  assert.deepEqual(facts.look(heat([five(85, 1), [84, 2]]), 11_000), [], "undone and called again: nothing to say");
  facts.look(heat([[84, 1], [84, 2]]), 20_000);
  assert.deepEqual(told(facts.look(heat([[84, 1], [84, 2]]), 20_000 + STANDS_MS)), [["last-five", "back", 1]]);
});

test("a last five that was never said is not taken back", () => {
  const facts = new Facts();
  facts.look(heat([five(86, 1), [84, 2]]), 0);
  for (let now = 1_000; now < 20_000; now += 1_000) assert.deepEqual(facts.look(heat([[84, 1], [84, 2]]), now), []);
  assert.deepEqual(told(facts.look(heat([five(85, 1), [84, 2]]), 20_000)), [["last-five", "new", 1]]);
});

test("states are said as they come, in a new run too", () => {
  const facts = new Facts();
  const state = (name, run, now) => facts.look(heat([[0, 0]], { state: name, run, clock: "idle" }), now).map((fact) => [fact.state, fact.run]);
  assert.deepEqual(state("on_deck", 1, 0), []);
  assert.deepEqual(state("held", 1, 10_000), [["held", 1]]);
  assert.deepEqual(state("on_deck", 2, 20_000), [["on_deck", 2]]);
});

test("a held heat that goes on is said to go on", () => {
  const facts = new Facts();
  const said = (state, clock, now) => facts.look(heat([[0, 0]], { state, clock }), now).map((fact) => [fact.state, Boolean(fact.again)]);
  said("running", { running: { zero_at_ms: 0 } }, 0);
  assert.deepEqual(said("held", { stopped: { elapsed_ms: 9_000 } }, 10_000), [["held", false]]);
  assert.deepEqual(said("countdown", { counting_down: { since_ms: 20_000, go_at_ms: 30_000, elapsed_ms: 9_000 } }, 20_000), [["countdown", true]]);
  assert.deepEqual(said("running", { running: { zero_at_ms: 21_000 } }, 30_000), [["running", true]]);
});

test("the last minute is said once", () => {
  const facts = new Facts();
  const said = [];
  for (let now = 500_000; now < 600_000; now += 1_000) said.push(...facts.look(heat([[0, 0]]), now).map(({ what }) => [what, now]));
  assert.deepEqual(said, [["minute", 540_000]]);
});

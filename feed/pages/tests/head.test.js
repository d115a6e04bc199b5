import assert from "node:assert/strict";
import { test } from "node:test";

import { attention } from "../head/attention.js";
import { Calls, KEPT } from "../head/calls.js";
import { countText, rows } from "../head/rows.js";
import { command, mayHold, nextHeat, steps } from "../head/steps.js";
import { bytes, timeMs, timeText, whole } from "../head/typed.js";
import { count, entry, picture, rounds, sprint } from "./head-picture.js";

test("times are taken as they are typed, and only if they are times", () => {
  for (const [text, ms] of [
    ["7:08.4", 428_400], ["7:08,45", 428_450], [" 1:07:42 ", 4_062_000], ["45", 45_000], ["90.5", 90_500], ["0:10.005", 10_005], ["0", 0],
    ["24:00:00", 86_400_000],
  ]) assert.equal(timeMs(text), ms, text);
  for (const text of ["", "7:8", "7:60", "1:60:00", "1:7:42", "-5", "7.08.4", "7:08.4567", "seven", "24:00:00.1", "1e3", "7:08:"]) {
    assert.equal(timeMs(text), null, text);
  }
  for (const [ms, text] of [[428_400, "7:08.4"], [10_000, "0:10.0"], [428_450, "7:08.45"], [4_062_000, "1:07:42.0"], [5, "0:00.005"]]) {
    assert.equal(timeText(ms), text);
    assert.equal(timeMs(text), ms, "what is written can be typed");
  }
});

test("whole numbers are whole", () => {
  assert.equal(whole(" 12 "), 12);
  for (const text of ["", "-1", "1.5", "12a", "99999999"]) assert.equal(whole(text), null, text);
  assert.equal(bytes("añ"), 3);
});

test("each state offers its own steps, and what comes next stands first", () => {
  const names = (heat) => steps(picture({ heat })).map(({ name }) => name);
  const stopped = (elapsed_ms) => ({ stopped: { elapsed_ms } });
  for (const [heat, expected] of [
    [{ state: "lanes_set", clock: "idle" }, ["on_deck", "open_heat"]],
    [{ state: "on_deck", clock: "idle" }, ["start_countdown", "open_heat"]],
    [{ state: "on_deck", clock: "idle", alone: 2 }, ["start_countdown", "open_heat", "cancel"]],
    [{ state: "countdown", clock: { counting_down: { since_ms: 0, go_at_ms: 10, elapsed_ms: 0 } } }, ["recall", "cancel"]],
    [{ state: "running" }, ["recall", "call_time", "rerun", "cancel"]],
    [{ state: "held", clock: stopped(5000) }, ["resume", "call_time", "rerun", "cancel"]],
    [{ state: "held", clock: stopped(0) }, ["resume", "rerun", "cancel"]],
    [{ state: "time_called", clock: stopped(600_000) }, ["close", "open_heat", "rerun_lane", "rerun"]],
    [{ state: "provisional", clock: stopped(600_000) }, ["sign", "open_heat", "rerun_lane", "rerun"]],
    [{ state: "provisional", clock: stopped(600_000), clock_in_doubt: true }, ["sign", "confirm_clock", "open_heat", "rerun_lane", "rerun"]],
    [{ state: "signed", clock: stopped(600_000) }, ["open_heat", "reopen"]],
    [{ state: "cancelled", clock: stopped(9000) }, ["on_deck", "open_heat", "rerun"]],
  ]) assert.deepEqual(names(heat), expected, heat.state);
});

test("what cannot be taken back is guarded, and a hold never is", () => {
  const guards = (heat) => Object.fromEntries(steps(picture({ heat })).map(({ name, guard }) => [name, guard]));
  assert.equal(guards({ state: "on_deck", clock: "idle" }).start_countdown, "ask");
  assert.deepEqual(guards({ state: "running" }), { recall: "ask", call_time: "ask", rerun: "reason", cancel: "ask" });
  // A false start is called back at once.
  assert.equal(guards({ state: "countdown" }).recall, "none");
  assert.equal(guards({ state: "signed", clock: "idle" }).reopen, "reason");
  assert.ok(mayHold(picture()));
  assert.ok(!mayHold(picture({ heat: { state: "held" } })));
});

test("steps are told to the feed in its own shape", () => {
  assert.equal(command("hold"), "hold");
  assert.deepEqual(command("rerun", { reason: "rig" }), { rerun: { reason: "rig" } });
  assert.deepEqual(command("rerun_lane", { reason: "rig", lane: 3 }), { rerun_lane: { lane: 3, reason: "rig" } });
  assert.deepEqual([nextHeat({ heat: 7, heats: [6, 7, 8] }), nextHeat({ heat: 8, heats: [6, 7, 8] })], [8, null]);
});

test("calls are steps from one count to the next", () => {
  const calls = new Calls();
  calls.hear({ type: "snapshot" }, picture());
  const delta = (at_ms, more) => calls.hear({ type: "delta", at_ms, ...more }, picture());
  delta(60_000, { lanes: [count(1, { done: 1, last_good_ms: 59_900 })] });
  delta(61_000, { lanes: [count(1, { done: 1, no_reps: 1 })], no_reps: [{ lane: 1, fault: "depth", partial: false, at_ms: 60_950 }] });
  delta(62_000, { lanes: [count(1, { done: 0, no_reps: 1 })] });
  delta(63_000, { lanes: [count(1, { done: 8 })], rulings: [{ lane: 1 }] });
  delta(64_000, { lanes: [count(1, { done: 10, last_good_ms: 63_990 })] });
  assert.deepEqual(
    calls.last(1).map(({ kind, units, fault, clockMs }) => [kind, units, fault, clockMs]),
    [["good", 1, "", 9_900], ["no_rep", 0, "depth", 10_950], ["back", 1, "", 12_000], ["ruled", 0, "", 13_000], ["good", 2, "", 13_990]],
  );
  assert.deepEqual(calls.faults(1), [["depth", 1]]);
  assert.deepEqual(calls.last(2), []);
});

test("a new picture of the same run keeps the calls, one of another run or heat does not", () => {
  const calls = new Calls();
  calls.hear({ type: "snapshot" }, picture());
  for (let done = 1; done <= KEPT + 2; done += 1) calls.hear({ type: "delta", at_ms: 0, lanes: [count(1, { done })] }, picture());
  assert.equal(calls.last(1).length, KEPT);
  calls.hear({ type: "snapshot" }, picture({ lanes: [count(1, { done: 40 })] }));
  assert.equal(calls.last(1).length, KEPT);
  calls.hear({ type: "delta", at_ms: 0, lanes: [count(1, { done: 41 })] }, picture());
  assert.equal(calls.last(1).at(-1).units, 1, "what was missed is no call");
  calls.hear({ type: "snapshot" }, picture({ lanes: [count(1, { run: 2 })] }));
  assert.deepEqual(calls.last(1), []);
});

test("what needs attention is what the feed says, the most pressing first", () => {
  const lanes = [count(1, { judge_on: false }), count(2, { status: "under_review", flagged: true }), count(3, { status: "empty", judge_on: false })];
  const found = (heat) => attention(picture({ heat, lanes, journal_ok: false })).map(({ what, lane }) => `${what} ${lane}`);
  assert.deepEqual(found({ clock_in_doubt: true }), ["journal null", "clock-doubt null", "judge-off 1", "under-review 2", "flagged 2"]);
  assert.deepEqual(found({ state: "signed", clock: "idle" }), ["journal null"]);
  assert.deepEqual(found({ state: "on_deck", clock: "idle", alone: 2 }), ["journal null", "under-review 2", "flagged 2"]);
});

test("a row has what the feed says of a lane, and its place within its division", () => {
  const order = [{ lane: 1, place: 2, division_place: 1, gap_units: 3, gap_ms: 4_200 }];
  const one = picture({ order, lanes: [count(1, { done: 45, score: 45, part: 1, part_done: 15 })], entries: [entry(1, { division: 1 })] });
  const [row] = rows(one);
  assert.deepEqual([row.place, row.gapUnits, row.gapMs, row.part.short_name, row.share, row.division], [2, 3, 4_200, "pull-up", 25, ""]);
  one.titles.divisions = ["Open", "Masters"];
  assert.deepEqual([rows(one)[0].place, rows(one)[0].division], [1, "Masters"]);
});

test("a count reads as its scoring has it", () => {
  const say = (id, { count, all }) => `${count} of ${all}`;
  const text = (course, more) => countText({ course, count: count(1, more) }, { say, mark: "." });
  assert.equal(text(sprint, { score: 87 }), "87 of 90");
  assert.equal(text(sprint, { score: 90, result: { text: "7:08.4" } }), "7:08.4");
  assert.equal(text(rounds, { score: 7 }), "7", "in the buy-in");
  assert.equal(text(rounds, { score: 47, round: 3, round_score: 7 }), "2 + 7");
  assert.equal(text({ ...rounds, scoring: "amrap_total" }, { score: 47, round: 3 }), "47");
  assert.equal(text(sprint, { status: "empty" }), "");
});

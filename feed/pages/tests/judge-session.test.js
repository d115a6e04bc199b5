import assert from "node:assert/strict";
import { test } from "node:test";

import { FeedClock } from "../common/clock.js";
import { apply } from "../common/picture.js";
import { phase } from "../judge/phase.js";
import { Session } from "../judge/session.js";
import { openStore, Store } from "../judge/store.js";

const part = (movement, amount) => ({ movement, amount, unit: "rep", step: 1, several_at_once: false, load: "", round: 0, faults: [] });
const course = { scoring: "for_time", parts: [part("Squat", 12)], units: 12, closing_blocks: 5, closing_step: 1, finish_call: false };
const count = (more = {}) => ({ lane: 3, run: 1, status: "racing", done: 0, score: 0, part: 0, part_done: 0, no_reps: 0, ...more });
const snapshot = (more = {}) => ({
  type: "snapshot", number: 1, at_ms: 0, journal_ok: true,
  titles: { heat: 7, heat_name: "Heat 7", workout: "W", divisions: ["Open"] },
  heat: { state: "running", run: 1, cap_ms: 600_000, clock: { running: { zero_at_ms: 0 } }, alone: null },
  courses: [course], entries: [{ lane: 2, course: 0, division: 0, name: "B" }, { lane: 3, course: 0, division: 0, name: "A" }],
  lanes: [count({ lane: 2 }), count()], order: [], ...more,
});

// A link that remembers what is said; `hear` feeds the session as the real one does.
function played({ saved = { calls: [], notes: {} }, role = "lane_judge", lane = 3, nowMs = 1000 } = {}) {
  const judge = { nowMs, wallMs: 5_000_000, said: [], told: [], kept: [], forgot: 0 };
  const store = { fault: null, keep: (what) => judge.kept.push(what) };
  judge.session = new Session({ identity: { role, lane, access_key: "k" }, store, saved, told: (what) => judge.told.push(what), wallMs: () => judge.wallMs });
  const clock = new FeedClock(() => judge.nowMs);
  judge.link = {
    clock, picture: null, state: "down",
    say: (message) => judge.link.state === "up" && judge.said.push(message) > 0,
    forgetClock: () => { judge.forgot += 1; clock.samples = []; },
  };
  judge.session.use(judge.link);
  judge.pass = (ms) => { judge.nowMs += ms; judge.wallMs += ms; };
  judge.hear = (message) => {
    if (message.type === "snapshot") judge.link.picture = message;
    if (message.type === "delta") judge.link.picture = apply(judge.link.picture, message);
    if (message.type === "clock") clock.hear(message, clock.pageUs());
    judge.session.hear(message);
  };
  judge.up = () => {
    judge.link.state = "up";
    judge.hear({ type: "up" });
    judge.hear({ type: "welcome", stream: "s", speed_milli: 1000 });
    judge.hear({ type: "clock", t1_us: clock.pageUs(), t2_us: clock.pageUs() + 10_000_000, t3_us: clock.pageUs() + 10_000_000 });
  };
  judge.down = () => { judge.link.state = "down"; judge.hear({ type: "down" }); };
  judge.tallies = () => judge.said.filter(({ type }) => type === "tally");
  judge.ack = ({ epoch, number }, why) => judge.hear({ type: "ack", of: { tally: { epoch, number } }, ...(why && { not_counted: { code: why, says: why } }) });
  return judge;
}

test("sixty calls of a minute without a link are shown at once and sent in order with the tapped times", () => {
  const judge = played();
  judge.up();
  judge.hear(snapshot({ courses: [{ ...course, units: 100, parts: [part("Squat", 100)] }] }));
  judge.down();
  for (let second = 0; second < 60; second += 1) {
    judge.pass(1000);
    assert.equal(judge.session.call("good"), true);
  }
  assert.equal(judge.session.now().done, 60);
  assert.equal(judge.tallies().length, 0);
  judge.up();
  const sent = [];
  // The feed answers; a batch at a time is on its way.
  for (let more = judge.tallies(); more.length > sent.length; more = judge.tallies()) for (const tally of more.slice(sent.length)) {
    sent.push(tally);
    judge.ack(tally);
  }
  assert.deepEqual(sent.map(({ number }) => number), Array.from({ length: 60 }, (_, index) => index + 1));
  assert.deepEqual(sent.map(({ stamp_ms }) => stamp_ms), Array.from({ length: 60 }, (_, index) => 2000 + index * 1000));
  assert.ok(sent.every(({ offset, heat, run, lane }) => offset.add_us === 10_000_000 && heat === 7 && run === 1 && lane === 3));
  assert.equal(judge.session.queue.waiting.length, 0);
  assert.equal(judge.session.now().done, 60, "until the count comes, the answers are believed");
});

test("a reload in the middle brings count and calls back", () => {
  const judge = played();
  judge.up();
  judge.hear(snapshot());
  judge.down();
  judge.session.call("good");
  judge.session.call("good");
  const notes = Object.assign({}, ...judge.kept.map(({ notes: some }) => some));
  const place = judge.session.ownPlace();
  const again = played({ saved: { calls: judge.session.queue.kept(), notes: { ...notes, place } }, nowMs: 10 });
  assert.equal(again.session.now().done, 2, "without any link");
  assert.equal(again.session.now().entry.name, "A");
  assert.equal(again.session.undoable(), null, "an earlier page's clock says nothing of how long ago that was");
  again.session.call("good");
  again.up();
  again.hear(snapshot());
  const [first, second, third] = again.tallies();
  assert.equal(first.epoch, second.epoch);
  assert.notEqual(third.epoch, first.epoch);
  assert.deepEqual(first.offset, judge.link.clock.best());
  assert.equal(again.session.now().done, 3);
});

test("a page that slept begins a new epoch and asks for the time again", () => {
  const judge = played();
  judge.up();
  judge.hear(snapshot());
  judge.session.call("good");
  judge.wallMs += 60_000;
  judge.session.call("good");
  assert.equal(judge.forgot, 1);
  const [first, second] = judge.session.queue.waiting;
  assert.notEqual(first.tally.epoch, second.tally.epoch);
  assert.equal(judge.tallies().length, 1, "the second waits for the clock");
  judge.hear({ type: "clock", t1_us: 0, t2_us: 70_000_000, t3_us: 70_000_000 });
  assert.equal(judge.tallies().length, 2);
  // A wall clock that is set back an hour is noticed too, and nothing is lost.
  judge.wallMs -= 3_600_000;
  judge.session.call("good");
  assert.equal(judge.session.now().done, 3);
});

test("another heat takes a new epoch and another lane's calls wait for that lane", () => {
  const judge = played();
  judge.up();
  judge.hear(snapshot());
  judge.session.call("good");
  judge.hear(snapshot({ titles: { ...snapshot().titles, heat: 8 } }));
  judge.session.call("good");
  const [old, fresh] = judge.tallies();
  assert.deepEqual([old.heat, fresh.heat, fresh.number], [7, 8, 1]);
  assert.notEqual(old.epoch, fresh.epoch);
  const elsewhere = played({ saved: { calls: judge.session.queue.kept(), notes: {} }, lane: 2 });
  assert.equal(elsewhere.session.elsewhere.length, 2);
  elsewhere.up();
  elsewhere.hear(snapshot());
  elsewhere.session.call("good");
  assert.deepEqual(elsewhere.tallies().map(({ lane }) => lane), [2]);
  assert.ok(judge.session.queue.kept().every(({ seq }) => seq < elsewhere.session.queue.waiting[0].seq), "nothing that is kept is written over");
});

test("what does not count or is refused is told, and what was refused is not lost", () => {
  const judge = played();
  judge.up();
  judge.hear(snapshot());
  for (let rep = 0; rep < 3; rep += 1) judge.session.call("good");
  const [first, second] = judge.tallies();
  judge.ack(first, "after_cap");
  assert.equal(judge.told[0].kind, "not-counted");
  judge.hear({ type: "refusal", of: { tally: { epoch: second.epoch, number: second.number } }, code: "unknown_heat", says: "No such heat." });
  assert.equal(judge.session.refused[0].tally.number, 2);
  assert.deepEqual(judge.told[1], { kind: "refused", code: "unknown_heat", says: "No such heat." });
  assert.equal(judge.session.now().done, 1);
  assert.equal(judge.tallies()[3].number, 1, "the third comes under a number of a new epoch");
});

test("a phone that stands by counts nothing, and one that took over does", () => {
  const judge = played();
  judge.link.state = "up";
  judge.hear({ type: "welcome", stream: "s", speed_milli: 1000, standing_by: true });
  judge.hear(snapshot());
  assert.equal(judge.session.call("good"), false);
  judge.hear({ type: "lane", lane: 3, holds: true });
  assert.equal(judge.told[0].kind, "took-over");
  assert.equal(judge.session.call("good"), true);
  judge.hear({ type: "lane", lane: 3, holds: false });
  assert.equal(judge.session.call("good"), false);
  assert.equal(judge.session.queue.waiting.length, 1, "what waits still drains");
});

test("a shadow judge counts alone", () => {
  const judge = played({ role: "shadow_judge" });
  judge.up();
  judge.hear(snapshot({ lanes: [count({ done: 9 })] }));
  assert.equal(judge.session.now().done, 0);
  judge.session.call("good");
  judge.session.call("good");
  for (const tally of judge.tallies()) judge.ack(tally);
  judge.hear({ type: "delta", number: 2, at_ms: 5, lanes: [count({ done: 12, status: "finished" })] });
  assert.deepEqual([judge.session.now().done, judge.session.now().view], [2, "count"]);
  judge.hear({ type: "delta", number: 3, at_ms: 6, lanes: [count({ run: 2 })] });
  assert.equal(judge.session.now().done, 0, "another run begins at nothing");
});

test("the face follows the heat", () => {
  const at = (heat, more = {}, { feedUs = 0, finished = false, start_ms = 0 } = {}) =>
    phase({ ...snapshot().heat, ...heat }, { entry: { lane: 3, start_ms }, count: count(more), course }, { feedUs, finished });
  const countdown = { state: "countdown", clock: { counting_down: { since_ms: 0, go_at_ms: 10_000, elapsed_ms: 0 } } };
  assert.equal(at({ state: "on_deck" }).view, "ready");
  assert.deepEqual([at(countdown).view, at(countdown).counts, at(countdown).countdownS], ["count", false, 10]);
  assert.equal(at(countdown, {}, { feedUs: 10_000_001 }).counts, true, "the feed's word for the start is still on its way");
  assert.deepEqual([at({}, {}, { feedUs: 5_000_000, start_ms: 30_000 }).untilMs, at({}, {}, { feedUs: 30_000_000, start_ms: 30_000 }).counts], [30_000, true]);
  assert.deepEqual([at({ state: "held", clock: { stopped: { elapsed_ms: 5 } } }).counts, at({ state: "held", clock: { stopped: { elapsed_ms: 5 } } }).held], [false, true]);
  assert.equal(at({}, {}, { finished: true }).view, "ended");
  assert.equal(at({}, { status: "finished" }).view, "count", "this phone has undone the last rep");
  assert.equal(at({}, { status: "did_not_finish" }).view, "ended");
  assert.equal(at({ state: "provisional" }).view, "ended");
  assert.equal(at({ alone: 5 }).view, "ended");
  assert.equal(at({}, { status: "empty" }).view, "empty");
  assert.equal(at({ state: "cancelled" }).view, "cancelled");
});

test("a page without storage says so, and so does a full one", async () => {
  const refused = await openStore({ open: () => { throw new Error("refused"); } });
  assert.equal(refused.fault, "refused");
  assert.deepEqual(await refused.load(), { calls: [], notes: {} });
  assert.equal(await refused.keep({ calls: [] }), false);
  const silent = await openStore({ open: () => ({}) }, 5);
  assert.equal(silent.fault, "refused");
  const full = new Store({ transaction: () => { throw new Error("full"); } });
  const faults = [];
  full.onFault = (fault) => faults.push(fault);
  await full.keep({ calls: [] });
  await full.keep({ calls: [] });
  assert.deepEqual(faults, ["full"], "said once");
});

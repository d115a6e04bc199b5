// What this phone shows as counted: the feed's count, and on top of it the calls that are not in it yet. Also the
// phone's own last calls, by which undo and "last was a no-rep" know what they take back. The feed decides; this is
// what it will most likely say, shown at once.

import { isDone, isOpenEnded, place, unitsOf } from "./course.js";
import { keyOf } from "./queue.js";
import { judgesAttempts, standing, triesOf, withCall } from "./tries.js";

// How long after a call its judge may take it back, milliseconds between the two stamps (the feed holds to the same).
export const UNDO_MS = 5000;
// Own calls that are remembered: more than anybody taps in the time of an undo.
const REMEMBERED = 64;
// An answered call whose count has not come is believed this long, milliseconds.
const BELIEVED_MS = 1000;

const REPS = ["good", "part-done", "finish"];
const NO_REPS = ["no-rep", "last-was-no-rep"];
// Undo takes none of these back.
const STANDING = ["undo", "declare-load", "manual-stop"];
// Reps after the lane's end are none: "last was a no-rep" looks past them.
const PASSED_OVER = ["past_end", "lane_ended"];

export class Counted {
  // `calls` are the own calls of an earlier page load, oldest first. Their stamps are of a clock that is gone: they are
  // too old for an undo.
  constructor(calls = []) {
    this.calls = calls.map((call) => ({ ...call, stamp_ms: -Infinity }));
    this.believed = [];
  }

  // What is expected of a call that is made at `done` units: the units before and after it, whether it will count
  // (`counts`), and the key of the call that it takes back.
  // `tries` is what the lane has tried, `at_ms` heat time of the call.
  expect({ call, amount, stamp_ms, heat, run, load_g }, { course, done, counts, tries = null, at_ms = null }) {
    const tried = tries ? { load_g, at_ms, was: standing(tries) } : {};
    const expected = { call, stamp_ms, heat, run, counts, from: done, after: done, takes: null, ...tried };
    if (!counts || call === "manual-stop") return expected;
    if (call === "undo") {
      const target = this.undoable(stamp_ms, { heat, run });
      return target ? { ...expected, takes: target.key, after: done - units(target) } : expected;
    }
    if (call === "last-was-no-rep") {
      const last = this.lastRep({ heat, run });
      if (!last) return { ...expected, after: done - stepBack(course, done) };
      return last.counts ? { ...expected, takes: last.key, after: done - units(last) } : expected;
    }
    return { ...expected, after: done + unitsOf(course, done, { call, amount }) };
  }

  // Remembers a call as it was numbered.
  remember({ tally, expected }) {
    const target = this.byKey(expected.takes);
    if (target) this.take(target, true);
    this.calls.push({ ...expected, key: keyOf(tally), taken: false });
    if (this.calls.length > REMEMBERED) this.calls.shift();
  }

  // Taking back a "last was a no-rep" gives its rep back.
  take(target, taken) {
    target.taken = taken;
    const given = target.call === "last-was-no-rep" && this.byKey(target.takes);
    if (given) given.taken = !taken;
  }

  // A call was answered: it counts, or it does not (`why` is the code). Its count may still be on its way.
  answered({ tally, expected }, why, nowMs) {
    if (!expected) return;
    if (!why) {
      this.believed.push({ ...expected, untilMs: nowMs + BELIEVED_MS });
      return;
    }
    const known = this.byKey(keyOf(tally));
    if (!known) return;
    const target = this.byKey(known.takes);
    if (target) this.take(target, false);
    Object.assign(known, { counts: false, after: known.from, takes: null, why });
  }

  // A count came from the feed: it has in it what was answered before.
  told() {
    this.believed = [];
  }

  // A call has another key from now on.
  rename(was, key) {
    for (const call of this.calls) {
      if (call.key === was) call.key = key;
      if (call.takes === was) call.takes = key;
    }
  }

  byKey(key) {
    return (key && this.calls.find((call) => call.key === key)) || null;
  }

  // The own call that an undo at `stamp_ms` takes back; null if there is none young enough.
  undoable(stamp_ms, of) {
    const call = this.latest(of, (one) => !one.taken && !STANDING.includes(one.call));
    const age = call && stamp_ms - call.stamp_ms;
    return call && age >= 0 && age <= UNDO_MS ? call : null;
  }

  // The own rep that "last was a no-rep" is about; null if none is known.
  lastRep(of) {
    return this.latest(of, (one) => REPS.includes(one.call) && !one.taken && !PASSED_OVER.includes(one.why));
  }

  latest({ heat, run }, fits) {
    const calls = this.calls.filter((call) => call.heat === heat && call.run === run && fits(call));
    return calls.length > 0 ? calls[calls.length - 1] : null;
  }

  // What to show: units along the course, whether the lane has finished, its no-reps. `told` is the feed's count of the
  // lane, `waiting` the calls without an answer, oldest first.
  shown(told, waiting, { course, heat, nowMs }) {
    this.believed = this.believed.filter((call) => call.untilMs > nowMs);
    const mine = (call) => call && call.counts && call.heat === heat && call.run === told.run;
    const unanswered = waiting.map((call) => call.expected).filter(mine);
    if (judgesAttempts(course)) return this.shownTries(told, [...this.believed.filter(mine), ...unanswered], course);
    let done = told.done;
    let finished = told.status === "finished";
    for (const { call, from, after } of [...this.believed.filter(mine), ...unanswered]) {
      // A call that the feed has counted already, its answer lost on the way, adds nothing again.
      if (after > from && done < after) done += after - from;
      if (after < from && done >= from) done -= from - after;
      if (call === "finish") finished = true;
      if (call === "undo" || call === "last-was-no-rep") finished = false;
    }
    if (!isOpenEnded(course) && !course.finish_call) finished = isDone(course, done);
    const noReps = unanswered.reduce((sum, call) => sum + this.noRepsOf(call), told.no_reps);
    return { done: Math.max(0, done), finished, noReps: Math.max(0, noReps) };
  }

  // The same where attempts are judged, with what was tried.
  shownTries(told, calls, course) {
    const tries = calls.reduce((before, call) => withCall(before, call, this.byKey(call.takes)), triesOf(told));
    const finished = tries.done >= course.units && tries.holdingMs === null;
    return { done: tries.done, finished, noReps: told.no_reps, tries };
  }

  noRepsOf({ call, takes }) {
    if (NO_REPS.includes(call)) return 1;
    const target = call === "undo" && this.byKey(takes);
    return target && NO_REPS.includes(target.call) ? -1 : 0;
  }
}

// Units that a call added; less than none if it took some back.
function units(call) {
  return call.counts ? call.after - call.from : 0;
}

// Where the last rep is not known, it was a step of the part that it lies in.
function stepBack(course, done) {
  if (done === 0) return 0;
  const { part, partDone } = place(course, done - 1);
  return part ? Math.min(part.step, partDone + 1) : 0;
}

// Where a number of units lies on a course, and what a judge may call there: the part under way, what comes after it,
// steps, faults, the last five. Works from the wire's course alone; what was really counted is the feed's to say.

import { addsTo, judgesAttempts } from "./tries.js";

// Steps that a judge may enter at once where the movement allows it; five and ten are what hands and monitors give.
const SEVERAL_STEPS = [5, 10];
// Parts that are told ahead: more cannot be read while counting.
const AHEAD = 1;

// Whether the work goes round without end until its window closes.
export function isOpenEnded(course) {
  return course.scoring === "amrap_rounds" || course.scoring === "amrap_total";
}

// Where `done` units lie: the part's index (the number of parts when all are done), units done and left of it, and
// whole rounds before the one under way in open-ended work.
export function place(course, done) {
  const { parts } = course;
  if (judgesAttempts(course)) return { index: 0, part: parts[0], partDone: done, left: Math.max(0, course.units - done), laps: 0 };
  const first = isOpenEnded(course) ? Math.max(0, parts.findIndex((part) => part.round > 0)) : parts.length;
  const amount = (from) => parts.slice(from).reduce((sum, part) => sum + part.amount, 0);
  const lap = amount(first);
  const before = amount(0) - lap;
  const laps = lap > 0 && done > before ? Math.floor((done - before) / lap) : 0;
  let left = done - laps * lap;
  let index = 0;
  while (index < parts.length && left >= parts[index].amount) {
    left -= parts[index].amount;
    index += 1;
  }
  const part = parts[index] || null;
  return { index, part, partDone: part ? left : 0, left: part ? part.amount - left : 0, laps };
}

// Whether all units of work with an end are done.
export function isDone(course, done) {
  return !isOpenEnded(course) && done >= course.units;
}

// Units that a call adds: a good call without an amount is one step, or what is left of the part.
export function unitsOf(course, done, { call, amount = 0 }) {
  if (judgesAttempts(course)) return addsTo({ call });
  const { part, left } = place(course, done);
  if (!part) return 0;
  if (call === "part-done") return left;
  if (call !== "good") return 0;
  return Math.min(amount || part.step, left);
}

// What may be called at `done` units: `good` is the units of one touch (0 where none is expected), `several` the larger
// amounts, `partDone` whether the whole rest may be entered, `finish` whether a finish call is expected, `faults` those
// of the movement.
export function offers(course, done) {
  const { part, left } = place(course, done);
  if (!part) return { good: 0, several: [], partDone: false, finish: course.finish_call, faults: [] };
  const step = Math.max(1, part.step);
  const amounts = part.several_at_once ? SEVERAL_STEPS.map((steps) => steps * step) : [];
  return {
    good: Math.min(step, left),
    several: amounts.filter((amount) => amount <= left),
    // A touch is the whole part then already.
    partDone: part.unit !== "rep" && left > step,
    finish: false,
    faults: part.faults,
  };
}

// What comes next: the part under way with its round, and the parts after it.
export function ahead(course, done) {
  const at = place(course, done);
  const { parts } = course;
  const first = isOpenEnded(course) ? Math.max(0, parts.findIndex((part) => part.round > 0)) : 0;
  const then = [];
  for (let index = at.index + 1; then.length < AHEAD; index += 1) {
    if (index >= parts.length && !isOpenEnded(course)) break;
    const next = parts[index] || parts[first + ((index - parts.length) % (parts.length - first))];
    then.push(next);
  }
  const rounds = isOpenEnded(course) ? 0 : Math.max(0, ...parts.map((part) => part.round));
  const round = at.part && at.part.round > 0 ? at.part.round + at.laps : 0;
  return { ...at, then, round, rounds };
}

// Units left when `done` lies in the closing blocks of the course (the last five), 0 between the last unit and a finish
// call, and null before them. `told` is the lane's count as the feed last told it: where every part has a mark of its
// own, only the feed knows.
export function toGo(course, done, told = null) {
  const { index, part, left } = place(course, done);
  if (course.closing_blocks > 0) {
    if (!part) return course.finish_call ? 0 : null;
    const marked = course.closing_blocks * course.closing_step;
    if (index === course.parts.length - 1 && left <= marked) return left;
  }
  const known = told && told.to_go != null && told.part === index && told.to_go === told_left(course, told);
  return known && part && left <= told.to_go ? left : null;
}

function told_left(course, told) {
  const part = course.parts[told.part];
  return part ? part.amount - told.part_done : 0;
}

// The five blocks: how many there are and how many are done, inside the last five.
export function blocks(course, left) {
  const many = course.closing_blocks || 5;
  const each = course.closing_step || 1;
  return { many, done: Math.max(0, many - Math.ceil(left / each)) };
}

// Whether the lane is near a finish that can be stopped by hand: in its last part, or before its finish call.
export function mayStop(course, done) {
  return !isOpenEnded(course) && place(course, done).index >= course.parts.length - 1;
}

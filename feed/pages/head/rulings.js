// Rulings as the head judge puts them together: which ones fit a lane now, what was typed as the feed is told it, and what
// each changes beside what stands. What comes of it is the feed's to work out; here stands only what is ruled.

import { typedLoad } from "../common/loads.js";
import { lane as laneOf } from "../common/picture.js";
import { doneAt, isOpenEnded, judgesAttempts, placeOf } from "./course.js";
import { hasStarted } from "./steps.js";
import { timeMs, whole } from "./typed.js";

// All kinds, with the fields that each asks for.
export const FIELDS = {
  add_units: ["way", "units"],
  set_count: ["place", "finish"],
  from_paper: ["place", "finish", "initials"],
  move_finish: ["time"],
  time_penalty: ["way", "time"],
  unit_penalty: ["way", "units"],
  credit: ["way", "time"],
  set_best_load: ["load"],
  set_held: ["time"],
  status: ["status"],
  review: ["minutes"],
  note_stop: ["time"],
  move_athlete: ["to"],
};

export const STATUSES = ["under_review", "did_not_finish", "did_not_start", "disqualified", "reinstated"];

// Longest time for a review, minutes: a day, as the feed takes it.
const LONGEST_REVIEW_MIN = 1440;

// Statuses that a ruling gave, and that reinstating takes back.
const RULED_OUT = ["under_review", "did_not_finish", "did_not_start", "disqualified"];

// Whether a lane's own clock has run. While another lane runs again alone, this one's has.
function laneStarted({ heat }, number) {
  return hasStarted(heat) || (heat.alone != null && heat.alone !== number);
}

export function emptyLanes(picture) {
  return picture.lanes.filter((count) => count.status === "empty").map((count) => count.lane);
}

// The kinds that fit a lane now; none on a heat that is signed or was cancelled.
export function kinds(picture, number) {
  const { count, course } = laneOf(picture, number);
  if (!count || !course || count.status === "empty") return [];
  if (["signed", "cancelled"].includes(picture.heat.state)) return [];
  const started = laneStarted(picture, number);
  // Where attempts are judged there are no units, and no finish.
  const counted = !judgesAttempts(course);
  const work = started && counted;
  const fits = {
    add_units: work,
    set_count: work,
    from_paper: work,
    move_finish: work && hasFinish(count, course),
    time_penalty: !isOpenEnded(course),
    unit_penalty: counted,
    credit: started,
    set_best_load: started && course.scoring === "heaviest_lift",
    set_held: started && course.scoring === "longest_hold",
    status: true,
    review: true,
    note_stop: work && !isOpenEnded(course),
    move_athlete: emptyLanes(picture).length > 0,
  };
  return Object.keys(FIELDS).filter((kind) => fits[kind]);
}

function hasFinish(count, course) {
  return !isOpenEnded(course) && count.result != null && count.result.official_ms != null && count.status !== "capped";
}

// A ruling from what was typed: `{ problem }`, or `{ wire, change }`; `change` says what is ruled beside what stands:
//   { what: "count", from, to, finishMs }   units along the course
//   { what: "finish" | "penalty" | "credit", from, to, official: { from, to } }   milliseconds; `official` where it can be told
//   { what: "load" | "held", from, to }   grams; milliseconds
//   { what: "stop", from, to }   { what: "review", from, to } (minutes)
//   { what: "score", from, to }   { what: "status", from, to }   { what: "lane", from, to }
// `from` is null where the feed does not tell it.
export function draft(picture, number, kind, typed) {
  const lane = laneOf(picture, number);
  switch (kind) {
    case "add_units":
      return addUnits(lane, typed);
    case "set_count":
    case "from_paper":
      return setCount(lane, kind, typed);
    case "move_finish":
      return moveFinish(lane, typed);
    case "time_penalty":
      return timePenalty(picture, lane, typed);
    case "unit_penalty":
      return unitPenalty(lane, typed);
    case "credit":
      return credit(picture, lane, typed);
    case "set_best_load":
      return bestLoad(lane, typed);
    case "set_held":
      return held(lane, typed);
    case "status":
      return status(lane, typed);
    case "review":
      return review(lane, typed);
    case "note_stop":
      return noteStop(lane, typed);
    case "move_athlete":
      return moveAthlete(picture, number, typed);
    default:
      return { problem: "no-kind" };
  }
}

function addUnits({ count, course }, { units, less }) {
  const add = whole(units);
  if (!add) return { problem: "no-units" };
  const to = count.done + (less ? -add : add);
  if (to < 0 || (!isOpenEnded(course) && to > course.units)) return { problem: "beyond-course" };
  if (needsFinish(course, to)) return { problem: "add-reaches-end" };
  return { wire: { add_units: { add: less ? -add : add } }, change: { what: "count", from: count.done, to, finishMs: null } };
}

function needsFinish(course, done) {
  return !isOpenEnded(course) && !course.finish_call && done === course.units;
}

// Whether the form has to ask for the time of a finish: the whole course is typed.
export function asksFinish({ course }, typed) {
  const done = doneOf(course, typed);
  return !isOpenEnded(course) && done === course.units;
}

function doneOf(course, { round, part, done: partDone }) {
  const index = whole(part);
  const units = whole(partDone);
  const rounds = course.parts[index] && isOpenEnded(course) && course.parts[index].round > 0 ? whole(round) : 1;
  if (index === null || units === null || !rounds || !course.parts[index] || units > course.parts[index].amount) return null;
  return doneAt(course, { round: rounds, part: index, partDone: units });
}

function setCount({ count, course }, kind, typed) {
  const done = doneOf(course, typed);
  if (done === null) return { problem: "no-count" };
  if (!asksFinish({ course }, typed)) {
    return { wire: { [kind]: { done } }, change: { what: "count", from: count.done, to: done, finishMs: null } };
  }
  const finishMs = typed.finish.trim() === "" ? null : timeMs(typed.finish);
  if (finishMs === null && (needsFinish(course, done) || typed.finish.trim() !== "")) return { problem: "no-finish" };
  const wire = { [kind]: finishMs === null ? { done } : { done, finish_ms: finishMs } };
  return { wire, change: { what: "count", from: count.done, to: done, finishMs } };
}

// The finish as a ruling gives it: penalties are out of it, and credits not taken yet.
function finishOf(count) {
  const { official_ms, penalty_ms, credit_ms } = count.result;
  return official_ms - (penalty_ms || 0) + (credit_ms || 0);
}

function moveFinish({ count }, { time }) {
  const to = timeMs(time);
  if (to === null) return { problem: "no-time" };
  return { wire: { move_finish: { elapsed_ms: to } }, change: { what: "finish", from: finishOf(count), to, official: null } };
}

function timePenalty(picture, { count }, { time, less }) {
  const ms = timeMs(time);
  if (!ms) return { problem: "no-time" };
  const add = less ? -ms : ms;
  const from = count.result ? count.result.penalty_ms || 0 : null;
  const change = { what: "penalty", from, to: from === null ? add : from + add, official: official(picture, count, add) };
  return { wire: { time_penalty: { add_ms: add } }, change };
}

// The official time with so much added, where that can be told without cutting anew.
function official(picture, count, add) {
  const from = count.result && count.result.official_ms;
  if (from == null || count.status !== "finished") return null;
  if (add % picture.heat.resolution_ms !== 0 || from + add < 0) return null;
  return { from, to: from + add };
}

function unitPenalty({ count }, { units, less }) {
  const take = whole(units);
  if (!take) return { problem: "no-units" };
  const to = less ? count.score + take : Math.max(0, count.score - take);
  return { wire: { unit_penalty: { take: less ? -take : take } }, change: { what: "score", from: count.score, to } };
}

function credit(picture, { count }, { time, less }) {
  const ms = timeMs(time);
  if (!ms) return { problem: "no-time" };
  const from = count.credit_ms || 0;
  const add = less ? -ms : ms;
  if (from + add < 0) return { problem: "credit-below-nothing" };
  return { wire: { credit: { credit_ms: add } }, change: { what: "credit", from, to: from + add, official: official(picture, count, -add) } };
}

// 0 takes the best away.
function bestLoad({ count, course }, { load }) {
  const to = /^0+$/.test(load.trim()) ? 0 : typedLoad(load, course.load_unit || "kg");
  if (to === null) return { problem: "no-load" };
  return { wire: { set_best_load: { load_g: to } }, change: { what: "load", from: count.score, to } };
}

function held({ count }, { time }) {
  const to = timeMs(time);
  if (to === null) return { problem: "no-time" };
  return { wire: { set_held: { held_ms: to } }, change: { what: "held", from: count.score, to } };
}

function status({ count }, { status: to }) {
  if (!STATUSES.includes(to)) return { problem: "no-status" };
  if (to === count.status || (to === "reinstated" && !RULED_OUT.includes(count.status))) return { problem: "same-status" };
  return { wire: { status: { status: to } }, change: { what: "status", from: count.status, to } };
}

function review({ count }, { minutes }) {
  const within = whole(minutes);
  if (!within || within > LONGEST_REVIEW_MIN) return { problem: "no-minutes" };
  return { wire: { review: { within_min: within } }, change: { what: "review", from: count.status, to: within } };
}

function noteStop({ count }, { time }) {
  const to = timeMs(time);
  if (to === null) return { problem: "no-time" };
  const from = count.stop_ms == null ? null : count.stop_ms;
  return { wire: { note_stop: { elapsed_ms: to } }, change: { what: "stop", from, to, official: null } };
}

function moveAthlete(picture, number, { to }) {
  const lane = whole(to);
  if (!emptyLanes(picture).includes(lane)) return { problem: "no-lane" };
  return { wire: { move_athlete: { to: lane } }, change: { what: "lane", from: number, to: lane } };
}

// Where the form for a count begins: at the lane's own place.
export function placeTyped({ count, course }) {
  const { round, part, partDone } = placeOf(course, count.done);
  const last = course.parts.length - 1;
  const [at, units] = part > last ? [last, course.parts[last].amount] : [part, partDone];
  return { round: String(Math.max(1, round)), part: String(at), done: String(units) };
}

// What is ruled, in words: one line, with what stands before the arrow and what is to stand after it.

import { loadText } from "../common/loads.js";
import { isOpenEnded, placeOf, scoresByUnit } from "./course.js";
import { bestText, partText } from "./rows.js";
import { timeText } from "./typed.js";

// A change of `rulings` for a lane's course and count, as a line: `87 of 90 → 88 of 90 (pull-up 13 of 15)`.
export function changeText(change, { count, course }, words) {
  const say = (id, values) => words.say(id, values);
  const time = (ms) => timeText(ms, words.mark);
  switch (change.what) {
    case "count": {
      const finish = change.finishMs === null ? "" : say("change-finish", { time: time(change.finishMs) });
      return `${countChange(change, count, course, say)}${finish}`;
    }
    case "finish":
      return say("change-from-to", { from: time(change.from), to: time(change.to) }) + said(" · ", finishRest(count, say));
    case "penalty":
    case "credit":
    case "stop":
      return spanChange(change, say, time);
    case "load":
    case "held": {
      const best = (score) => bestText(course, score, words);
      return say("change-from-to", { from: best(change.from), to: best(change.to) });
    }
    case "score":
      return say("change-from-to", { from: say("units", { count: change.from }), to: say("units", { count: change.to }) });
    case "status":
      return say("change-from-to", { from: say(`status-${change.from}`), to: say(`status-${change.to}`) });
    case "review":
      return say("change-review", { from: say(`status-${change.from}`), minutes: change.to });
    case "lane":
      return say("change-from-to", { from: say("lane", { lane: change.from }), to: say("lane", { lane: change.to }) });
    default:
      return "";
  }
}

function countChange({ from, to }, count, course, say) {
  const places = say("change-from-to", { from: placeText(course, from, say), to: placeText(course, to, say) });
  // Units are the score only where every unit scores one and no penalty is in it.
  if (!scoresByUnit(course) || count.score !== from) return places;
  const score = (units) => (isOpenEnded(course) ? roundsText(course, units, say) : say("count-of", { count: units, all: course.score_units }));
  return `${say("change-from-to", { from: score(from), to: score(to) })} (${places})`;
}

function roundsText(course, units, say) {
  const { round, part, partDone } = placeOf(course, units);
  if (course.scoring !== "amrap_rounds" || round === 0) return say("units", { count: units });
  const first = course.parts.findIndex((one) => one.round > 0);
  const before = course.parts.slice(first, part).reduce((sum, one) => sum + one.amount, 0);
  return `${round - 1} + ${before + partDone}`;
}

// A place on the course: `round 2, pull-up 12 of 15`.
export function placeText(course, done, say) {
  const { round, part, partDone } = placeOf(course, done);
  const at = course.parts[part];
  if (!at) return say("course-end");
  const number = isOpenEnded(course) ? round : at.round;
  const text = partText(at, partDone, say);
  return number > 0 ? say("place-round", { round: number, part: text }) : text;
}

function spanChange({ what, from, to, official }, say, time) {
  const span = (ms) => (ms < 0 ? `−${time(-ms)}` : time(ms));
  const spans = from === null ? say(`change-${what}-to`, { to: span(to) }) : say(`change-${what}`, { from: span(from), to: span(to) });
  return official ? `${say("change-from-to", { from: time(official.from), to: time(official.to) })} (${spans})` : spans;
}

// What comes on top of a finish that is moved.
function finishRest({ result }, say) {
  return result.penalty_ms || result.credit_ms ? say("change-on-top") : "";
}

function said(before, text) {
  return text ? before + text : "";
}

// A command on its way, in words: `Hold`, or `Lane 4: 1 unit added`. `loadUnit` is that of the heat on the floor.
export function commandText({ type, heat, lane, command, kind, to }, words, loadUnit = "kg") {
  if (type === "hand_over") return words.say("lane-did", { lane, what: words.say("did-hand-over", { to }) });
  if (type === "confirm") return words.say("lane-did", { lane, what: words.say("did-confirm") });
  const [name, values] = typeof (command || kind) === "string" ? [command] : Object.entries(command || kind)[0];
  if (type === "floor" && name === "set_lanes") return words.say("did-set-lanes", { lanes: values.lanes.map(({ lane }) => lane).join(", "), reason: values.reason });
  if (type === "floor") return words.say(`did-${name}`, { heat, ...values });
  return words.say("lane-did", { lane, what: ruledText(name, values, words, loadUnit) });
}

function ruledText(name, values, words, loadUnit) {
  const say = (id, more) => words.say(id, more);
  const sided = (id, value, more) => say(value < 0 ? `${id}-less` : id, more);
  const time = (ms) => timeText(Math.abs(ms), words.mark);
  switch (name) {
    case "add_units":
      return sided("ruled-add_units", values.add, { count: Math.abs(values.add) });
    case "unit_penalty":
      return sided("ruled-unit_penalty", values.take, { count: Math.abs(values.take) });
    case "time_penalty":
      return sided("ruled-time_penalty", values.add_ms, { time: time(values.add_ms) });
    case "credit":
      return sided("ruled-credit", values.credit_ms, { time: time(values.credit_ms) });
    case "set_count":
    case "from_paper": {
      const finish = values.finish_ms == null ? "" : say("change-finish", { time: time(values.finish_ms) });
      return say(`ruled-${name}`, { count: values.done }) + finish;
    }
    case "move_finish":
      return say("ruled-move_finish", { time: time(values.elapsed_ms) });
    case "set_best_load":
      return say("ruled-set_best_load", { load: loadText(values.load_g, loadUnit, words.mark) });
    case "set_held":
      return say("ruled-set_held", { time: time(values.held_ms) });
    case "status":
      return say(`status-${values.status}`);
    case "review":
      return say("ruled-review", { minutes: values.within_min });
    case "note_stop":
      return say("ruled-note_stop", { time: time(values.elapsed_ms) });
    default:
      return say("ruled-move_athlete", { to: values.to });
  }
}

// Words that are asked for by the wire's names: those have underscores where messages have dashes.
export function speaking(words) {
  return { say: (id, values) => words.say(id.replace(/_/g, "-"), values), mark: words.mark, language: words.language };
}

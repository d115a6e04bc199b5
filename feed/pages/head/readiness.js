// Whether the lanes are fit for a start: each with a judge whose phone is on the line, charged, and well linked. Named
// before the countdown, and once more by the question that starts it.

import { isLow } from "./phones.js";

// A round trip as long as this leaves a call's time uncertain by a quarter of a second, microseconds.
const POOR_DELAY_US = 500_000;

function isPoor({ delay_us: delay }) {
  return delay != null && delay > POOR_DELAY_US;
}

// Whether the heat is before its start, so that this is the time to look.
export function isBeforeStart({ heat }) {
  return ["lanes_set", "on_deck"].includes(heat.state);
}

// Lanes that are to start: all with an athlete, or the one that runs again alone.
export function starters({ heat, lanes }) {
  return lanes.filter(({ lane, status }) => status !== "empty" && (heat.alone == null || heat.alone === lane));
}

// What is missing, `[{ what, lanes }]`: "judge" without a phone on the line, "charge" for a low one, "link" for a poor one.
export function missing(picture, phones) {
  const taken = starters(picture);
  const holds = ({ lane }) => phones.find((phone) => phone.lane === lane && phone.holds && !phone.shadow && phone.on_line);
  const lanes = (holds) => taken.filter(holds).map(({ lane }) => lane);
  const of = (is) => (count) => Boolean(count.judge_on && holds(count) && is(holds(count)));
  const found = [
    { what: "judge", lanes: lanes(({ judge_on: on }) => !on) },
    { what: "charge", lanes: lanes(of(isLow)) },
    { what: "link", lanes: lanes(of(isPoor)) },
  ];
  return found.filter(({ lanes: some }) => some.length > 0);
}

// The line that says so: `No judge on the line: lanes 8, 10 · low phone: lane 5`.
export function readinessText(found, count, words) {
  if (found.length === 0) return words.say("ready-all", { count });
  return found.map(({ what, lanes }) => words.say(`missing-${what}`, { count: lanes.length, lanes: lanes.join(", ") })).join(" · ");
}

// How amounts, parts and answers read in the page's language. Names of movements, loads and faults are the
// competition's own.

import { tenths } from "../common/time.js";

const UNITS = { metre: "m", calorie: "cal", second_held: "s", kilogram: "kg" };

// `500 m`, or `15` for repetitions.
export function amount(value, unit) {
  return UNITS[unit] ? `${value} ${UNITS[unit]}` : String(value);
}

// `15 Front squat`.
export function partName(part) {
  return `${amount(part.amount, part.unit)} ${part.movement}`;
}

// Why something does not count or was refused: in the page's words where it knows the code, else the feed's.
export function why(words, { code, says }) {
  const id = `why-${String(code).replace(/_/g, "-")}`;
  const said = words.say(id);
  return said === id ? says : said;
}

// The movements of a course in their order, each once for every load, with the amounts of its turns: the brief. `faults`
// and standards are the movement's.
export function brief(course) {
  const groups = [];
  for (const part of course.parts) {
    const known = groups.find((group) => group.movement === part.movement && group.load === part.load);
    const group = known || { movement: part.movement, load: part.load, unit: part.unit, amounts: [], part };
    group.amounts.push(part.amount);
    if (!known) groups.push(group);
  }
  // Equal rounds are told once.
  return groups.map((group) => ({ ...group, turns: group.amounts.length, alike: group.amounts.every((one) => one === group.amounts[0]) }));
}

// `15-12-9`, `3 × 20`, `500 m`.
export function amountsOf({ amounts, unit, turns, alike }) {
  if (turns === 1) return amount(amounts[0], unit);
  if (alike) return `${turns} × ${amount(amounts[0], unit)}`;
  return amount(amounts.join("-"), unit);
}

// What the target for a stop by hand says: what it does, or the time that it has taken down.
export function stopText({ stop_ms: stop }, words) {
  return stop == null ? words.say("stop") : words.say("stopped", { time: tenths(Math.floor(stop / 100), words.mark) });
}

// What the target says where attempts or holds are judged, and what touching it calls.

import { loadText, figures } from "../common/loads.js";
import { seconds, tenths } from "../common/time.js";
import { isLift } from "./tries.js";

// The call of a touch on the large target, as `{ call, loadG }`; null while a load has to be declared first.
export function goodCall({ course, tries }) {
  if (!isLift(course)) return { call: tries.holdingMs === null ? "hold-start" : "hold-stop", loadG: null };
  return tries.declaredG === null ? null : { call: "attempt-good", loadG: tries.declaredG };
}

// The same for what did not succeed; null where nothing can fail.
export function failedCall({ course, tries }) {
  return isLift(course) && tries.declaredG !== null ? { call: "attempt-failed", loadG: tries.declaredG } : null;
}

// The best so far in words.
export function bestText({ course, tries }, words) {
  if (tries.best === 0) return words.say(isLift(course) ? "no-best-load" : "no-best-hold");
  const best = isLift(course) ? loadText(tries.best, course.load_unit, words.mark) : tenths(Math.floor(tries.best / 100), words.mark);
  return words.say("best", { best });
}

// What stands in the target: `{ number, of, then, raise }`. `elapsedMs` is heat time now, null if it is not known.
export function attemptLines(now, words, elapsedMs) {
  const { course, tries } = now;
  const { movement, load } = course.parts[0];
  const name = [movement, load].filter(Boolean).join(" · ");
  if (now.countdownS !== null || now.untilMs !== null || !(now.counts || now.held)) {
    const ownStart = now.untilMs !== null;
    const number = now.countdownS !== null ? String(now.countdownS) : ownStart ? seconds(now.untilMs / 100) : "–";
    return { number, of: words.say(ownStart ? "own-start" : "until-start"), then: name, raise: "" };
  }
  const lift = isLift(course);
  const number = Math.min(tries.done + (!lift && tries.holdingMs !== null ? 0 : 1), course.units);
  const turn = words.say(`${lift ? "attempt" : "hold"}-number${course.attempts ? "-of" : ""}`, { number, all: course.attempts || 0 });
  const then = [turn, bestText(now, words)].join(" · ");
  if (lift) {
    const declared = tries.declaredG !== null;
    const raise = now.held ? words.say("held") : declared ? words.say("touch-good") : words.say("load-first");
    return { number: declared ? figures(tries.declaredG, course.load_unit, words.mark) : "–", of: `${course.load_unit} · ${name}`, then, raise };
  }
  const heldMs = tries.holdingMs === null || elapsedMs === null ? 0 : Math.max(0, elapsedMs - tries.holdingMs);
  const raise = now.held ? words.say("held") : words.say(tries.holdingMs === null ? "touch-start" : "touch-stop");
  return { number: tenths(Math.floor(heldMs / 100), words.mark), of: name, then, raise };
}

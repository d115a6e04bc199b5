// What a lane has tried, where attempts with a load or holds are judged: the feed's word for it, and what one call more
// makes of it. The feed decides; this is what it will most likely say.

const ATTEMPTS = ["attempt-good", "attempt-failed"];

// Whether attempts or holds are judged on a course, and no units are counted.
export function judgesAttempts(course) {
  return isLift(course) || course.scoring === "longest_hold";
}

export function isLift(course) {
  return course.scoring === "heaviest_lift";
}

// The feed's count of a lane as `{ done, best, declaredG, attempts, holdingMs }`: attempts judged or holds begun, the best
// in grams or milliseconds, the load declared next, the latest attempts, and heat time at which a hold began.
export function triesOf({ done, score, tries }) {
  const { declared_g: declaredG = null, attempts = [], holding_ms: holdingMs = null } = tries || {};
  return { done, best: score, declaredG, attempts, holdingMs };
}

// Attempts that a call adds.
export function addsTo({ call }) {
  return ATTEMPTS.includes(call) || call === "hold-start" ? 1 : 0;
}

// What is tried after a call: `load_g` is its load, `at_ms` its heat time, `after` how many attempts it was to make, and
// `was` what stood before it. `target` is the call that an undo takes back.
export function withCall(tries, { call, load_g: loadG, at_ms: atMs, after, from }, target = null) {
  if (addsTo({ call }) > 0 && tries.done >= after) return tries;
  switch (call) {
    case "declare-load":
      return { ...tries, declaredG: loadG };
    case "attempt-good":
    case "attempt-failed": {
      const good = call === "attempt-good";
      const attempts = [...tries.attempts, { load_g: loadG, good }];
      return { ...tries, attempts, done: tries.done + 1, declaredG: null, best: good ? Math.max(tries.best, loadG) : tries.best };
    }
    case "hold-start":
      return { ...tries, done: tries.done + 1, holdingMs: atMs };
    case "hold-stop":
      if (tries.holdingMs === null) return tries;
      return { ...tries, holdingMs: null, best: Math.max(tries.best, atMs - tries.holdingMs) };
    case "undo":
      return target && target.was ? without(tries, target, from) : tries;
    default:
      return tries;
  }
}

function without(tries, target, from) {
  const adds = addsTo(target);
  // The feed has taken it back already.
  if (adds > 0 ? tries.done < from : tries.holdingMs !== null) return tries;
  const attempts = ATTEMPTS.includes(target.call) ? tries.attempts.slice(0, -1) : tries.attempts;
  return { ...tries, ...target.was, attempts, done: tries.done - adds };
}

// What stands before a call, for an undo to bring back.
export function standing({ best, declaredG, holdingMs }) {
  return { best, declaredG, holdingMs };
}

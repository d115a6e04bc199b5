// Which of its faces a judge's page shows, and whether a call made now will count: from the state of the heat, the lane
// and the page's idea of feed time.

// `view` is one of: "empty" (nobody stands on the lane), "ready" (before the countdown), "count", "ended", "cancelled";
// `counts` says whether a good call made now will count; `countdownS` is set before the start, `untilMs` is heat time
// at which a lane with a start of its own begins, while it has not.
export function phase(heat, { entry, count, course }, { feedUs = null, finished = false } = {}) {
  const at = { view: "count", counts: false, held: heat.state === "held", countdownS: null, untilMs: null };
  if (!entry || !count || !course || count.status === "empty") return { ...at, view: "empty" };
  if (heat.state === "cancelled") return { ...at, view: "cancelled" };
  const stands = heat.alone != null && heat.alone !== entry.lane;
  if (stands || hasEnded(heat, count, finished)) return { ...at, view: "ended" };
  if (heat.state === "lanes_set" || heat.state === "on_deck") return { ...at, view: "ready" };
  const elapsedMs = elapsed(heat.clock, feedUs);
  if (heat.state === "countdown" && !(elapsedMs >= 0)) {
    return { ...at, countdownS: elapsedMs === null ? null : Math.ceil(-elapsedMs / 1000) };
  }
  const startMs = entry.start_ms || 0;
  if (elapsedMs !== null && elapsedMs < startMs) return { ...at, untilMs: startMs };
  return { ...at, counts: !at.held };
}

// Milliseconds since the start, or since the going on after a hold (below 0 before); null where feed time is not known
// and the clock does not stand.
export function elapsed(clock, feedUs) {
  if (clock.stopped) return clock.stopped.elapsed_ms;
  if (feedUs === null) return null;
  if (clock.running) return feedUs / 1000 - clock.running.zero_at_ms;
  if (!clock.counting_down) return null;
  const { go_at_ms, elapsed_ms } = clock.counting_down;
  const since = feedUs / 1000 - go_at_ms;
  return since < 0 ? since : since + elapsed_ms;
}

function hasEnded(heat, count, finished) {
  if (["time_called", "provisional", "signed"].includes(heat.state)) return true;
  // The feed says finished until it has heard of an undo; this phone knows of it already.
  if (count.status === "finished" || count.status === "racing") return finished;
  return count.status !== "under_review";
}

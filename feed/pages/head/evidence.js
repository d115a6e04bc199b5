// What stands beside a lane's result and decides nothing: the time of a stop by hand, and a review's deadline.

import { timeText } from "./typed.js";

// A stop by hand with how far it lies from the finish: `stopped by hand 7:08.3 (−0.1 s)`; empty without one. Penalties are
// out of both.
export function stopBeside({ status, result, stop_ms: stop }, words) {
  if (stop == null) return "";
  const time = timeText(stop, words.mark);
  if (status !== "finished" || !result || result.official_ms == null) return words.say("stop-alone", { time });
  const apart = stop - (result.official_ms - (result.penalty_ms || 0));
  const seconds = timeText(Math.abs(apart), words.mark).replace(/^0:0?/, "");
  const sign = apart < 0 ? "−" : apart > 0 ? "+" : "±";
  return words.say("stop-beside", { time, apart: `${sign}${seconds}` });
}

// Milliseconds left of a review at a moment of feed time, less than none once it is overdue; null without a deadline.
export function reviewLeft({ status, review_until_ms: until }, feedMs) {
  return status === "under_review" && until != null && feedMs !== null ? until - feedMs : null;
}

// The deadline in words: `review: 4:12 left`, to whole seconds, or `review overdue`.
export function reviewText(leftMs, words) {
  if (leftMs <= 0) return words.say("review-late");
  const seconds = Math.ceil(leftMs / 1000);
  return words.say("review-left", { time: `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}` });
}

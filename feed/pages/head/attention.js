// What on the floor needs the head judge's eyes, the most pressing first. Only what the feed tells: a page takes no lane
// for slow or fast by itself.

import { reviewLeft } from "./evidence.js";

// States in which calls may come.
const JUDGED = ["on_deck", "countdown", "running", "held", "time_called"];

// Whether a lane's judge has to be on the line. While one lane runs again alone, the others' may be gone.
export function needsJudge({ heat }, { lane, status }) {
  return status !== "empty" && JUDGED.includes(heat.state) && (heat.alone == null || heat.alone === lane);
}

// `[{ what, lane }]`; `lane` is null for what concerns the whole heat. `what` names the words for it.
export function attention(picture, feedMs = null) {
  const { heat, lanes, entries, journal_ok, initials } = picture;
  const taken = lanes.filter((count) => count.status !== "empty");
  const found = [];
  const lane = (what, counts) => found.push(...counts.map((count) => ({ what, lane: count.lane })));
  if (journal_ok === false) found.push({ what: "journal", lane: null });
  if (heat.clock_in_doubt) found.push({ what: "clock-doubt", lane: null });
  lane("judge-off", taken.filter((count) => !count.judge_on && needsJudge(picture, count)));
  if (heat.state !== "signed") {
    const late = (count) => reviewLeft(count, feedMs) !== null && reviewLeft(count, feedMs) <= 0;
    lane("review-late", taken.filter(late));
    lane("under-review", taken.filter((count) => count.status === "under_review" && !late(count)));
    lane("flagged", taken.filter((count) => count.flagged));
  }
  // Initials are missed where the event wants them, once the first lanes have theirs.
  const results = taken.filter((count) => count.result && count.status !== "did_not_start");
  if (initials !== false && heat.state === "provisional" && results.some((count) => count.confirmed)) lane("initials", results.filter((count) => !count.confirmed));
  return found.filter(({ lane: number }) => number === null || entries.some((entry) => entry.lane === number));
}

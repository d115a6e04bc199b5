// What the feed flags on lanes, in words: reps faster than a human can do, a lane that has gone quiet, calls that came late,
// and a phone that is off the line or whose clock is not known well. A flag changes nothing and says where to look.

import { follow, write } from "../common/dom.js";
import { element, setHidden } from "./dom.js";
import { timeText } from "./typed.js";

// Rests are normal: a quiet lane is marked in its row, and calls nobody's attention.
const QUIETLY = ["quiet"];

const kind = ({ what }) => Object.keys(what)[0];

// What needs attention of the flags, in the shape of `attention`.
export function flagAttention(flags) {
  return flags.filter((flag) => !QUIETLY.includes(kind(flag))).map((flag) => ({ what: kind(flag).replace(/_/g, "-"), lane: flag.lane }));
}

// Since when no call has come from a lane that is flagged for it; null otherwise.
export function quietSince(flags, lane) {
  const flag = flags.find((one) => one.lane === lane && kind(one) === "quiet");
  return flag ? flag.what.quiet.since_ms : null;
}

// Whole seconds since a moment, at a moment of feed time.
export function secondsSince(sinceMs, feedMs) {
  return Math.max(0, Math.floor((feedMs - sinceMs) / 1000));
}

// A flag with its reason, at a moment of feed time.
export function flagText({ what }, words, feedMs) {
  const [name, of] = Object.entries(what)[0];
  const seconds = (ms) => new Intl.NumberFormat(words.language, { maximumFractionDigits: 2 }).format(ms / 1000);
  switch (name) {
    case "too_fast":
      return words.say("flag-too_fast", { clock: timeText(Math.floor(of.heat_ms / 100) * 100, words.mark), took: seconds(of.took_ms), expected: seconds(of.expected_ms), count: of.times });
    case "quiet":
      return words.say("flag-quiet", { seconds: secondsSince(of.since_ms, feedMs), usual: seconds(of.usual_ms) });
    case "late_calls":
      return words.say("flag-late_calls", { count: of.calls, seconds: Math.ceil(of.longest_ms / 1000) });
    case "off_line":
      return words.say("flag-off_line", { seconds: secondsSince(of.since_ms, feedMs) });
    default:
      return words.say("flag-clock_error", { ms: of.error_ms });
  }
}

// The flags of the opened lane.
export class LaneFlags {
  constructor({ words, lane }) {
    Object.assign(this, { words, lane, flags: [] });
    this.list = element("ul", {});
    this.element = element("div", { class: "part flags" }, element("h3", { textContent: words.say("flags") }), this.list);
    setHidden(this.element, true);
  }

  show(flags) {
    this.flags = flags.filter(({ lane }) => lane === this.lane);
    setHidden(this.element, this.flags.length === 0);
  }

  // Writes the reasons, with how long ago as it is at a moment of feed time.
  age(feedMs) {
    follow(this.list, this.flags, {
      keyOf: kind,
      begin: () => element("li"),
      fill: (line, flag) => write(line, flagText(flag, this.words, feedMs)),
    });
  }
}

// The record behind a lane's numbers, in words: every call with its time and what became of it, rulings beside what they
// replaced, initials, and the lane's way from phone to phone.

import { loadText } from "../common/loads.js";
import { timeText } from "./typed.js";

const ATTEMPTS = ["attempt-good", "attempt-failed", "declare-load", "hold-start", "hold-stop"];

// An entry as `{ kind, time, text, rest, english }`: `kind` marks what did not count, `rest` is said more quietly, and
// `english` is a sentence of the feed.
// `loadUnit` is the workout's, for the loads of attempts.
export function recordLine({ heat_ms: heatMs, what }, words, loadUnit = null) {
  const [kind, of] = Object.entries(what)[0];
  const time = heatMs == null ? "" : timeText(Math.floor(heatMs / 10) * 10, words.mark);
  return { time, ...LINES[kind](of, words, loadUnit) };
}

const LINES = {
  call(call, words, loadUnit) {
    const said = words.say(`said-${call.call}`, { count: call.amount || 1 });
    const loaded = call.load_g ? `${said} ${loadText(call.load_g, loadUnit || "kg", words.mark)}` : said;
    const text = call.fault ? words.say("call-fault", { call: loaded, fault: call.fault }) : loaded;
    const [verdict, of] = typeof call.verdict === "string" ? [call.verdict] : Object.entries(call.verdict)[0];
    const came = verdict === "counted" ? (call.done == null ? "" : words.say(ATTEMPTS.includes(call.call) ? "record-attempts" : "record-done", { done: call.done })) : words.say(`record-${verdict}`);
    const doubts = (call.doubts || []).map((doubt) => words.say(`doubt-${doubt}`));
    const rest = [`${call.device} #${call.number}`, ...doubts].join(" · ");
    return { kind: verdict, text: [text, came].filter(Boolean).join(" – "), rest, english: verdict === "not_counted" ? of.says : "" };
  },
  ruling({ by, says, reason, before, after }, words) {
    return { kind: "ruling", text: words.say("record-ruling", { by, before, after }), rest: reason, english: says };
  },
  initials({ athlete, judge, result, reason, taken_back_ms: takenBack }, words) {
    const text = words.say(takenBack == null ? "record-initials" : "record-initials-taken-back", { athlete, judge, result });
    return { kind: takenBack == null ? "initials" : "taken_back", text, rest: reason, english: "" };
  },
  hand_over({ from, to, by }, words) {
    return { kind: "hand_over", text: words.say("record-hand-over", { from: from || "–", to }), rest: by, english: "" };
  },
  heat({ says, reason }) {
    return { kind: "heat", text: "", rest: reason, english: says };
  },
};

// The calm bar: one line at a place of its own that says what the judge has to know now, so that nothing on the page
// moves when there is something to say. What is new stands for some seconds, then what lasts comes back.

import { write } from "../common/dom.js";
import { why } from "./wording.js";

// How long something new stands, milliseconds.
const SHORT_MS = 2000;
const LONG_MS = 6000;
// Calls that wait on a good link are nothing to speak of before this, milliseconds.
const WAITING_AFTER_MS = 2000;

const BARS = ["aside-bar", "ready-bar", "count-bar", "ended-bar"];

export class Bar {
  constructor({ words, now = () => performance.now() }) {
    Object.assign(this, { words, now });
    this.news = null;
    this.waitsSinceMs = null;
  }

  // A double tap that was held back.
  heldBack() {
    this.tell("held-back", {}, { forMs: SHORT_MS });
  }

  // What a session tells.
  told({ kind, call, code, says }) {
    const reason = code ? why(this.words, { code, says }) : "";
    const named = call ? this.words.say(`call-${call}`) : "";
    this.tell(`told-${kind}`, { reason, call: named }, { forMs: LONG_MS, grave: kind !== "took-over" });
  }

  tell(id, values, { forMs, grave = false }) {
    const text = this.words.say(id, values);
    this.news = { text, grave, untilMs: this.now() + forMs };
    write(document.getElementById("spoken"), text);
  }

  // What lasts: `{ linkUp, waiting, fault, journalOk, elsewhere }`.
  show(state) {
    const nowMs = this.now();
    if (this.news && this.news.untilMs <= nowMs) this.news = null;
    if (state.waiting === 0) this.waitsSinceMs = null;
    else if (this.waitsSinceMs === null) this.waitsSinceMs = nowMs;
    const { text, kind } = this.news ? { text: this.news.text, kind: this.news.grave ? "grave" : "news" } : this.lasting(state, nowMs);
    for (const id of BARS) {
      const bar = document.getElementById(id);
      write(bar, text);
      bar.dataset.kind = kind;
    }
  }

  lasting({ linkUp, waiting, fault, journalOk, elsewhere, inHeat }, nowMs) {
    const { words } = this;
    if (!linkUp) return { kind: "calm", text: words.say(waiting > 0 ? "no-link-waiting" : inHeat ? "no-link-count" : "no-link", { waiting }) };
    if (!journalOk) return { kind: "grave", text: words.say("journal-stopped", { waiting }) };
    if (fault && waiting > 0) return { kind: "grave", text: words.say(`storage-${fault}`) };
    if (waiting > 0 && nowMs - this.waitsSinceMs >= WAITING_AFTER_MS) return { kind: "calm", text: words.say("waiting", { waiting }) };
    if (elsewhere > 0) return { kind: "calm", text: words.say("elsewhere", { waiting: elsewhere }) };
    return { kind: "good", text: words.say("link-good") };
  }
}

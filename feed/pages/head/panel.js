// One lane, opened: who stands there, what it has, its last calls, the form for a ruling on it, and what stands behind it.

import { write } from "../common/dom.js";
import { lane as laneOf } from "../common/picture.js";
import { Behind } from "./behind.js";
import { judgesAttempts } from "./course.js";
import { button, element, refill, setHidden } from "./dom.js";
import { stopBeside } from "./evidence.js";
import { LaneFlags } from "./flags.js";
import { callText } from "./lanes.js";
import { countText, partText, triesText } from "./rows.js";
import { RulingForm } from "./ruling-form.js";

export class Panel {
  // `card` is a paper card under way, `give` is told a command for the lane, `ask` asks for its record, `closed` is told the lane that was closed.
  constructor({ words, calls, card, give, ask, closed }) {
    Object.assign(this, { words, calls, card, give, ask, closed, lane: null });
    this.section = document.getElementById("lane");
    this.section.addEventListener("keydown", (event) => event.key === "Escape" && this.close());
  }

  say(id, values) {
    return this.words.say(id, values);
  }

  open(lane, picture, phones, flags) {
    this.lane = lane;
    this.build(lane, picture);
    this.show(picture, phones, flags);
    setHidden(this.section, false);
    this.section.scrollTop = 0;
    this.section.focus();
  }

  close() {
    const { lane } = this;
    this.lane = null;
    setHidden(this.section, true);
    this.section.replaceChildren();
    this.closed(lane);
  }

  build(lane, picture) {
    this.title = element("h2", { id: "lane-title" });
    this.who = element("p", { class: "quiet" });
    this.stands = element("p", { class: "stands" });
    this.heard = element("ul", { class: "heard" });
    this.faults = element("p", { class: "quiet" });
    this.form = new RulingForm({ words: this.words, lane, picture, card: this.card, give: this.give });
    this.flags = new LaneFlags({ words: this.words, lane });
    this.behind = new Behind({ words: this.words, lane, give: this.give, ask: this.ask });
    const head = element("div", { class: "head" }, this.title, button(this.say("close"), () => this.close(), { class: "close" }));
    const heard = element("div", { class: "last" }, element("h3", { textContent: this.say("last-calls") }), this.heard, this.faults);
    this.section.replaceChildren(head, this.who, this.stands, this.flags.element, this.form.element, heard, this.behind.element);
  }

  // Writes what a new picture says of the lane.
  show(picture, phones, flags) {
    if (this.lane === null) return;
    const now = laneOf(picture, this.lane);
    if (!now.entry || !now.count) {
      this.close();
      return;
    }
    this.showWho(now, picture);
    const part = now.course && now.course.parts[now.count.part];
    const stands = [countText(now, this.words), this.say(`status-${now.count.status}`), part ? this.workText(now, part) : "", stopBeside(now.count, this.words)];
    write(this.stands, stands.filter(Boolean).join(" · "));
    this.showCalls(now);
    this.form.show(picture);
    this.behind.show(picture, phones);
    this.flags.show(flags);
  }

  // Writes how long ago things were, at a moment of feed time.
  age(feedMs) {
    if (this.lane !== null) this.flags.age(feedMs);
  }

  // A paper card is in the record whole.
  cardDone(lane) {
    if (this.lane === lane) this.form.clearCard();
  }

  workText(now, part) {
    if (judgesAttempts(now.course)) return triesText(now, this.words);
    return partText(part, now.count.part_done, (id, values) => this.say(id, values));
  }

  // The record of a lane has come.
  hear(record) {
    if (this.lane !== null) this.behind.hear(record);
  }

  showWho({ entry }, { titles }) {
    write(this.title, entry.bib ? this.say("lane-name", { lane: this.lane, name: entry.name }) : this.say("lane", { lane: this.lane }));
    const judge = entry.judge ? this.say("judged-by", { judge: entry.judge }) : "";
    const athlete = entry.bib ? [entry.bib, titles.divisions[entry.division], entry.club] : [];
    write(this.who, [...athlete, judge].filter(Boolean).join(" · "));
  }

  showCalls({ count }) {
    const calls = [...this.calls.last(this.lane)].reverse();
    refill(this.heard, JSON.stringify(calls), () =>
      calls.length > 0
        ? calls.map((call) => element("li", { "data-kind": call.kind, textContent: callText(call, this.words) }))
        : [element("li", { class: "quiet", textContent: this.say("no-calls") })],
    );
    const faults = this.calls.faults(this.lane).map(([fault, times]) => this.say("fault-times", { fault: fault || this.say("fault-unnamed"), times }));
    write(this.faults, count.no_reps > 0 ? [this.say("no-reps", { count: count.no_reps }), ...faults].join(" · ") : "");
  }
}

// What was asked of the feed and what came of it, the newest first: waiting, done, refused and why; a ruling with what the
// feed says it changed. Rulings of other head judges' pages stand there as well.

import { write } from "../common/dom.js";
import { button, element, refill, setData, setHidden } from "./dom.js";

// Rulings of others that are kept to be shown.
const KEPT_NOTES = 20;

export class Answers {
  // `describe` says a command in words.
  constructor({ words, commands, describe }) {
    Object.assign(this, { words, commands, describe, places: new Map(), next: 0, notes: new Map(), others: [] });
    this.list = document.querySelector("#answers ol");
    this.none = document.getElementById("no-answers");
    this.said = document.getElementById("said");
  }

  say(id, values) {
    return this.words.say(id, values);
  }

  // Shows all that waits and was answered.
  show() {
    const { waiting, answered } = this.commands;
    const own = [...waiting, ...[...answered].reverse()].map((entry) => ({ key: entry.message.id, entry }));
    const all = [...own, ...this.others].sort((one, other) => this.place(other.key) - this.place(one.key));
    const stands = ({ key, entry, note }) => [key, entry ? entry.state : "", Boolean(note || this.notes.get(key))];
    refill(this.list, JSON.stringify(all.map(stands)), () => all.map(({ key, entry, note }) => (entry ? this.item(key, entry) : this.noteItem(note))));
    setHidden(this.none, all.length > 0);
  }

  // When something came into the list.
  place(key) {
    if (!this.places.has(key)) this.places.set(key, (this.next += 1));
    return this.places.get(key);
  }

  // Shows what has just changed, and says it.
  changed(entry) {
    this.show();
    write(this.said, this.say("said", { what: this.describe(entry.message), came: this.cameText(entry) }));
    setData(this.said, "state", entry.state);
  }

  // Says what belongs to no command.
  tell(id) {
    write(this.said, this.say(id));
    setData(this.said, "state", "refused");
  }

  // A note of the feed on a ruling: it stands with the own ruling that it answers, or by itself.
  heard(note) {
    const { waiting, answered } = this.commands;
    const answers = ({ message }) => message.type === "ruling" && message.lane === note.lane && message.reason === note.reason;
    const own = [...waiting, ...answered].find((entry) => answers(entry) && !this.notes.has(entry.message.id));
    if (own) this.notes.set(own.message.id, note);
    else this.others = [...this.others, { key: `note ${(this.next += 1)}`, note }].slice(-KEPT_NOTES);
    this.show();
  }

  item(id, entry) {
    const { message, state, answer } = entry;
    const lines = [element("b", { textContent: this.describe(message) }), element("span", { class: "came", textContent: this.cameText(entry) })];
    if (this.notes.has(id)) lines.push(this.noteLine(this.notes.get(id)));
    if (message.reason) lines.push(element("small", { class: "quiet", textContent: message.reason }));
    if (state === "refused" && this.words.language !== "en") lines.push(element("small", { lang: "en", textContent: answer.says }));
    if (state === "unsure") {
      const again = button(this.say("send-again"), () => this.commands.again(id));
      const leave = button(this.say("leave-it"), () => this.leave(id));
      lines.push(element("span", { class: "choice" }, again, leave));
    }
    return element("li", { "data-state": state }, ...lines);
  }

  noteItem(note) {
    const what = element("b", { textContent: this.say("note-of-other", { lane: note.lane, by: note.by }) });
    const says = element("span", { lang: "en", textContent: note.says });
    return element("li", { "data-state": "note" }, what, says, this.noteLine(note), element("small", { class: "quiet", textContent: note.reason }));
  }

  noteLine({ before, after }) {
    return element("span", { class: "note", textContent: this.say("note", { before, after }) });
  }

  leave(id) {
    this.commands.drop(id);
    this.show();
  }

  cameText({ state, answer }) {
    if (state !== "refused") return this.say(`came-${state}`);
    // The feed's sentence is in English and knows the figures; other languages say the kind of reason first.
    return this.words.language === "en" ? answer.says : this.say(`reason-${answer.code}`);
  }
}

// Commands on their way: floor commands, rulings, show commands and whatever else the feed answers by an id. Each is kept
// until it is answered, a reload included, and is sent again with the same id when the link is back, so that it is done
// once. One that only makes sense at its moment is not sent late by itself: it waits for a word. Leaves the link to
// `link`, and what an answer means to the page.

import { keep, kept } from "./device.js";

// Most commands that wait at once; nobody gives so many before they have seen one answered.
export const MAX_WAITING = 32;
// Answers that are kept to be shown.
export const MAX_ANSWERED = 20;
// How long a change of the heat's state may be under way before it is not sent again by itself: whoever pressed "start"
// would not expect a countdown half a minute later.
export const FLOOR_FRESH_MS = 15000;
// After the feed has said that messages come too fast.
const SLOWER_MS = 1000;

// An id below 2^53. Random, so that two pages of one device don't choose the same one, whatever storage they have.
function randomId() {
  const [high, low] = crypto.getRandomValues(new Uint32Array(2));
  return (high % 2 ** 21) * 2 ** 32 + low;
}

// Storage under one name, as JSON.
export function storeNamed(name) {
  return {
    read() {
      try {
        const read = JSON.parse(kept(name) || "[]");
        return Array.isArray(read) ? read : [];
      } catch {
        return [];
      }
    },
    write: (value) => keep(name, JSON.stringify(value)),
  };
}

// An entry is `{ message, saidAt, freshMs, state, answer }`: when it was said on the device's wall clock, how long it may
// be sent by itself (null: always), and how it stands:
//   "waiting"  not answered yet; sent as soon as there is a link
//   "unsure"   may have arrived or not, and is too old to be sent again without a word (`again` or `drop`)
//   "done"     acknowledged; `answer` is the ack
//   "refused"  `answer` says why
export class Commands {
  // `send` sends a message now and is false without a link; `changed` is told each entry that has changed.
  constructor({ send, store, changed = () => {}, now = () => Date.now(), later = setTimeout, newId = randomId }) {
    Object.assign(this, { send, store, changed, now, later, newId });
    this.waiting = store.read().map(({ message, saidAt, freshMs }) => ({ message, saidAt, freshMs, state: "waiting", answer: null }));
    this.answered = [];
  }

  // Gives a command, such as `{ type: "floor", heat, command: "hold" }`. Its id, or null if too many wait.
  give(message, { freshMs = null } = {}) {
    if (this.waiting.length >= MAX_WAITING) return null;
    const entry = { message: { ...message, id: this.newId() }, saidAt: this.now(), freshMs, state: "waiting", answer: null };
    this.waiting.push(entry);
    // Kept before it is sent: what was sent and is not remembered could be given twice.
    this.keep();
    this.send(entry.message);
    this.changed(entry);
    return entry.message.id;
  }

  // Hears what the link hears: it is up, or an answer.
  hear(message) {
    if (message.type === "up") this.sendAll();
    if (message.type === "ack" || message.type === "refusal") this.heardAnswer(message);
  }

  // Sends one that is unsure again, with the same id.
  again(id) {
    const entry = this.find(id);
    if (!entry) return;
    Object.assign(entry, { saidAt: this.now(), state: "waiting" });
    this.keep();
    this.send(entry.message);
    this.changed(entry);
  }

  // Gives one up. It may have been done all the same.
  drop(id) {
    const entry = this.find(id);
    if (!entry) return;
    this.waiting = this.waiting.filter((other) => other !== entry);
    this.keep();
    this.changed(entry);
  }

  find(id) {
    return this.waiting.find((entry) => entry.message.id === id);
  }

  sendAll() {
    for (const entry of this.waiting) {
      // A wall clock that was set back makes nothing fresh again: it only makes it seem younger than it is.
      const old = entry.freshMs !== null && Math.abs(this.now() - entry.saidAt) > entry.freshMs;
      const state = old ? "unsure" : entry.state;
      if (state === "waiting") this.send(entry.message);
      if (state === entry.state) continue;
      entry.state = state;
      this.changed(entry);
    }
  }

  heardAnswer(answer) {
    const [kind, of] = typeof answer.of === "object" ? Object.entries(answer.of)[0] : [];
    const entry = of && this.waiting.find(({ message }) => message.type === kind && message.id === of.id);
    if (!entry) return;
    // These two are no answers to the command itself: it was not looked at.
    if (answer.code === "too_fast") {
      this.later(() => this.find(entry.message.id) && this.send(entry.message), SLOWER_MS);
      return;
    }
    if (answer.code === "shutting_down") return;
    this.waiting = this.waiting.filter((other) => other !== entry);
    Object.assign(entry, { state: answer.type === "ack" ? "done" : "refused", answer });
    this.answered = [entry, ...this.answered].slice(0, MAX_ANSWERED);
    this.keep();
    this.changed(entry);
  }

  keep() {
    this.store.write(this.waiting.map(({ message, saidAt, freshMs }) => ({ message, saidAt, freshMs })));
  }
}

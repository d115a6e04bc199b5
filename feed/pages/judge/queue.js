// The calls of this phone that wait for an answer: numbered, kept through outages and reloads, sent in order, sent again
// when nothing comes back or the feed asks for a hole to be filled. Knows neither sockets nor storage; times are
// arguments, milliseconds of the page's own clock.

// A call without an answer is sent again after this; each time twice as long, up to a limit.
const AGAIN_AFTER_MS = 4000;
const AGAIN_DOUBLINGS = 3;
// Calls on their way at once: a bound on what has to be sent again after a hole.
const MOST_ON_THE_WAY = 32;
// Told "too fast", or that the feed cannot write, a phone waits this long.
const REST_MS = 1000;
// Most calls that wait for an answer. A judge who taps twice a second fills it in half an hour without a link.
export const MAX_WAITING = 4096;
// Refusals after which the same call may be sent again.
const LATER = ["too_fast", "shutting_down", "journal_full"];

// A call's name on this phone.
export function keyOf({ epoch, number }) {
  return `${epoch}:${number}`;
}

// A random number of a page load, below 2^53, never 0.
export function randomEpoch() {
  const [high, low] = crypto.getRandomValues(new Uint32Array(2));
  return (high % 0x200000) * 0x100000000 + low || 1;
}

// What calls are kept by, in the order in which they were made: the wall clock, so that two tabs of one phone don't write
// over each other's; a clock that is set back is passed over.
function nowInOrder() {
  return Date.now() * 1000 + Math.floor(Math.random() * 1000);
}

export class Queue {
  // `saved` are calls of earlier page loads in the order in which they were tapped, `offsets` the last clock offset of
  // each of their epochs, as `[epoch, offset]`. Whatever this phone keeps beside them is not behind `after`.
  constructor({ saved = [], offsets = [], after = 0, epoch = randomEpoch, order = nowInOrder } = {}) {
    this.makeEpoch = epoch;
    this.order = order;
    this.waiting = saved.map((call) => ({ ...call, sentMs: null, tries: 0 }));
    this.offsets = new Map(offsets);
    this.lastSeq = this.waiting.reduce((most, call) => Math.max(most, call.seq), after);
    this.restUntilMs = -Infinity;
    this.startEpoch(null);
  }

  // Begins a new epoch: of a page load, of another heat, or of a clock that has slept. Calls that wait keep theirs.
  startEpoch(heat) {
    this.epoch = this.makeEpoch();
    this.heat = heat;
    this.nextNumber = 1;
  }

  // The page's clock offset of the present epoch. True if it is another than before, and to be kept.
  setOffset(offset) {
    const known = this.offsets.get(this.epoch);
    if (!offset || (known && known.add_us === offset.add_us && known.delay_us === offset.delay_us)) return false;
    this.offsets.set(this.epoch, offset);
    for (const epoch of this.offsets.keys()) {
      if (epoch !== this.epoch && !this.waiting.some((call) => call.tally.epoch === epoch)) this.offsets.delete(epoch);
    }
    return true;
  }

  // Takes in a call: `tally` without epoch and number, beside it what the page wants to remember. Gives the call as it
  // is to be kept, or null if too many wait.
  push(tally, beside = {}) {
    if (this.waiting.length >= MAX_WAITING) return null;
    if (this.heat !== tally.heat) {
      const offset = this.offsets.get(this.epoch);
      if (this.heat === null) this.heat = tally.heat;
      else this.startEpoch(tally.heat);
      // It is the same clock.
      if (offset) this.offsets.set(this.epoch, offset);
    }
    this.lastSeq = Math.max(this.lastSeq + 1, this.order());
    const call = { ...beside, seq: this.lastSeq, tally: { ...tally, epoch: this.epoch, number: this.nextNumber } };
    this.nextNumber += 1;
    this.waiting.push({ ...call, sentMs: null, tries: 0 });
    return call;
  }

  // The next tally to send, marked as sent; null if there is none now. One of the present page load waits until its
  // clock offset is known, so that its time is.
  due(nowMs) {
    if (nowMs < this.restUntilMs) return null;
    const call = this.nextDue(nowMs);
    if (!call) return null;
    call.sentMs = nowMs;
    call.tries += 1;
    const offset = this.offsets.get(call.tally.epoch);
    return offset ? { ...call.tally, offset } : call.tally;
  }

  nextDue(nowMs) {
    const again = this.againAtMs();
    if (again !== null && again <= nowMs) return this.waiting[0];
    if (this.waiting.filter((call) => call.sentMs !== null).length >= MOST_ON_THE_WAY) return null;
    const call = this.waiting.find((one) => one.sentMs === null);
    if (!call) return null;
    return call.tally.epoch !== this.epoch || this.offsets.has(this.epoch) ? call : null;
  }

  // When the oldest call is sent again if no answer comes; null if it is not on its way.
  againAtMs() {
    const first = this.waiting[0];
    if (!first || first.sentMs === null) return null;
    return first.sentMs + AGAIN_AFTER_MS * 2 ** Math.min(Math.max(0, first.tries - 1), AGAIN_DOUBLINGS);
  }

  // The link is gone, and what was on its way with it.
  loseAllSent() {
    for (const call of this.waiting) call.sentMs = null;
    this.restUntilMs = -Infinity;
  }

  // A call was answered: gives it, or null if none waits by that number.
  answered({ epoch, number }) {
    const index = this.indexOf(epoch, number);
    return index < 0 ? null : this.waiting.splice(index, 1)[0];
  }

  // The feed asks for a hole to be filled. Every call behind a hole is answered with that question; one is enough.
  fillHole(epoch, from, nowMs) {
    const first = this.waiting[this.indexOf(epoch, from)];
    const justSent = first && first.tries > 1 && first.sentMs !== null && nowMs < first.sentMs + AGAIN_AFTER_MS / 4;
    if (!justSent) this.sendAgainFrom(epoch, from);
  }

  sendAgainFrom(epoch, number) {
    const index = this.indexOf(epoch, number);
    if (index >= 0) for (const call of this.waiting.slice(index)) call.sentMs = null;
  }

  // A call was refused. Where it may come again later it stays; otherwise it is taken out and given back as `gone`. It
  // has not taken its number, so those behind it in its epoch move into a new one (`moved`, to be kept again, each with
  // the key that it `was`): under their old numbers the feed would wait for it for ever.
  refused({ epoch, number }, code, nowMs) {
    const index = this.indexOf(epoch, number);
    const later = LATER.includes(code);
    if (later) this.restUntilMs = nowMs + REST_MS;
    if (index < 0) return { gone: null, moved: [] };
    if (later) {
      this.sendAgainFrom(epoch, number);
      return { gone: null, moved: [] };
    }
    const [gone] = this.waiting.splice(index, 1);
    return { gone, moved: this.renumber(epoch, number) };
  }

  renumber(epoch, after) {
    const behind = this.waiting.filter((call) => call.tally.epoch === epoch && call.tally.number > after);
    const offset = this.offsets.get(epoch);
    const fresh = this.makeEpoch();
    if (offset) this.offsets.set(fresh, offset);
    const moved = behind.map((call, index) => {
      const was = keyOf(call.tally);
      call.tally = { ...call.tally, epoch: fresh, number: index + 1 };
      call.sentMs = null;
      return { was, call: plain(call) };
    });
    if (epoch === this.epoch) {
      this.epoch = fresh;
      this.nextNumber = behind.length + 1;
    }
    return moved;
  }

  // Every call that waits, as it is kept.
  kept() {
    return this.waiting.map(plain);
  }

  indexOf(epoch, number) {
    return this.waiting.findIndex(({ tally }) => tally.epoch === epoch && tally.number === number);
  }
}

function plain({ sentMs, tries, ...call }) {
  return call;
}

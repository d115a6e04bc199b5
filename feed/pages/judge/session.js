// A judge's phone at work on one lane: taps become numbered calls that are kept and sent, answers come back, the count
// is shown at once. Ties queue, count, store and link together; knows nothing of what is on the screen.

import { Commands, storeNamed } from "../common/commands.js";
import { lane } from "../common/picture.js";
import { Counted } from "./counted.js";
import { elapsed, phase } from "./phase.js";
import { keyOf, Queue } from "./queue.js";
import { ShadowCount } from "./shadow.js";

// Wall clock and page clock that part by more than this mean that the page slept, or that the wall clock was set: the
// feed's own measure.
const SLEPT_MS = 500;
// Refused calls that are remembered to be shown, and calls in the list of the last ones.
const MOST_REFUSED = 100;
const LOG = 20;
const COMMANDS = "fivemark.judge.commands";
// A hand-over that could not be sent for so long is not wanted any more, milliseconds.
const HAND_OVER_FRESH_MS = 15_000;

export class Session {
  // `saved` is what the store has loaded. `changed` is told when there is something new to show, `told` of what the
  // judge has to know: `{ kind, code, says }`.
  constructor({ identity, store, saved, changed = () => {}, told = () => {}, wallMs = () => Date.now() }) {
    Object.assign(this, { identity, store, changed, told, wallMs });
    const { calls, notes } = saved;
    const mine = calls.filter(({ tally }) => tally.lane === identity.lane);
    this.elsewhere = calls.filter((call) => !mine.includes(call));
    // Calls of other lanes are not written over, even by one of the same millisecond.
    const after = this.elsewhere.reduce((most, { seq }) => Math.max(most, seq), 0);
    this.queue = new Queue({ saved: mine, offsets: notes.offsets, after });
    this.counted = new Counted(notes.own);
    this.refused = notes.refused || [];
    this.place = notes.place && notes.place.lane === identity.lane ? notes.place : null;
    this.holds = this.place ? this.place.holds : true;
    this.log = [];
    this.shadow = identity.role === "shadow_judge" ? new ShadowCount(notes.shadow) : null;
    // What is no call and answered by an id: initials, a hand-over.
    const send = (message) => Boolean(this.link) && this.link.say(message);
    this.commands = new Commands({ send, store: storeNamed(COMMANDS), changed: (entry) => this.commandAnswered(entry) });
  }

  // Works over this link from now on.
  use(link) {
    this.link = link;
    if (this.place) link.clock.setSpeed(this.place.speed);
    this.wallAhead = this.wallMs() - link.clock.now();
  }

  // The picture of the heat; after a reload without a link, what was kept of it.
  get picture() {
    return (this.link && this.link.picture) || (this.place && this.place.picture);
  }

  // What stands on the lane, with the count as it is to be shown; null before anything is known.
  now() {
    const { picture } = this;
    if (!picture) return null;
    const of = lane(picture, this.identity.lane);
    if (this.shadow && of.count) of.count = this.shadow.of(of.count, picture.titles.heat);
    const nowMs = this.link.clock.now();
    const shown = of.count && of.course
      ? this.counted.shown(of.count, this.queue.waiting, { course: of.course, heat: picture.titles.heat, nowMs })
      : { done: 0, finished: false, noReps: 0 };
    const at = phase(picture.heat, of, { feedUs: this.link.clock.feedUs(), finished: shown.finished });
    return { ...of, ...shown, ...at, picture, isShadow: Boolean(this.shadow) };
  }

  stampMs(atMs = this.link.clock.now()) {
    return Math.floor((atMs * this.link.clock.speedMilli) / 1000);
  }

  // The own call that an undo would take back now; null if there is none.
  undoable() {
    const now = this.now();
    if (!now || !now.count) return null;
    return this.counted.undoable(this.stampMs(), { heat: now.picture.titles.heat, run: now.count.run });
  }

  // The judge calls, at `atMs` of the page's clock. True if the call was taken in.
  call(call, { amount = 0, fault = null, loadG = null, atMs = this.link.clock.now() } = {}) {
    this.noticeSleep();
    const now = this.now();
    if (!now || !now.count || !this.holds) return false;
    const tally = {
      heat: now.picture.titles.heat, run: now.count.run, lane: this.identity.lane, call,
      stamp_ms: this.stampMs(atMs), wall_ms: Math.round(this.wallMs() - (this.link.clock.now() - atMs)),
    };
    if (amount > 0) tally.amount = amount;
    if (fault) tally.fault = fault;
    if (loadG !== null) tally.load_g = loadG;
    const takesBack = call === "undo" || call === "last-was-no-rep";
    const counts = now.counts || (takesBack && now.view === "ended");
    const expected = this.counted.expect(tally, {
      course: now.course, done: now.done, counts, tries: now.tries, at_ms: this.elapsedAt(now.picture.heat, tally.stamp_ms),
    });
    const kept = this.queue.push(tally, { expected });
    if (!kept) {
      this.told({ kind: "full" });
      return false;
    }
    this.counted.remember(kept);
    this.keep(kept);
    this.note(kept, null);
    this.pump();
    return true;
  }

  // Heat time at a stamp of this page, milliseconds; null while feed time is not known.
  elapsedAt({ clock }, stampMs) {
    const best = this.link.clock.best();
    return elapsed(clock, best ? stampMs * 1000 + best.add_us : null);
  }

  // Kept while it is sent, and not before: a call that reached the feed is safe there, and one that did not is as lost
  // either way if the page ends in this very moment.
  keep(kept) {
    // After a write that failed, all are written again.
    const calls = this.store.fault ? this.queue.kept() : [kept];
    this.store.keep({ calls, notes: { own: this.counted.calls, offsets: [...this.queue.offsets] } });
  }

  // Sends what is due.
  pump() {
    if (!this.link || this.link.state !== "up") return;
    const nowMs = this.link.clock.now();
    for (let tally = this.queue.due(nowMs); tally; tally = this.queue.due(nowMs)) this.link.say({ type: "tally", ...tally });
  }

  // To be called every second or so, and when the page is seen again.
  tick() {
    this.noticeSleep();
    this.pump();
  }

  // A page clock that stood still has another offset from then on: a new epoch.
  noticeSleep() {
    const ahead = this.wallMs() - this.link.clock.now();
    if (Math.abs(ahead - this.wallAhead) <= SLEPT_MS) return;
    this.wallAhead = ahead;
    this.queue.startEpoch(this.queue.heat);
    this.link.forgetClock();
  }

  // Everything that the link hears.
  hear(message) {
    const known = this[`hear_${message.type}`];
    if (known) known.call(this, message);
    this.commands.hear(message);
    this.pump();
    this.changed();
  }

  hear_down() {
    this.queue.loseAllSent();
  }

  hear_welcome({ standing_by: standingBy }) {
    this.holds = !standingBy;
  }

  hear_snapshot() {
    this.counted.told();
    this.keepPlace();
  }

  hear_delta({ lanes = [], heat }) {
    const mine = lanes.some((count) => count.lane === this.identity.lane);
    if (mine) this.counted.told();
    if (mine || heat) this.keepPlace();
  }

  hear_lane({ lane: number, holds }) {
    if (number !== this.identity.lane || holds === this.holds) return;
    this.holds = holds;
    this.told({ kind: holds ? "took-over" : "handed-over" });
    this.keepPlace();
  }

  hear_clock() {
    const changed = this.queue.setOffset(this.link.clock.best());
    if (changed && this.queue.waiting.length > 0) this.store.keep({ notes: { offsets: [...this.queue.offsets] } });
  }

  hear_ack({ of, not_counted: why }) {
    const call = of.tally && this.queue.answered(of.tally);
    if (!call) return;
    this.counted.answered(call, why ? why.code : null, this.link.clock.now());
    if (this.shadow && !why && call.expected) {
      this.shadow.took(call.expected, this.counted.noRepsOf(call.expected), this.counted.byKey(call.expected.takes));
      this.counted.told();
    }
    this.store.keep({ gone: [call.seq], notes: this.shadow ? { shadow: this.shadow.kept() } : {} });
    this.note(call, why || "counted");
    if (why) this.told({ kind: "not-counted", call: call.tally.call, ...why });
  }

  hear_gap({ epoch, from }) {
    this.queue.fillHole(epoch, from, this.link.clock.now());
  }

  hear_refusal({ of, code, says }) {
    if (!of.tally) return;
    const { gone, moved } = this.queue.refused(of.tally, code, this.link.clock.now());
    if (!gone) return;
    this.counted.answered(gone, code, this.link.clock.now());
    for (const { was, call } of moved) this.counted.rename(was, keyOf(call.tally));
    this.refused = [...this.refused, { tally: gone.tally, code, says }].slice(-MOST_REFUSED);
    const notes = { refused: this.refused, own: this.counted.calls, offsets: [...this.queue.offsets] };
    this.store.keep({ calls: moved.map(({ call }) => call), gone: [gone.seq], notes });
    this.note(gone, { code, says });
    this.told({ kind: "refused", code, says });
  }

  // Athlete and judge agree with the result that was shown.
  confirm({ athlete, judge, result }) {
    const { picture, count } = this.now();
    this.commands.give({ type: "confirm", heat: picture.titles.heat, lane: this.identity.lane, run: count.run, result, athlete, judge });
  }

  // Initials that are on their way.
  get confirming() {
    return this.commands.waiting.some(({ message }) => message.type === "confirm" && message.lane === this.identity.lane);
  }

  // Gives the lane to a phone that stands by.
  handOver(to) {
    const { picture } = this.now();
    this.commands.give({ type: "hand_over", heat: picture.titles.heat, lane: this.identity.lane, to }, { freshMs: HAND_OVER_FRESH_MS });
  }

  commandAnswered({ message, state, answer }) {
    if (state === "refused") this.told({ kind: "refused", code: answer.code, says: answer.says });
    if (state === "unsure") this.commands.drop(message.id);
    this.changed();
  }

  // The list of the last calls: what was called and what became of it.
  note({ tally }, answer) {
    const key = keyOf(tally);
    const known = this.log.find((entry) => entry.key === key);
    if (known) Object.assign(known, { answer });
    else this.log = [{ key, tally, answer }, ...this.log].slice(0, LOG);
  }

  // For a reload without a link.
  keepPlace() {
    const place = this.ownPlace();
    if (place) this.store.keep({ notes: { place } });
  }

  // The picture without the other lanes.
  ownPlace() {
    const { picture } = this.link;
    if (!picture) return null;
    const number = this.identity.lane;
    const { entry, count, course } = lane(picture, number);
    const own = {
      ...picture, courses: course ? [course] : [], entries: entry ? [{ ...entry, course: 0 }] : [],
      lanes: count ? [count] : [], order: [], shows: undefined,
    };
    return { lane: number, holds: this.holds, speed: this.link.clock.speedMilli, picture: own };
  }
}

// The last calls of every lane as this page heard them: what the feed tells are counts and no-reps, and a call is a step
// from one count to the next. What was called before the page was opened is not in here.

// Calls that are kept of a lane: as many as a glance takes in.
export const KEPT = 8;

export class Calls {
  constructor() {
    this.lanes = new Map();
    this.of = null;
  }

  // Takes in a message of the feed, with the picture that has it in already.
  hear(message, picture) {
    if (message.type === "snapshot") this.begin(picture);
    else if (message.type === "delta") this.step(message, picture);
  }

  // The calls of a lane, the latest last: `{ kind: "good" | "hold" | "no_rep" | "back" | "ruled", units, fault, clockMs, atMs }`.
  // `clockMs` is the heat's clock at the call, null while it stood.
  last(lane) {
    const known = this.lanes.get(lane);
    return known ? known.calls : [];
  }

  // No-reps of a lane by fault that this page heard, `[name, count]`, the most frequent first.
  faults(lane) {
    const known = this.lanes.get(lane);
    return known ? [...known.faults].sort((one, other) => other[1] - one[1]) : [];
  }

  // A new picture of the same heat and lane runs goes on; of another it begins afresh.
  begin(picture) {
    if (this.of !== picture.titles.heat) this.lanes.clear();
    this.of = picture.titles.heat;
    for (const count of picture.lanes) {
      const known = this.lanes.get(count.lane);
      if (known && known.run === count.run) known.done = count.done;
      else this.lanes.set(count.lane, { run: count.run, done: count.done, calls: [], faults: new Map() });
    }
  }

  step({ at_ms, lanes = [], no_reps = [], rulings = [] }, picture) {
    const clockMs = (atMs) => (picture.heat.clock.running ? Math.max(0, atMs - picture.heat.clock.running.zero_at_ms) : null);
    for (const count of lanes) {
      const known = this.lanes.get(count.lane);
      if (!known) continue;
      const units = count.done - known.done;
      known.done = count.done;
      if (units > 0 && count.tries) {
        this.tried(known, count, { at_ms, clockMs });
        continue;
      }
      if (units === 0 || rulings.some((note) => note.lane === count.lane)) continue;
      const atMs = units > 0 && count.last_good_ms != null ? count.last_good_ms : at_ms;
      this.add(known, { kind: units > 0 ? "good" : "back", units: Math.abs(units), fault: "", atMs, clockMs: clockMs(atMs) });
    }
    for (const { lane, fault, at_ms: atMs } of no_reps) {
      const known = this.lanes.get(lane);
      if (!known) continue;
      known.faults.set(fault, (known.faults.get(fault) || 0) + 1);
      this.add(known, { kind: "no_rep", units: 0, fault, atMs, clockMs: clockMs(atMs) });
    }
    for (const { lane } of rulings) {
      const known = this.lanes.get(lane);
      if (known) this.add(known, { kind: "ruled", units: 0, fault: "", atMs: at_ms, clockMs: clockMs(at_ms) });
    }
  }

  // An attempt or the start of a hold. One that failed is told as a no-rep, with its fault.
  tried(known, { tries: { attempts = [], holding_ms: holdingMs } }, { at_ms: atMs, clockMs }) {
    const last = attempts[attempts.length - 1];
    const kind = holdingMs != null ? "hold" : last && last.good ? "good" : null;
    if (kind) this.add(known, { kind, units: 1, fault: "", atMs, clockMs: clockMs(atMs) });
  }

  add(known, call) {
    known.calls = [...known.calls, call].slice(-KEPT);
  }
}

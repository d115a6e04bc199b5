// What a shadow judge has counted: the shadow counts alone, so that the two counts can be compared, and never sees the
// other judge's. The feed keeps a shadow's calls and counts none of them; the sum is this page's own.

import { triesOf, withCall } from "./tries.js";

const NOTHING = triesOf({ done: 0, score: 0 });

export class ShadowCount {
  // `kept` is what `kept()` gave in an earlier page load.
  constructor(kept = null) {
    this.sum = kept || { heat: null, run: null, done: 0, noReps: 0 };
  }

  kept() {
    return this.sum;
  }

  // The lane's count as the shadow has it.
  of(count, heat) {
    if (this.sum.heat !== heat || this.sum.run !== count.run) this.sum = { heat, run: count.run, done: 0, noReps: 0 };
    const { done, noReps } = this.sum;
    const status = count.status === "finished" ? "racing" : count.status;
    const own = { ...count, status, done, no_reps: noReps, to_go: null, result: null };
    if (!count.tries) return own;
    const { best, declaredG, attempts, holdingMs } = this.sum.tried || NOTHING;
    return { ...own, score: best, tries: { declared_g: declaredG, attempts, holding_ms: holdingMs } };
  }

  // A call is with the feed.
  // `target` is the call that it takes back.
  took(call, noReps, target = null) {
    const { heat, run, from, after, was } = call;
    if (this.sum.heat !== heat || this.sum.run !== run) return;
    if (was) this.sum = { ...this.sum, tried: withCall(this.sum.tried || NOTHING, call, target) };
    this.sum = { ...this.sum, done: Math.max(0, this.sum.done + after - from), noReps: Math.max(0, this.sum.noReps + noReps) };
  }
}

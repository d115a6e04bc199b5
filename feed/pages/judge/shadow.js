// What a shadow judge has counted: the shadow counts alone, so that the two counts can be compared, and never sees the
// other judge's. The feed keeps a shadow's calls and counts none of them; the sum is this page's own.

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
    return { ...count, status, done, no_reps: noReps, to_go: null, result: null };
  }

  // A call is with the feed.
  took({ heat, run, call, from, after }, noReps) {
    if (this.sum.heat !== heat || this.sum.run !== run) return;
    this.sum = { ...this.sum, done: Math.max(0, this.sum.done + after - from), noReps: Math.max(0, this.sum.noReps + noReps) };
  }
}

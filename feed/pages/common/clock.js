// Feed time on a page: what to add to the page's own monotonic clock, from four stamps an exchange; the exchange with
// the least delay of the last eight wins (RFC 5905 sections 8 and 10, as in the wire's own estimator).

export const SAMPLES = 8;

// One exchange's sample; all stamps in microseconds. `add_us` is what to add to the page's clock; the error of it is at
// most half of `delay_us`.
export function sample({ t1_us, t2_us, t3_us, t4_us }) {
  return {
    add_us: Math.floor((t2_us - t1_us + (t3_us - t4_us)) / 2),
    delay_us: Math.max(0, t4_us - t1_us - (t3_us - t2_us)),
  };
}

export class FeedClock {
  // `now` tells real milliseconds that never run backwards.
  constructor(now = () => performance.now()) {
    this.now = now;
    this.speedMilli = 1000;
    this.samples = [];
    this.forgotUs = -Infinity;
  }

  // How fast heat time runs, in thousandths, as the feed's welcome says. Samples of another speed are worth nothing.
  setSpeed(speedMilli) {
    if (speedMilli !== this.speedMilli) this.samples = [];
    this.speedMilli = speedMilli;
  }

  // What was learnt of a clock that has stood still since is worth nothing, and so are answers to older questions.
  forget() {
    this.samples = [];
    this.forgotUs = this.pageUs();
  }

  // The page's clock, which runs with the heat, microseconds.
  pageUs() {
    return Math.round(this.now() * this.speedMilli);
  }

  // Takes in an answer to an exchange; `t4_us` is when it came.
  hear({ t1_us, t2_us, t3_us }, t4_us) {
    if (t1_us < this.forgotUs) return;
    this.samples.push(sample({ t1_us, t2_us, t3_us, t4_us }));
    if (this.samples.length > SAMPLES) this.samples.shift();
  }

  // The best sample; null before the first exchange.
  best() {
    return this.samples.reduce((best, one) => (best && best.delay_us <= one.delay_us ? best : one), null);
  }

  // Feed time now, microseconds; null before the first exchange.
  feedUs() {
    const best = this.best();
    return best && this.pageUs() + best.add_us;
  }
}

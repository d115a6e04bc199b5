// How late a wall is, from what a camera saw of its time codes. Pure: it is told which code was read in which frame, and
// what to add to the page's clock for feed time; camera, decoder and page are others' work.
//
// A code that first shows in one frame, while the frame before still had an older one, appeared between these two. So each
// code gives an interval in which the delay lies, as wide as the frames are apart, and wider where frames could not be
// read. Codes meet the camera's frames at ever other moments, and together the intervals tell the delay finer than one
// frame. Walls and cameras also waver, and some codes are read wrongly late: the likelihood of a delay allows both.

// Of so many codes, and when they agree so closely, a result is made. At five codes a second this takes some seven seconds.
export const ENOUGH_CODES = 30;
const ENOUGH_SPREAD_MS = 5;
// A screen takes pictures in steps of at most this (50 in a second). A camera that keeps step with it meets all changes
// at the same moment between two frames, and cannot learn at which; nor can it be seen whether it keeps step.
const SCREEN_STEP_MS = 20;
// Later than this no wall is, and a code is another feed's, or of a display that has not found the feed's time yet.
const MOST_LATE_MS = 10_000;
// Before its own time no code can be seen; more than this is no matter of clocks that are a little wrong.
const MOST_EARLY_MS = 1_000;
// Frames farther apart say next to nothing about the moment between them.
const MOST_APART_MS = 500;
// The newest are kept: twenty seconds' worth, which a phone weighs within a few milliseconds.
const KEPT = 100;
// So many codes in a row that go backwards are a display that started again, and not a frame that came late.
const BACKWARDS = 5;

// What a time code says: `FM:TIME:AHEAD:NAME`; null for any other text.
export function read(text) {
  const parts = /^FM:(\d{1,12}):(\d{1,4}):([A-Z0-9-]{0,16})$/.exec(text);
  return parts && { timeMs: Number(parts[1]), aheadMs: Number(parts[2]), name: parts[3] };
}

// Collects codes as they are seen.
export class Sightings {
  constructor() {
    this.forget();
  }

  // Starts over.
  forget() {
    // Each `{ timeMs, beforeUs, seenUs }`: its feed time, and the frames that show it not yet and already, by the page's
    // clock.
    this.codes = [];
    this.last = null;
    this.backwards = 0;
  }

  // A text that a frame shows. `pageUs` is the frame's time by the page's clock, which passes at `speedMilli`; `addUs`
  // makes feed time of it. Gives what became of it: "new" for a code that counts, "same" for one that still stands or
  // has nothing before it, "strange" for a text that is no time code, "foreign" for one whose time is not this feed's,
  // "changed" when another display, or another setting of it, has made it start over.
  see(text, pageUs, { addUs, speedMilli }) {
    const code = read(text);
    if (!code) return "strange";
    const lateMs = (pageUs + addUs - code.timeMs * 1000) / speedMilli;
    if (lateMs < -MOST_EARLY_MS - code.aheadMs || lateMs > MOST_LATE_MS) return "foreign";
    const last = this.last;
    if (!last || last.name !== code.name || last.aheadMs !== code.aheadMs) {
      this.forget();
      this.last = { ...code, pageUs };
      return last ? "changed" : "same";
    }
    if (pageUs <= last.pageUs) return "same";
    if (code.timeMs < last.timeMs) {
      this.backwards += 1;
      if (this.backwards > BACKWARDS) this.forget();
      return "same";
    }
    this.backwards = 0;
    const isNew = code.timeMs > last.timeMs && pageUs - last.pageUs <= MOST_APART_MS * speedMilli;
    if (isNew) this.codes.push({ timeMs: code.timeMs, beforeUs: last.pageUs, seenUs: pageUs });
    if (this.codes.length > KEPT) this.codes.shift();
    this.last = { ...code, pageUs };
    return isNew ? "new" : "same";
  }

  // What the codes so far say; null before there are three. `errorUs` is by how much feed time may be wrong.
  //
  // `delayMs` is from a change at the display to the camera's picture of it, whatever the display is ahead by; `halfMs`
  // how far it may be off, `clockMs` what the clocks may add to that. `aheadMs` is in force.
  // `early` says that codes were seen before they could be: a clock is wrong. `enough` says that it is a result.
  estimate({ addUs, speedMilli, errorUs }) {
    const { codes, last } = this;
    if (codes.length < 3) return null;
    const late = (us, code) => (us + addUs - code.timeMs * 1000) / speedMilli + last.aheadMs;
    const found = weigh(codes.map((code) => [late(code.beforeUs, code), late(code.seenUs, code)]));
    const clockMs = errorUs / speedMilli;
    const early = found.delayMs + found.halfMs + clockMs < 0;
    const enough = !early && codes.length >= ENOUGH_CODES && found.spreadMs <= ENOUGH_SPREAD_MS;
    return { ...found, clockMs, codes: codes.length, aheadMs: last.aheadMs, name: last.name, early, enough };
  }
}

// The farthest that a display draws ahead.
export const MOST_AHEAD_MS = 1000;

// The `--ahead-ms` that makes up for a delay, within what a display takes.
export function aheadFor(delayMs) {
  return Math.min(Math.max(Math.round(delayMs), 0), MOST_AHEAD_MS);
}

// How much a delay may waver from code to code, standard deviations in milliseconds: from a steady wall to one that
// converts frame rates.
const WAVER_MS = [0.5, 1, 2, 4, 8, 16];
// One code in twenty may be anywhere within a second.
const STRAY = 0.05;
const STRAY_WITHIN_MS = 1000;
// Delays are weighed this finely, and this far from the middle of what was seen.
const STEP_MS = 0.5;
const REACH_MS = 80;

// The delay that these intervals tell of, each `[still older, already there]` in milliseconds: every delay in reach is
// weighed by how likely it makes them. Gives the mean; `spreadMs`, half of the interval that has 95 % of the weight; and
// `halfMs`, that with half a step of the screen or the camera, whichever is finer, on top.
export function weigh(intervals) {
  const middle = (values) => [...values].sort((a, b) => a - b)[values.length >> 1];
  const start = Math.floor(middle(intervals.map(([from, to]) => (from + to) / 2))) - REACH_MS;
  const logs = [];
  for (let step = 0; step <= (2 * REACH_MS) / STEP_MS; step += 1) {
    logs.push(WAVER_MS.map((waver) => likelihood(intervals, start + step * STEP_MS, waver)));
  }
  const most = Math.max(...logs.flat());
  const sum = (values) => values.reduce((a, b) => a + b, 0);
  const weights = logs.map((row) => sum(row.map((log) => Math.exp(log - most))));
  const all = sum(weights);
  const mean = sum(weights.map((weight, step) => weight * step)) / all;
  // The step below which there is this share of the weight.
  const below = (share) => {
    let so = 0;
    return weights.findIndex((weight) => (so += weight) >= share * all);
  };
  const spreadMs = ((below(0.975) - below(0.025) + 1) / 2) * STEP_MS;
  const hiddenMs = Math.min(SCREEN_STEP_MS, middle(intervals.map(([from, to]) => to - from))) / 2;
  return { delayMs: start + mean * STEP_MS, spreadMs, halfMs: spreadMs + hiddenMs };
}

function likelihood(intervals, delay, waver) {
  let log = 0;
  for (const [from, to] of intervals) {
    const fits = normal((to - delay) / waver) - normal((from - delay) / waver);
    log += Math.log((1 - STRAY) * fits + (STRAY * (to - from)) / STRAY_WITHIN_MS);
  }
  return log;
}

// The normal distribution's cumulative share (Abramowitz and Stegun 26.2.17; error below 7.5e-8).
function normal(x) {
  const t = 1 / (1 + 0.2316419 * Math.abs(x));
  const series = t * (0.319381530 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  const tail = 0.3989422804014327 * Math.exp((-x * x) / 2) * series;
  return x > 0 ? 1 - tail : tail;
}

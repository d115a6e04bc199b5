// What the announcer's page says aloud: plain facts from successive pictures. Each is said once, at most one in four
// seconds except finishes, only while it is true, and what turns out otherwise is taken back. Reads no clock: the moment,
// in feed milliseconds, comes with the picture. Leaves the words to the page.

import { reading } from "../common/time.js";
import { isMixed, leader, phase, rows, running } from "./view.js";

// A lead stands for so long before it is said, and whoever has fallen out of the last five before that is taken back: a
// tap that is undone at once changes nothing.
export const STANDS_MS = 3000;
// Between two facts; a listener needs the time, and finishes are worth more.
export const APART_MS = 4000;
// What could not be said for so long is no news any more.
export const NEWS_MS = 12000;
const LAST_MINUTE_TENTHS = 600;

// What goes first when several facts wait.
const URGENT = ["state", "finish", "minute", "lead", "last-five"];

// A fact is `{ what, key, ...content }`; `what` is "state", "lead", "last-five", "finish" or "minute". `change` says what
// it is to the listener: "new", "corrected" (known before, otherwise now) or "back" (not so any more).
export class Facts {
  constructor() {
    // By key, each with whether it was said; what stood when the page came was not.
    this.known = new Map();
    this.since = new Map();
    this.floor = null;
    // The run that was held and goes on.
    this.resumed = null;
    this.saidAt = -Infinity;
  }

  // The facts to say now, in order.
  look(picture, nowMs) {
    const floor = `${picture.titles.heat}:${picture.heat.run}`;
    const { counting_down: counting } = picture.heat.clock;
    if (counting && counting.elapsed_ms > 0) this.resumed = floor;
    const standing = standingFacts(picture, nowMs, this.resumed === floor);
    if (this.floor !== floor) this.begin(floor, standing);
    const lanes = new Map(rows(picture).map((row) => [row.lane, row]));
    this.follow(standing, lanes);
    const candidates = [...this.news(standing), ...this.gone(standing, lanes)];
    this.watch(candidates, nowMs);
    return this.chosen(candidates, nowMs);
  }

  // Another heat or run: what stands already is known and not said, but for the heat's state.
  begin(floor, standing) {
    const state = this.known.get("state");
    this.known.clear();
    for (const fact of standing) this.known.set(fact.key, { ...fact, said: false });
    if (state) this.known.set("state", state);
    this.since.clear();
    this.floor = floor;
  }

  // What changes without a word: whoever is first because the leader is done has not taken the lead, and whoever has
  // fallen out of a last five that was not said is not there.
  follow(standing, lanes) {
    for (const fact of standing) {
      const known = this.known.get(fact.key);
      const before = fact.what === "lead" && known && lanes.get(known.lane);
      if (before && before.count.status !== "racing") this.known.set(fact.key, { ...fact, said: false });
    }
    for (const fact of this.known.values()) {
      if (fact.what === "last-five" && !fact.said && fellBack(fact, lanes.get(fact.lane))) this.known.delete(fact.key);
    }
  }

  // What stands and is not known like this.
  news(standing) {
    return standing.flatMap((fact) => {
      const known = this.known.get(fact.key);
      if (known && same(known, fact)) return [];
      const corrected = known && fact.what === "finish";
      return [{ ...fact, change: corrected ? "corrected" : "new", afterMs: fact.what === "lead" ? STANDS_MS : 0 }];
    });
  }

  // What is known and does not stand any more.
  gone(standing, lanes) {
    const there = new Set(standing.map(({ key }) => key));
    return [...this.known.values()].flatMap((fact) => {
      const row = lanes.get(fact.lane);
      if (there.has(fact.key) || !row || row.count.run !== fact.run) return [];
      // Under review nothing is decided.
      const finish = fact.what === "finish" && row.count.status !== "under_review";
      if (finish) return [{ ...fact, change: "back", afterMs: 0 }];
      return fact.what === "last-five" && fellBack(fact, row) ? [{ ...fact, change: "back", afterMs: STANDS_MS }] : [];
    });
  }

  // Remembers since when each candidate is one.
  watch(candidates, nowMs) {
    const names = new Set(candidates.map(nameOf));
    for (const name of this.since.keys()) if (!names.has(name)) this.since.delete(name);
    for (const name of names) if (!this.since.has(name)) this.since.set(name, nowMs);
  }

  chosen(candidates, nowMs) {
    const ripeFor = (fact) => nowMs - this.since.get(nameOf(fact)) - fact.afterMs;
    const isNews = (fact) => ripeFor(fact) <= NEWS_MS || fact.what === "finish";
    candidates.filter((fact) => !isNews(fact)).forEach((fact) => this.learn(fact, false));
    const ripe = candidates.filter((fact) => isNews(fact) && ripeFor(fact) >= 0);
    ripe.sort((one, other) => URGENT.indexOf(one.what) - URGENT.indexOf(other.what) || ripeFor(other) - ripeFor(one));
    const finishes = ripe.filter(({ what, change }) => what === "finish" && change === "new");
    const mayWait = nowMs - this.saidAt < APART_MS ? [] : ripe.slice(0, 1);
    const spoken = finishes.length > 0 ? finishes : mayWait;
    if (spoken.length > 0) this.saidAt = nowMs;
    spoken.forEach((fact) => this.learn(fact, true));
    return spoken;
  }

  // From now on it is known, or not any more.
  learn({ change, afterMs, ...fact }, said) {
    if (change === "back") this.known.delete(fact.key);
    else this.known.set(fact.key, { ...fact, said });
  }
}

// Whether a lane that was in the last five has less than it had then.
function fellBack({ run, done }, row) {
  return Boolean(row) && row.count.run === run && row.count.status === "racing" && row.count.done < done;
}

// What a fact says, apart from what happened to be so when it was first seen.
const content = ({ what, lane, place, result, value }) => JSON.stringify([what, lane, place, result, value]);
const same = (one, other) => content(one) === content(other);
const nameOf = (fact) => `${fact.change}:${fact.key}:${content(fact)}`;

// Everything that is so at this moment.
function standingFacts(picture, nowMs, resumed) {
  const { heat, titles } = picture;
  const again = resumed && ["countdown", "running"].includes(heat.state);
  const facts = [{ what: "state", key: "state", value: `${titles.heat}:${heat.run}:${heat.state}`, state: heat.state, run: heat.run, again }];
  const mixed = isMixed(picture);
  for (const row of rows(picture)) facts.push(...laneFacts(row, mixed));
  if (phase(picture) === "running") facts.push(...leads(picture));
  const { leftTenths } = reading(picture, nowMs * 1000);
  if (heat.state === "running" && heat.cap_ms > 60000 && leftTenths <= LAST_MINUTE_TENTHS) facts.push({ what: "minute", key: "minute" });
  return facts;
}

function laneFacts({ lane, count, course, place }, mixed) {
  const { run, done, status, to_go, part } = count;
  // As many rounds as possible: all end together, and nobody crosses a line.
  if (course.scoring !== "for_time") return [];
  const result = count.result && count.result.text;
  if (status === "finished") return [{ what: "finish", key: `finish:${lane}:${run}`, lane, run, place, result, mixed }];
  if (status !== "racing" || to_go == null) return [];
  return [{ what: "last-five", key: `five:${lane}:${run}:${part}`, lane, run, done, part }];
}

// The leaders: one for the heat, or one for each division.
function leads(picture) {
  const divisions = isMixed(picture) ? running(picture).leaders.map((group) => group.division) : [null];
  return divisions.flatMap((division) => {
    const first = leader(picture, division);
    return first ? [{ what: "lead", key: `lead:${division}`, lane: first.lane, mixed: division !== null }] : [];
  });
}

import assert from "node:assert/strict";
import { test } from "node:test";

import { aheadFor, ENOUGH_CODES, read, Sightings, weigh } from "../probe/estimate.js";
import { commitMs, Road } from "../probe/road.js";

// Random numbers that replay from a seed (the "mulberry" generator: 32 bits of state, well mixed).
function random(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

const STANDS_MS = 207;

// A wall and a camera: what the camera's frames show, `[text, pageUs]`, and how late the wall truly was on average.
function film({ seed, seconds = 8, camera, refresh, delay, ahead = 0, missed = 0, stray = 0, add = 0, speed = 1 }) {
  const chance = random(seed);
  const phase = chance() * refresh;
  const begin = 1000 + Math.floor(chance() * 1000);
  // When each code appears, real milliseconds: the display draws it ahead, and the wall shows it at its next refresh.
  const shown = [];
  for (let number = Math.floor(begin / STANDS_MS); number * STANDS_MS < begin + seconds * 1000; number += 1) {
    const due = number * STANDS_MS - ahead + delay;
    const at = refresh ? Math.ceil((due - phase) / refresh) * refresh + phase : due;
    shown.push({ text: `FM:${number * STANDS_MS * speed}:${ahead}:NORTH`, at, late: at - number * STANDS_MS + ahead });
  }
  const frames = [];
  for (let at = begin + chance() * camera; at < begin + seconds * 1000; at += camera) {
    const wavers = at + (chance() - 0.5) * 2;
    const last = shown.findLast((code) => code.at <= wavers);
    // In the middle of a change there is nothing to read, and elsewhere now and then.
    const blurred = last && wavers - last.at < 4 && chance() < 0.5;
    if (!last || blurred || chance() < missed) continue;
    const strays = chance() < stray ? camera * (1 + chance()) : 0;
    frames.push([last.text, Math.round((wavers + strays - add) * 1000 * speed)]);
  }
  const seen = shown.slice(3, -3);
  return { frames, late: seen.reduce((sum, code) => sum + code.late, 0) / seen.length };
}

const clock = (add = 0, speed = 1, errorUs = 0) => ({ addUs: add * 1000 * speed, speedMilli: 1000 * speed, errorUs });

function watched(frames, time = clock()) {
  const sightings = new Sightings();
  const became = frames.map(([text, pageUs]) => sightings.see(text, pageUs, time));
  return { sightings, became };
}

test("a code is read, and nothing else is taken for one", () => {
  assert.deepEqual(read("FM:61272:120:SOUTH-WALL"), { timeMs: 61272, aheadMs: 120, name: "SOUTH-WALL" });
  assert.deepEqual(read("FM:0:0:"), { timeMs: 0, aheadMs: 0, name: "" });
  for (const other of ["", "FM:", "fm:1:2:", "FM:1:2", "FM:-1:2:", "FM:1.5:2:", "FM:1:2:a", "FM:1:2:A\n", "https://example.org/FM:1:2:"]) {
    assert.equal(read(other), null, other);
  }
});

test("over hundreds of walls and cameras the delay is right to half a camera frame in 19 of 20", () => {
  const rates = [1000 / 30, 1000 / 60, 1001 / 30, 1000 / 24, 1000 / 25];
  const walls = [0, 1000 / 60, 1000 / 50, 1001 / 60];
  const films = 200;
  let [right, within, enough] = [0, 0, 0];
  for (let seed = 1; seed <= films; seed += 1) {
    const chance = random(seed * 7919);
    const pick = (list) => list[Math.floor(chance() * list.length)];
    const [camera, refresh] = [pick(rates), pick(walls)];
    const setting = { seed, camera, refresh, delay: chance() * 400, ahead: pick([0, 120]), missed: chance() * 0.4, stray: 0.01 };
    const add = 5000 * chance();
    const { frames, late } = film({ ...setting, add });
    // The phone's clock is wrong by a few milliseconds, as its exchanges with the feed allow.
    const wrong = (chance() - 0.5) * 8;
    const time = clock(add + wrong, 1, 4000);
    const { sightings } = watched(frames, time);
    const found = sightings.estimate(time);
    const error = Math.abs(found.delayMs - late);
    if (error <= camera / 2) right += 1;
    if (Math.abs(found.delayMs - late - wrong) <= found.halfMs) within += 1;
    if (found.enough) enough += 1;
    assert.equal(found.early, false, `film ${seed}`);
    assert.ok(error < camera + 4, `film ${seed}: ${found.delayMs} for ${late}`);
  }
  assert.ok(right >= films * 0.95, `right in ${right} of ${films}`);
  assert.ok(within >= films * 0.95, `inside of its interval in ${within} of ${films}`);
  assert.ok(enough >= films * 0.6, `a result in ${enough} of ${films}`);
});

test("a heat that runs faster is measured in real milliseconds", () => {
  const { frames, late } = film({ seed: 5, camera: 1000 / 30, refresh: 0, delay: 150, ahead: 40, speed: 20 });
  const time = clock(0, 20, 40_000);
  const found = watched(frames, time).sightings.estimate(time);
  assert.ok(Math.abs(found.delayMs - late) < 3, `${found.delayMs} for ${late}`);
  assert.equal(found.clockMs, 2);
  assert.equal(found.aheadMs, 40);
});

test("frames that always meet codes at the same moment leave the whole frame open", () => {
  // No camera does this for long, but one that did would know no better: between 90 and 120 ms anything fits.
  const { delayMs, spreadMs } = weigh(Array.from({ length: 50 }, () => [90, 120]));
  assert.ok(Math.abs(delayMs - 105) < 1 && spreadMs > 12, `${delayMs} ± ${spreadMs}`);
});

test("codes that were read wrongly late move nothing", () => {
  const seen = Array.from({ length: 30 }, (_, code) => [80 + (code % 10) * 2, 110 + (code % 10) * 2]);
  const { delayMs, spreadMs } = weigh([...seen, [400, 430], [700, 730]]);
  assert.ok(Math.abs(delayMs - 104) < 3 && spreadMs < 8, `${delayMs} ± ${spreadMs}`);
});

test("few codes are no result, and many are kept in bounds", () => {
  const { frames } = film({ seed: 9, seconds: 60, camera: 1000 / 60, refresh: 0, delay: 80 });
  const sightings = new Sightings();
  for (const [text, pageUs] of frames) {
    sightings.see(text, pageUs, clock());
    const found = sightings.estimate(clock());
    if (sightings.codes.length < 3) assert.equal(found, null);
    else if (sightings.codes.length < ENOUGH_CODES) assert.equal(found.enough, false);
    if (sightings.codes.length === ENOUGH_CODES) break;
  }
  assert.equal(sightings.estimate(clock()).enough, true);
  const { sightings: long } = watched(frames);
  assert.equal(long.codes.length, 100);
});

test("what is seen before its time is refused: a clock is wrong", () => {
  const { frames } = film({ seed: 3, camera: 1000 / 30, refresh: 0, delay: 60 });
  const behind = clock(-100, 1, 20_000);
  const found = watched(frames, behind).sightings.estimate(behind);
  assert.ok(found.early && !found.enough, `${found.delayMs}`);
  // What the clock's own error explains is no fault.
  const doubtful = clock(-100, 1, 60_000);
  assert.equal(watched(frames, doubtful).sightings.estimate(doubtful).early, false);
});

test("codes of another feed, and texts that are no time codes, count for nothing", () => {
  const { frames } = film({ seed: 4, camera: 1000 / 30, refresh: 0, delay: 60 });
  const { sightings, became } = watched(frames, clock(3_600_000));
  assert.deepEqual([...new Set(became)], ["foreign"]);
  assert.equal(sightings.estimate(clock()), null);
  assert.equal(sightings.see("https://example.org", 0, clock()), "strange");
});

test("another screen, or another setting of it, starts over", () => {
  const one = film({ seed: 6, seconds: 3, camera: 1000 / 30, refresh: 0, delay: 100 }).frames;
  const { sightings } = watched(one);
  assert.ok(sightings.codes.length > 8);
  const pageUs = one.at(-1)[1] + 33_000;
  const ahead = one.at(-1)[0].replace(":0:", ":100:");
  assert.equal(sightings.see(ahead, pageUs, clock()), "changed");
  assert.equal(sightings.codes.length, 0);
  assert.equal(sightings.see(ahead.replace("NORTH", "SOUTH"), pageUs + 33_000, clock()), "changed");
});

test("a frame that comes late is passed over, and a display that starts again is followed", () => {
  const { frames } = film({ seed: 8, seconds: 4, camera: 1000 / 30, refresh: 0, delay: 100 });
  const { sightings } = watched(frames);
  const count = sightings.codes.length;
  const [text, pageUs] = frames.at(-1);
  assert.equal(sightings.see(text, pageUs - 66_000, clock()), "same");
  assert.equal(sightings.last.pageUs, pageUs);
  assert.equal(sightings.see(frames[0][0], pageUs + 33_000, clock()), "same");
  assert.equal(sightings.codes.length, count);
  for (let frame = 2; frame < 9; frame += 1) sightings.see(frames[0][0], pageUs + frame * 33_000, clock());
  assert.equal(sightings.codes.length, 0);
});

test("a proposal stays within what a display takes", () => {
  assert.deepEqual([-12, 0.4, 119.6, 1000.4, 4000].map(aheadFor), [0, 0, 120, 1000, 1000]);
});

test("a tap's way is half its round trip, and an exchange's before the first tap", () => {
  const link = { state: "up", asked: 0, exchange: () => (link.asked += 1), clock: { speedMilli: 2000, samples: [], now: () => link.at } };
  const road = new Road(link);
  assert.equal(road.wayMs(), null);
  link.clock.samples.push({ delay_us: 40_000 }, { delay_us: 16_000 }, { delay_us: 24_000 });
  assert.equal(road.wayMs(), 6, "half of 24 ms of heat time at twice the speed");
  link.at = 1030;
  road.heard({ t1_us: 1_000_000 });
  assert.equal(road.wayMs(), 6, "no tap asked for this");
  assert.ok(road.tap(1000));
  road.heard({ t1_us: 1_999_000 });
  assert.equal(road.wayMs(), 6, "an answer to what was asked before the tap");
  road.heard({ t1_us: 2_000_500 });
  assert.equal(road.wayMs(), 15);
  link.state = "down";
  assert.equal(road.tap(2000), false);
  assert.equal(link.asked, 1);
});

test("the feed's counters tell what a commit takes", () => {
  const counters = "fivemark_journal_commit_seconds_sum 0.25\nfivemark_journal_commit_seconds_count 100\n";
  assert.equal(commitMs(counters), 2.5);
  assert.equal(commitMs(counters.replace(" 100", " 0")), null);
  assert.equal(commitMs(""), null);
});

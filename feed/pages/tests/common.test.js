import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { test } from "node:test";

import { FeedClock, sample } from "../common/clock.js";
import { Link } from "../common/link.js";
import { apply } from "../common/picture.js";
import { endMs, reading, seconds, tenths } from "../common/time.js";
import { choose, LANGUAGES, Words } from "../common/words.js";
import { FluentResource } from "../lib/fluent/index.js";

test("an exchange gives offset and delay as RFC 5905 section 8 defines them", () => {
  // 50 ms each way between equal clocks: offset 0, delay 100 ms.
  assert.deepEqual(sample({ t1_us: 0, t2_us: 50_000, t3_us: 50_000, t4_us: 100_000 }), { add_us: 0, delay_us: 100_000 });
  // A feed that is 2 s ahead and takes 10 ms to answer.
  assert.deepEqual(sample({ t1_us: 0, t2_us: 2_030_000, t3_us: 2_040_000, t4_us: 70_000 }), { add_us: 2_000_000, delay_us: 60_000 });
});

test("the quickest of the last eight exchanges is believed", () => {
  const clock = new FeedClock(() => 0);
  assert.equal(clock.feedUs(), null);
  const exchange = (delay, add) => clock.hear({ t1_us: 0, t2_us: delay / 2 + add, t3_us: delay / 2 + add }, delay);
  exchange(10_000, 500);
  for (let number = 0; number < 7; number += 1) exchange(40_000 + number, 900);
  assert.deepEqual(clock.best(), { add_us: 500, delay_us: 10_000 });
  exchange(60_000, 900);
  assert.equal(clock.best().delay_us, 40_000);
  clock.setSpeed(2000);
  assert.equal(clock.best(), null, "samples of another speed are worth nothing");
  clock.forget();
  clock.hear({ t1_us: -1, t2_us: 0, t3_us: 0 }, 10);
  assert.equal(clock.best(), null, "nor is an answer to a question from before the clock stood still");
});

const lane = (number, done) => ({ lane: number, done });
const snapshot = { number: 7, at_ms: 0, heat: { cap_ms: 600_000, clock: "idle" }, entries: [], lanes: [lane(1, 3), lane(2, 4)], order: [] };

test("a delta changes what it names, an old one nothing, and a hole is told", () => {
  const next = apply(snapshot, { number: 8, at_ms: 5, lanes: [lane(2, 5)] });
  assert.deepEqual(next.lanes, [lane(1, 3), lane(2, 5)]);
  assert.equal(next.number, 8);
  assert.equal(apply(snapshot, { number: 7, at_ms: 5, lanes: [lane(2, 9)] }), snapshot);
  assert.equal(apply(snapshot, { number: 9, at_ms: 5 }), null);
});

test("elapsed time is cut down and time left is rounded up", () => {
  const running = { ...snapshot, heat: { cap_ms: 600_000, clock: { running: { zero_at_ms: 0 } } } };
  for (const [us, elapsed, left] of [
    [0, "0:00.0", "10:00.0"], [1, "0:00.0", "10:00.0"], [99_999, "0:00.0", "10:00.0"], [100_000, "0:00.1", "9:59.9"],
    [462_399_999, "7:42.3", "2:17.7"], [599_999_999, "9:59.9", "0:00.1"], [999_000_000_000, "10:00.0", "0:00.0"], [-5_000_000, "0:00.0", "10:00.0"],
  ]) {
    const now = reading(running, us);
    assert.deepEqual([tenths(now.elapsedTenths), tenths(now.leftTenths)], [elapsed, left], `${us} us`);
  }
  const counting = { ...snapshot, heat: { cap_ms: 600_000, clock: { counting_down: { since_ms: 0, go_at_ms: 10_000, elapsed_ms: 0 } } } };
  assert.equal(reading(counting, 0).countdownS, 10);
  assert.equal(reading(counting, 9_999_999).countdownS, 1);
  assert.equal(reading(counting, 10_000_000).countdownS, null);
  assert.equal(reading(counting, 12_340_000).elapsedTenths, 23);
  assert.equal(seconds(40_630), "1:07:43");
});

test("a lane that starts late or was credited time ends the heat that much later", () => {
  const entries = [{ lane: 1, start_ms: 30_000 }, { lane: 2 }];
  const lanes = [{ lane: 1 }, { lane: 2, credit_ms: 45_000 }];
  assert.equal(endMs({ heat: { cap_ms: 600_000 }, entries, lanes }), 645_000);
  assert.equal(endMs({ heat: { cap_ms: 600_000, cap_on_heat: true }, entries, lanes }), 600_000);
  assert.equal(endMs({ heat: { cap_ms: 600_000, alone: 1 }, entries, lanes }), 630_000);
});

test("every language has every message", () => {
  const folder = new URL("../messages/", import.meta.url);
  assert.deepEqual(readdirSync(folder).sort(), [...LANGUAGES].sort());
  for (const file of readdirSync(new URL("en/", folder))) {
    const ids = (language) => {
      const text = readFileSync(new URL(`${language}/${file}`, folder), "utf8");
      const found = new FluentResource(text).body.map((message) => message.id).sort();
      // What the parser does not understand it leaves out.
      assert.equal(found.length, text.split("\n").filter((line) => /^-?[a-z][a-z0-9-]* *=/.test(line)).length, `${language}/${file}`);
      return found;
    };
    for (const language of LANGUAGES) assert.deepEqual(ids(language), ids("en"), `${language}/${file}`);
  }
});

test("a page speaks the asked-for language, or the device's, or English", () => {
  assert.equal(choose("de", ["es-ES"]), "de");
  assert.equal(choose(null, ["fr-FR", "es-419", "en"]), "es");
  assert.equal(choose("xx", ["fr"]), "en");
  const words = new Words([["de", "a = eins"], ["en", "a = one\nb = { $count ->\n    [one] one rep\n   *[other] { $count } reps\n }"]]);
  assert.equal(words.say("a"), "eins");
  assert.equal(words.say("b", { count: 1 }), "one rep");
  assert.equal(words.mark, ",");
});

// A feed that a test plays by hand, and a clock that it sets.
function played() {
  const page = { heard: [], said: [], sockets: [], now: 0 };
  const open = () => {
    const socket = { send: (text) => page.said.push(JSON.parse(text)), close() {} };
    page.sockets.push(socket);
    return socket;
  };
  page.link = new Link({
    join: () => ({ role: "announcer", access_key: "k", device: "d" }),
    hear: (message) => page.heard.push(message.type),
    clock: new FeedClock(() => page.now),
    open,
  });
  page.tell = (message) => page.sockets.at(-1).onmessage({ data: JSON.stringify(message) });
  page.link.connect();
  page.sockets[0].onopen();
  return page;
}

test("a link joins, keeps its picture, and asks for what it missed", () => {
  const page = played();
  assert.deepEqual(page.said.shift(), { type: "join", role: "announcer", access_key: "k", device: "d" });
  page.tell({ type: "welcome", stream: "s", speed_milli: 1000 });
  page.tell({ type: "snapshot", ...snapshot });
  page.tell({ type: "delta", number: 8, at_ms: 1, lanes: [lane(1, 4)] });
  assert.equal(page.link.picture.lanes[0].done, 4);
  page.said.length = 0;
  page.tell({ type: "delta", number: 10, at_ms: 1 });
  page.tell({ type: "delta", number: 11, at_ms: 1 });
  assert.deepEqual(page.said, [{ type: "resume", stream: "s", last: 8 }], "asked once");
  assert.deepEqual(page.heard, ["up", "welcome", "snapshot", "delta"]);
  page.link.stop();
});

test("a link that comes back says where it stands, and forgets a stream that is over", () => {
  const page = played();
  page.tell({ type: "welcome", stream: "s", speed_milli: 1000 });
  page.tell({ type: "snapshot", ...snapshot });
  page.tell({ type: "clock", t1_us: 0, t2_us: 5_000, t3_us: 5_000 });
  page.link.connect();
  page.sockets[1].onopen();
  const join = page.said.at(-1);
  assert.deepEqual(join.resume, { stream: "s", last: 7 });
  assert.deepEqual(join.clock, { now_us: 0, add_us: 5_000, delay_us: 0 });
  page.tell({ type: "welcome", stream: "t", speed_milli: 1000 });
  assert.equal(page.link.picture, null);
  page.link.stop();
});

test("a silent link is given up, and a message is never taken for sent without one", () => {
  const page = played();
  assert.equal(page.link.say({ type: "clock", t1_us: 0 }), false, "not joined yet");
  page.tell({ type: "welcome", stream: "s", speed_milli: 1000 });
  page.now = 9_500;
  page.link.tick();
  assert.equal(page.link.state, "down");
  assert.deepEqual(page.heard, ["up", "welcome", "down"]);
  page.link.stop();
});

test("another page of the same device is not fought for its place", () => {
  const page = played();
  page.tell({ type: "welcome", stream: "s", speed_milli: 1000 });
  page.sockets[0].onclose({ code: 4001 });
  assert.deepEqual(page.heard, ["up", "welcome", "down", "replaced"]);
  assert.equal(page.link.stopped, true);
});

test("a clock that stood still is asked for anew", () => {
  const page = played();
  page.tell({ type: "welcome", stream: "s", speed_milli: 1000 });
  page.tell({ type: "clock", t1_us: 0, t2_us: 5_000, t3_us: 5_000 });
  page.said.length = 0;
  page.now = 60_000;
  page.link.forgetClock();
  assert.equal(page.link.clock.best(), null);
  assert.deepEqual(page.said, [{ type: "clock", t1_us: 60_000_000 }]);
  page.link.stop();
});

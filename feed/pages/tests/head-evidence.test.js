import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

import { Words } from "../common/words.js";
import { attention } from "../head/attention.js";
import { reviewLeft, reviewText, stopBeside } from "../head/evidence.js";
import { count, picture } from "./head-picture.js";

const words = new Words([["en", readFileSync(new URL("../messages/en/head.ftl", import.meta.url), "utf8")]]);
const seen = (text) => text.replace(/[\u2066-\u2069]/g, "");

test("a stop by hand stands beside the finish with what lies between them, penalties left out", () => {
  const finished = (stop_ms, result = {}) => count(1, { status: "finished", stop_ms, result: { text: "7:08.4", official_ms: 428_400, ...result } });
  const says = (of) => seen(stopBeside(of, words));
  assert.equal(says(finished(428_300)), "stopped by hand 7:08.3 (−0.1 s)");
  assert.equal(says(finished(438_500)), "stopped by hand 7:18.5 (+10.1 s)");
  assert.equal(says(finished(428_400)), "stopped by hand 7:08.4 (±0.0 s)");
  assert.equal(says(finished(418_400, { penalty_ms: 10_000 })), "stopped by hand 6:58.4 (±0.0 s)");
  assert.equal(says(finished(508_400)), "stopped by hand 8:28.4 (+1:20.0 s)");
  assert.equal(says(count(1, { stop_ms: 61_500 })), "stopped by hand 1:01.5");
  assert.equal(says(count(1)), "");
});

test("a review says how much time is left, and is flagged once that is over", () => {
  const under = count(1, { status: "under_review", review_until_ms: 400_000 });
  assert.equal(reviewLeft(under, 148_000), 252_000);
  assert.equal(seen(reviewText(252_000, words)), "review: 4:12 left");
  assert.equal(seen(reviewText(1, words)), "review: 0:01 left");
  assert.equal(reviewText(0, words), "review overdue");
  assert.equal(reviewLeft(count(1, { status: "under_review" }), 148_000), null, "without a deadline");
  assert.equal(reviewLeft({ ...under, status: "capped" }, 148_000), null, "ruled on");
  assert.equal(reviewLeft(under, null), null, "before feed time is known");
  const found = (feedMs) => attention(picture({ lanes: [under, count(2)] }), feedMs).map(({ what, lane }) => `${what} ${lane}`);
  assert.deepEqual(found(399_999), ["under-review 1"]);
  assert.deepEqual(found(400_000), ["review-late 1"]);
  assert.deepEqual(found(null), ["under-review 1"]);
});

test("initials are missed only where the event wants them", () => {
  const result = { text: "7:08.4" };
  const of = (initials) => attention(picture({ heat: { state: "provisional" }, initials, lanes: [count(1, { result, confirmed: true }), count(2, { result })] }));
  assert.deepEqual(of(undefined).map(({ what }) => what), ["initials"]);
  assert.deepEqual(of(false), []);
});

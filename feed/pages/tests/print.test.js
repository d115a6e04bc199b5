// What is printed, as far as it is worked out without a page.

import assert from "node:assert/strict";
import { test } from "node:test";
import { grouped } from "../print/result-sheet.js";
import { linesOf, MOST_BOXES, written } from "../print/score-cards.js";
import { rounds, sprint } from "./head-picture.js";

test("a digest is read in groups of eight", () => {
  assert.deepEqual(grouped("0123456789abcdef01"), ["01234567", "89abcdef", "01"]);
});

test("a card has every part of a course that ends", () => {
  assert.deepEqual(written(sprint, 600_000).map(({ part, index }) => [part.short_name, index]), [["thruster", 0], ["pull-up", 1]]);
});

test("a card of open-ended work has as many rounds as may be done, and no more than fit", () => {
  const paced = { ...rounds, parts: rounds.parts.map((part) => ({ ...part, expected_ms_per_unit: 4_000 })) };
  // A round of 15 units at 4 s takes a minute: half as many again as five.
  const five = written(paced, 300_000);
  assert.deepEqual(five.slice(0, 3).map(({ part, round }) => [part.short_name, round]), [["row", 0], ["burpee", 1], ["squat", 1]]);
  assert.equal(five.at(-1).round, 8);
  assert.equal(written(paced, 10_000).at(-1).round, 3);
  assert.equal(written(paced, 7_200_000).at(-1).round, 11, "23 rows after the buy-in, two a round");
  assert.ok(MOST_BOXES >= 100);
});

test("a card has a line for each attempt, as far as a page has room", () => {
  assert.deepEqual([{ attempts: 3 }, { attempts: 40 }, {}].map(linesOf), [3, 12, 12]);
});

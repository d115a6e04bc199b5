// A paper card as one act: the count is ruled, and its initials follow under the result that came of it.

import assert from "node:assert/strict";
import { test } from "node:test";
import { mayConfirm, PaperCard } from "../head/paper-card.js";
import { count, picture } from "./head-picture.js";

const initials = { athlete: "IBO", judge: "SK" };
const reason = "taken from the paper card";
const heat = { state: "provisional" };
const before = picture({ heat, lanes: [count(1, { status: "capped", result: { text: "0 of 90" } })] });
const after = picture({ heat, lanes: [count(1, { status: "capped", done: 61, result: { text: "61 of 90" } })] });
const noted = { type: "delta", rulings: [{ lane: 1, reason }] };

function played() {
  const did = { given: [], told: [], done: [], ids: 100 };
  const give = (command) => {
    did.given.push(command);
    return (did.ids += 1);
  };
  did.card = new PaperCard({ give, tell: (id) => did.told.push(id), done: (lane) => did.done.push(lane) });
  did.card.begin({ id: 7, lane: 1, initials, reason });
  return did;
}

const answer = (id, state) => ({ message: { id }, state });

test("initials follow under the result that the ruling made, whichever is heard first", () => {
  for (const ruledFirst of [true, false]) {
    const did = played();
    if (ruledFirst) did.card.changed(answer(7, "done"), before);
    assert.deepEqual(did.given, [], "not under the result before it");
    did.card.hear(noted, after);
    if (!ruledFirst) did.card.changed(answer(7, "done"), after);
    assert.deepEqual(did.given, [{ type: "confirm", lane: 1, run: 1, result: "61 of 90", ...initials, reason }]);
    did.card.changed(answer(101, "done"), after);
    assert.deepEqual([did.done, did.told], [[1], []]);
    assert.deepEqual(did.card.typedFor(1), { athlete: "", judge: "" });
  }
});

test("after a lost link the whole picture tells the result", () => {
  const did = played();
  did.card.changed(answer(7, "done"), before);
  did.card.hear({ type: "snapshot" }, after);
  assert.equal(did.given[0].result, "61 of 90");
});

test("initials that are refused are told, and what was typed is kept", () => {
  const did = played();
  did.card.changed(answer(7, "done"), before);
  did.card.hear(noted, after);
  did.card.changed(answer(101, "refused"), after);
  assert.deepEqual([did.told, did.done], [["card-initials-refused"], []]);
  assert.deepEqual(did.card.typedFor(1), initials);
  did.card.hear(noted, after);
  assert.equal(did.given.length, 1, "nothing is sent again by itself");
});

test("a count that is refused leaves its initials unsent and typed", () => {
  const did = played();
  did.card.changed(answer(7, "refused"), before);
  did.card.hear(noted, after);
  assert.deepEqual(did.given, []);
  assert.deepEqual(did.card.typedFor(1), initials);
});

test("another ruling on the lane is not the card's", () => {
  const did = played();
  did.card.changed(answer(7, "done"), before);
  did.card.hear({ type: "delta", rulings: [{ lane: 1, reason: "counted on video" }] }, before);
  did.card.hear({ type: "delta", rulings: [{ lane: 2, reason }] }, before);
  assert.deepEqual(did.given, []);
});

test("a lane that has no result yet has nothing to confirm", () => {
  const running = picture({ lanes: [count(1, { done: 61 })] });
  assert.equal(mayConfirm(running, false), false);
  assert.equal(mayConfirm(running, true), true);
  assert.equal(mayConfirm(after, false), true);
  const did = played();
  did.card.changed(answer(7, "done"), running);
  did.card.hear(noted, running);
  assert.deepEqual([did.given, did.told], [[], ["card-no-result"]]);
});

import assert from "node:assert/strict";
import { test } from "node:test";

import { Commands, FLOOR_FRESH_MS, MAX_WAITING } from "../common/commands.js";

// Commands over a link that a test cuts, with storage that outlives a reload.
function desk(disk = { text: "[]" }) {
  const desk = { disk, sent: [], up: true, now: 0, told: [], timers: [] };
  let id = 0;
  desk.load = () => {
    desk.commands = new Commands({
      send: (message) => desk.up && Boolean(desk.sent.push(message)),
      store: { read: () => JSON.parse(disk.text), write: (value) => (disk.text = JSON.stringify(value)) },
      changed: (entry) => desk.told.push(entry.state),
      now: () => desk.now,
      later: (run) => desk.timers.push(run),
      newId: () => (id += 1),
    });
  };
  desk.load();
  return desk;
}

const hold = { type: "floor", heat: 7, command: "hold" };
const ribbon = { type: "show", command: { overlay: { part: "ribbon", on: true } } };

test("a command is kept until its own answer comes", () => {
  const { commands, sent, disk, told } = desk();
  const id = commands.give(hold);
  assert.deepEqual(sent, [{ ...hold, id }]);
  commands.hear({ type: "ack", of: { show: { id } } });
  commands.hear({ type: "ack", of: { floor: { id: 99 } } });
  commands.hear({ type: "refusal", of: "message", code: "malformed", says: "" });
  assert.equal(commands.waiting.length, 1, "none of these is its answer");
  commands.hear({ type: "ack", of: { floor: { id } } });
  assert.deepEqual([commands.waiting.length, commands.answered[0].state, disk.text], [0, "done", "[]"]);
  assert.deepEqual(told, ["waiting", "done"]);
});

test("a refusal comes with its words", () => {
  const { commands } = desk();
  const id = commands.give(hold);
  commands.hear({ type: "refusal", of: { floor: { id } }, code: "not_in_this_state", says: "The heat is on deck." });
  assert.equal(commands.answered[0].state, "refused");
  assert.equal(commands.answered[0].answer.says, "The heat is on deck.");
});

test("after a lost link or a reload all are sent again, in order, with the same ids", () => {
  const page = desk();
  page.up = false;
  const ids = [page.commands.give(ribbon), page.commands.give(hold)];
  assert.deepEqual(page.sent, []);
  page.load();
  page.up = true;
  page.commands.hear({ type: "up" });
  assert.deepEqual(page.sent.map(({ id }) => id), ids);
  page.commands.hear({ type: "up" });
  assert.equal(page.sent.length, 4, "until they are answered");
});

test("what made sense at its moment alone waits for a word when it is old", () => {
  const page = desk();
  const start = page.commands.give({ type: "floor", heat: 7, command: "start_countdown" }, { freshMs: FLOOR_FRESH_MS });
  const shown = page.commands.give(ribbon);
  page.sent.length = 0;
  page.now = FLOOR_FRESH_MS + 1;
  page.commands.hear({ type: "up" });
  assert.deepEqual(page.sent.map(({ id }) => id), [shown]);
  assert.equal(page.commands.find(start).state, "unsure");
  page.commands.again(start);
  assert.equal(page.sent.at(-1).id, start);
  page.now = 0;
  page.commands.hear({ type: "up" });
  assert.equal(page.commands.find(start).state, "unsure", "a clock that was set back makes nothing fresh");
  page.commands.drop(start);
  assert.equal(page.commands.find(start), undefined);
});

test("too fast is no answer: it is sent again a little later", () => {
  const page = desk();
  const id = page.commands.give(hold);
  page.commands.hear({ type: "refusal", of: { floor: { id } }, code: "too_fast", says: "" });
  page.commands.hear({ type: "refusal", of: { floor: { id } }, code: "shutting_down", says: "" });
  assert.equal(page.commands.waiting.length, 1);
  page.timers.forEach((run) => run());
  assert.deepEqual(page.sent.map((message) => message.id), [id, id]);
});

test("what waits is bounded", () => {
  const page = desk();
  page.up = false;
  for (let count = 0; count < MAX_WAITING; count += 1) assert.notEqual(page.commands.give(hold), null);
  assert.equal(page.commands.give(hold), null);
});

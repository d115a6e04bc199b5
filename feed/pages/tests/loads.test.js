import assert from "node:assert/strict";
import { test } from "node:test";

import { figures, loadText, stepped, typedLoad } from "../common/loads.js";

test("loads read as they were declared", () => {
  assert.equal(loadText(142_500, "kg"), "142.5\u00a0kg");
  assert.equal(loadText(142_500, "kg", ","), "142,5\u00a0kg");
  assert.deepEqual([100_000, 61_250, 1].map((load) => figures(load, "kg")), ["100", "61.25", "0.001"]);
  // 1, 2.5, 45, 225 and 405 lb to the gram: a pound is 0.45359237 kg (NIST SP 811; pint 0.25.3).
  assert.deepEqual([454, 1_134, 20_412, 102_058, 183_705].map((load) => figures(load, "lb")), ["1", "2.5", "45", "225", "405"]);
});

test("what is typed comes back, in both units", () => {
  for (const unit of ["kg", "lb"]) {
    for (const typed of ["1", "42.5", "100", "142.25", "999.99"]) assert.equal(figures(typedLoad(typed, unit), unit), typed);
  }
  assert.equal(typedLoad(" 142,5 ", "kg"), 142_500);
  assert.equal(typedLoad("0.001", "kg"), 1);
  assert.equal(typedLoad("1000", "kg"), 1_000_000);
  for (const wrong of ["", "0", "-5", "1000.001", "1e3", "42.1234", "kg", "1 000", "12345"]) assert.equal(typedLoad(wrong, "kg"), null, wrong);
  assert.equal(typedLoad("225.125", "lb"), null, "hundredths of a pound are the finest");
});

test("steps are taken in the declared unit, and lead to no load beyond the bounds", () => {
  assert.equal(stepped(100_000, 2.5, "kg"), 102_500);
  assert.equal(stepped(102_058, 10, "lb"), typedLoad("235", "lb"));
  assert.equal(stepped(2_500, -2.5, "kg"), null);
  assert.equal(stepped(995_000, 10, "kg"), null);
  let load = typedLoad("45", "lb");
  for (let step = 0; step < 50; step += 1) load = stepped(load, 5, "lb");
  assert.equal(figures(load, "lb"), "295", "fifty steps lose nothing");
});

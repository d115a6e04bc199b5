// What the trust page makes of a phone and a fingerprint.

import assert from "node:assert/strict";
import { test } from "node:test";

import { groups, phone } from "../trust/trust.js";

test("a fingerprint is read out in groups", () => {
  assert.deepEqual(groups("AA:01:02:03:BB:05:06:07"), ["AA:01:02:03", "BB:05:06:07"]);
  assert.equal(groups(Array(32).fill("AB").join(":")).length, 8);
});

test("a phone is shown its own steps, and any other device all of them", () => {
  const iphone = "Mozilla/5.0 (iPhone; CPU iPhone OS 14_4 like Mac OS X) AppleWebKit/605.1.15";
  const mac = "Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) AppleWebKit/605.1.15";
  const android = "Mozilla/5.0 (Linux; Android 11; SM-A125F) AppleWebKit/537.36 Chrome/87.0";
  assert.equal(phone(iphone, 5), "ios");
  assert.equal(phone(mac, 5), "ios", "an iPad calls itself a Mac");
  assert.equal(phone(mac, 0), null);
  assert.equal(phone(android, 5), "android");
});

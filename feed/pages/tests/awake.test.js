import assert from "node:assert/strict";
import { test } from "node:test";

// A browser with a screen lock that is lost whenever the page is hidden; without one where `lock` is false.
function browser({ lock = true, refuses = false } = {}) {
  const heard = {};
  const taken = [];
  const request = async () => {
    if (refuses) throw new Error("the battery is nearly empty");
    const one = { addEventListener: (name, does) => (one.lost = does) };
    taken.push(one);
    return one;
  };
  globalThis.document = { visibilityState: "visible", addEventListener: (name, does) => (heard[name] = does) };
  Object.defineProperty(globalThis, "navigator", { value: lock ? { wakeLock: { request } } : {}, configurable: true });
  return { heard, taken };
}

const { Awake } = await import("../common/awake.js");
const settled = () => new Promise((done) => setTimeout(done, 0));

test("a screen is kept on, and asked for again after the page was hidden", async () => {
  const { heard, taken } = browser();
  const awake = new Awake();
  assert.equal(awake.state, "off");
  awake.want();
  awake.want();
  await settled();
  assert.deepEqual([awake.state, taken.length], ["on", 1]);
  taken[0].lost();
  assert.equal(awake.state, "off");
  globalThis.document.visibilityState = "hidden";
  heard.visibilitychange();
  await settled();
  assert.equal(taken.length, 1, "a page that is not seen asks for nothing");
  globalThis.document.visibilityState = "visible";
  heard.visibilitychange();
  await settled();
  assert.deepEqual([awake.state, taken.length], ["on", 2]);
});

test("where a screen cannot be kept on, nothing happens", async () => {
  browser({ lock: false });
  const unable = new Awake();
  unable.want();
  await settled();
  assert.equal(unable.state, "unable");
  browser({ refuses: true });
  const refused = new Awake();
  refused.want();
  await settled();
  assert.equal(refused.state, "off");
});

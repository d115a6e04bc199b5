// Fills in what the feed says of its authority, and opens the steps of the phone that asks. Without scripts the steps
// are all there, in English.

import { load } from "../common/words.js";

// A fingerprint as groups of four pairs of digits.
export function groups(fingerprint) {
  const pairs = fingerprint.split(":");
  const all = [];
  for (let at = 0; at < pairs.length; at += 4) all.push(pairs.slice(at, at + 4).join(":"));
  return all;
}

// Which steps a browser needs; null if it says neither. An iPad calls itself a Mac, and has fingers.
export function phone(agent, touchPoints) {
  if (/iPhone|iPad|iPod/.test(agent) || (/Macintosh/.test(agent) && touchPoints > 1)) return "ios";
  return /Android/.test(agent) ? "android" : null;
}

async function show() {
  const [words, about] = await Promise.all([load("trust"), (await fetch("/trust/about.json")).json()]);
  const print = document.getElementById("fingerprint");
  for (const group of groups(about.fingerprint)) {
    const part = document.createElement("span");
    part.textContent = group;
    print.append(part);
  }
  document.getElementById("called").textContent = words.say("trust-called", { name: about.name, until: about.until });
  for (const address of about.addresses) {
    const link = document.createElement("a");
    link.href = link.textContent = address;
    const item = document.createElement("li");
    item.append(link);
    document.getElementById("addresses").append(item);
  }
  const mine = phone(navigator.userAgent, navigator.maxTouchPoints || 0);
  for (const id of mine ? [mine] : ["ios", "android"]) document.getElementById(id).open = true;
}

if (typeof document !== "undefined") show();

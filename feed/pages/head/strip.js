// The strip of what needs the head judge's eyes: one line for each thing, with its lanes to touch.

import { attention } from "./attention.js";
import { button, element, refill, setHidden } from "./dom.js";
import { flagAttention } from "./flags.js";
import { phoneAttention } from "./phones.js";

export class Strip {
  // `open` is told the lane that was touched.
  constructor({ words, open }) {
    Object.assign(this, { words, open });
    this.section = document.getElementById("strip");
    this.list = this.section.querySelector("ul");
  }

  show(picture, phones, flags, feedMs) {
    const found = [...attention(picture, feedMs), ...phoneAttention(phones), ...flagAttention(flags)];
    // One line for each thing, with a button for each of its lanes.
    const lines = new Map();
    for (const { what, lane } of found) lines.set(what, [...(lines.get(what) || []), lane]);
    refill(this.list, JSON.stringify([...lines]), () => [...lines].map(([what, lanes]) => this.line(what, lanes)));
    setHidden(this.section, found.length === 0);
  }

  line(what, lanes) {
    const text = element("span", { textContent: this.words.say(`attention-${what}`) });
    const numbered = lanes.filter((lane) => lane !== null);
    const label = (lane) => this.words.say("attention-lane", { what: this.words.say(`attention-${what}`), lane });
    const buttons = numbered.map((lane) => button(String(lane), () => this.open(lane), { "aria-label": label(lane) }));
    return element("li", { "data-what": what }, text, ...buttons);
  }
}

// The PINs of the heat on the floor, lane by lane: a judge opens the judges' page and types the PIN. They die when the heat
// is signed. The cards of them, to be printed and cut, are on a page of their own.

import { write } from "../common/dom.js";
import { lane as laneOf } from "../common/picture.js";
import { button, element, setHidden } from "./dom.js";

// The lane judges' page of this feed.
const JUDGES_PAGE = "/judge";
// The cards, in a tab that comes in by the access key of this one.
const CARDS = "/print?what=pins";

export class Pins {
  // `ask` asks the feed for the PINs.
  constructor({ words, ask }) {
    Object.assign(this, { words, ask });
    this.section = document.getElementById("pins");
    this.list = element("ul", { class: "sheet" });
    this.none = element("p", { class: "quiet" });
    this.title = element("h2", { id: "pins-title" });
    this.print = button(words.say("print"), () => open(CARDS));
    const close = button(words.say("close"), () => this.close(), { class: "close" });
    this.section.append(element("div", { class: "head" }, this.title, this.print, close), this.none, this.list);
    this.section.addEventListener("keydown", (event) => event.key === "Escape" && this.close());
    this.opener = document.getElementById("show-pins");
    this.opener.addEventListener("click", () => this.open());
  }

  open() {
    write(this.none, this.words.say("pins-wait"));
    setHidden(this.section, false);
    this.section.focus();
    this.ask();
  }

  close() {
    setHidden(this.section, true);
    this.list.replaceChildren();
    this.opener.focus();
  }

  hear({ pins }, picture) {
    write(this.title, this.words.say("pins-of", { heat: picture.titles.heat_name }));
    write(this.none, pins.length === 0 ? this.words.say("pins-none") : this.words.say("pins-hint", { address: location.host + JUDGES_PAGE }));
    setHidden(this.print, pins.length === 0);
    this.list.replaceChildren(...pins.map((pin) => this.card(pin, picture)));
  }

  card({ lane, pin, shadow }, picture) {
    const { entry } = laneOf(picture, lane);
    const judge = entry && entry.judge && !shadow ? this.words.say("judged-by", { judge: entry.judge }) : "";
    const who = entry ? [entry.name, judge].filter(Boolean).join(" · ") : "";
    return element(
      "li",
      {},
      element("b", { textContent: this.words.say(shadow ? "pin-shadow" : "pin-lane", { lane }) }),
      element("span", { class: "pin", textContent: `${pin.slice(0, 3)} ${pin.slice(3)}` }),
      element("small", { class: "quiet", textContent: who }),
    );
  }
}

// What is printed of a heat: the result sheet, the brief, the cards with which judges' phones come in, and score cards for
// when everything fails. Asks the feed for a heat's papers, shows the chosen one as it will be printed, and prints it.

import { deviceName } from "../common/device.js";
import { write } from "../common/dom.js";
import { Entry } from "../common/entry.js";
import { Link } from "../common/link.js";
import { load } from "../common/words.js";
import { brief } from "./brief.js";
import { pinCards } from "./pin-cards.js";
import { resultSheet } from "./result-sheet.js";
import { scoreCards } from "./score-cards.js";
import { withCodes } from "./code.js";
import { element, speaking } from "./paper.js";

const PAPERS = ["result", "brief", "pins", "cards"];
// A heat that is being judged changes many times a second; a sheet is read at leisure.
const ANEW_EVERY_MS = 1000;

class Page {
  constructor(words) {
    this.words = words;
    this.asked = 0;
    this.papers = null;
    this.pins = null;
    this.again = null;
    const { searchParams } = new URL(location.href);
    // The floor operator comes in by a key of their own.
    this.role = searchParams.get("as") === "floor" ? "floor_operator" : "head_judge";
    this.device = deviceName("print");
    this.link = new Link({ join: () => this.join(), hear: (message) => this.hear(message) });
    this.entry = new Entry({ role: this.role, form: document.getElementById("entry"), words, came: () => this.link.start() });
    this.what = document.getElementById("what");
    this.heat = document.getElementById("heat");
    this.paper = document.getElementById("paper");
    this.told = document.getElementById("told");
    this.what.append(...PAPERS.map((name) => element("option", { value: name, textContent: words.say(`paper-${name}`) })));
    this.what.value = PAPERS.includes(searchParams.get("what")) ? searchParams.get("what") : "result";
    this.wanted = searchParams.get("heat");
    this.what.addEventListener("change", () => this.ask());
    this.heat.addEventListener("change", () => this.ask());
    document.getElementById("print").addEventListener("click", () => print());
  }

  join() {
    return this.entry.key ? { role: this.role, access_key: this.entry.key, device: this.device } : null;
  }

  hear(message) {
    if (this.entry.hear(message)) this.link.stop();
    if (message.type === "up" || message.type === "down") this.showLink();
    if (message.type === "snapshot") this.offer(message.titles);
    if (message.type === "snapshot") this.ask();
    if (message.type === "delta" && (message.heat || message.rulings || message.lanes)) this.askSoon();
    if (message.type === "pins") this.heardPins(message);
    if (message.type === "papers" && message.id === this.asked) this.show(message);
    if (message.type === "refusal" && message.of !== "join") write(this.told, message.says);
  }

  showLink() {
    const up = this.link.state === "up";
    write(document.getElementById("link"), up ? "" : this.words.say("link-lost"));
  }

  // The heats of the competition; the one on the floor is offered first.
  offer({ heats, heat }) {
    const chosen = this.heat.value || this.wanted;
    this.heat.replaceChildren(...heats.map((number) => element("option", { value: String(number), textContent: this.words.say(number === heat ? "heat-on-floor" : "heat-number", { heat: number }) })));
    this.heat.value = heats.map(String).includes(chosen) ? chosen : String(heat);
    document.getElementById("controls").hidden = false;
  }

  ask() {
    clearTimeout(this.again);
    this.again = null;
    this.asked += 1;
    this.link.say({ type: "ask_papers", id: this.asked, heat: Number(this.heat.value) });
    if (this.what.value === "pins") this.link.say({ type: "ask_pins" });
  }

  // What changed on the floor is on its heat's result sheet alone.
  askSoon() {
    const onFloor = this.link.picture && String(this.link.picture.titles.heat) === this.heat.value;
    if (!onFloor || this.what.value !== "result" || this.again !== null) return;
    this.again = setTimeout(() => this.ask(), ANEW_EVERY_MS);
  }

  heardPins(message) {
    this.pins = message;
    if (this.papers && this.what.value === "pins") this.show(this.papers);
  }

  async show(papers) {
    this.papers = papers;
    const { asked } = this;
    const made = await withCodes(this.make(papers));
    // Another one may have been asked for while codes were drawn.
    if (asked !== this.asked) return;
    this.paper.replaceChildren(made);
    this.paper.dataset.paper = this.what.value;
    document.title = [this.words.say(`paper-${this.what.value}`), papers.heat_name, papers.event].join(" · ");
    write(this.told, "");
  }

  make(papers) {
    const { words } = this;
    switch (this.what.value) {
      case "brief":
        return brief(papers, words);
      case "pins":
        return pinCards(papers, this.pins, words);
      case "cards":
        return scoreCards(papers, words);
      default:
        return resultSheet(papers, words);
    }
  }
}

load("print").then((words) => new Page(speaking(words)).link.start());

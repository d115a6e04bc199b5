// The head judge's page: every lane at a glance, the floor's commands, and rulings. Puts the parts together: link, commands
// on their way, picture, and what is shown of them.

import { Awake } from "../common/awake.js";
import { Commands, FLOOR_FRESH_MS, storeNamed } from "../common/commands.js";
import { deviceName } from "../common/device.js";
import { write } from "../common/dom.js";
import { Entry } from "../common/entry.js";
import { Link } from "../common/link.js";
import { load } from "../common/words.js";
import { Answers } from "./answers.js";
import { Calls } from "./calls.js";
import { setData, setHidden } from "./dom.js";
import { FloorBar } from "./floor-bar.js";
import { Judges } from "./judges.js";
import { Lanes } from "./lanes.js";
import { Panel } from "./panel.js";
import { PaperCard } from "./paper-card.js";
import { Pins } from "./pins.js";
import { SetLanes } from "./set-lanes.js";
import { Strip } from "./strip.js";
import { commandText, speaking } from "./wording.js";

// Ages are told in whole seconds.
const AGES_EVERY_MS = 500;

class Page {
  constructor(words) {
    this.words = words;
    this.device = deviceName("head-judge");
    this.calls = new Calls();
    this.phones = [];
    this.flags = [];
    this.questions = 0;
    this.link = new Link({ join: () => this.join(), hear: (message) => this.hear(message) });
    this.commands = new Commands({
      send: (message) => this.link.say(message),
      store: storeNamed("fivemark.commands.head-judge"),
      changed: (entry) => this.changed(entry),
    });
    this.card = new PaperCard({ give: (command) => this.giveLane(command), tell: (id) => this.answers.tell(id), done: (lane) => this.panel.cardDone(lane) });
    const open = (lane) => this.openLane(lane);
    this.bar = new FloorBar({ words, give: (heat, command) => this.giveFloor(heat, command) });
    this.strip = new Strip({ words, open });
    this.lanes = new Lanes({ words, calls: this.calls, open });
    this.panel = new Panel({ words, calls: this.calls, card: this.card, give: (command) => this.giveLane(command), ask: (lane) => this.askLane(lane), closed: (lane) => this.closedLane(lane) });
    this.pins = new Pins({ words, ask: () => this.link.say({ type: "ask_pins" }) });
    this.setLanes = new SetLanes({ words, give: (heat, command) => this.giveFloor(heat, command), ask: (find) => this.askAthletes(find) });
    this.judges = new Judges({ words, ask: () => this.link.say({ type: "ask_judges", id: (this.questions += 1) }) });
    this.answers = new Answers({ words, commands: this.commands, describe: (message) => commandText(message, words, this.loadUnit) });
    this.entry = new Entry({ role: "head_judge", form: document.getElementById("entry"), words, came: () => this.link.start() });
    this.linkText = document.getElementById("link");
    this.answers.show();
  }

  // The unit of the floor's loads.
  get loadUnit() {
    const { picture } = this.link;
    return (picture && picture.courses.length > 0 && picture.courses[0].load_unit) || "kg";
  }

  join() {
    return this.entry.key ? { role: "head_judge", access_key: this.entry.key, device: this.device } : null;
  }

  start() {
    this.link.start();
    new Awake().want();
    setInterval(() => this.age(), AGES_EVERY_MS);
    const draw = () => {
      this.draw();
      requestAnimationFrame(draw);
    };
    draw();
  }

  hear(message) {
    if (this.entry.hear(message)) this.link.stop();
    this.commands.hear(message);
    const { picture } = this.link;
    if (message.type === "phones") Object.assign(this, { phones: message.phones, flags: message.flags || [] });
    if (message.type === "judges") this.judges.hear(message);
    if (message.type === "lane_record") this.panel.hear(message);
    if (message.type === "athletes") this.setLanes.hear(message);
    if (message.type === "pins" && picture) this.pins.hear(message, picture);
    if (message.type === "phones" && picture) this.show(picture);
    if (message.type === "up" || message.type === "down") this.showLink();
    if (picture && (message.type === "snapshot" || message.type === "delta")) {
      this.calls.hear(message, picture);
      for (const note of message.rulings || []) this.answers.heard(note);
      this.show(picture);
      this.card.hear(message, picture);
    }
  }

  changed(entry) {
    this.answers.changed(entry);
    this.card.changed(entry, this.link.picture);
  }

  show(picture) {
    setHidden(document.querySelector("main"), false);
    this.bar.show(picture, this.phones);
    this.setLanes.show(picture);
    const feedUs = this.link.clock.feedUs();
    this.strip.show(picture, this.phones, this.flags, feedUs === null ? null : feedUs / 1000);
    this.lanes.show(picture, this.flags);
    this.panel.show(picture, this.phones, this.flags);
  }

  showLink() {
    const up = this.link.state === "up";
    setData(document.body, "link", up ? "up" : "down");
    write(this.linkText, this.words.say(up ? "linked" : "link-lost"));
  }

  draw() {
    const feedUs = this.link.clock.feedUs();
    if (feedUs !== null) this.bar.tick(feedUs);
  }

  age() {
    const feedUs = this.link.clock.feedUs();
    if (feedUs === null) return;
    this.lanes.age(feedUs / 1000);
    if (this.link.picture) this.strip.show(this.link.picture, this.phones, this.flags, feedUs / 1000);
    this.panel.age(feedUs / 1000);
  }

  openLane(lane) {
    this.panel.open(lane, this.link.picture, this.phones, this.flags);
    this.age();
    this.lanes.mark(lane);
    document.body.classList.add("open");
  }

  closedLane(lane) {
    this.lanes.mark(null);
    document.body.classList.remove("open");
    const back = this.lanes.buttonOf(lane);
    if (back) back.focus();
  }

  // What changes the heat makes sense at its moment alone.
  giveFloor(heat, command) {
    return this.given(this.commands.give({ type: "floor", heat, command }, { freshMs: FLOOR_FRESH_MS }));
  }

  // What concerns a lane is as good a minute later. Its id, null if it was not taken.
  giveLane(command) {
    return this.given(this.commands.give({ heat: this.link.picture.titles.heat, ...command }));
  }

  // A record that is asked for once more is told anew; a question that is lost with the link is asked by hand.
  askLane(lane) {
    this.link.say({ type: "ask_lane", id: (this.questions += 1), heat: this.link.picture.titles.heat, lane });
  }

  // Answers come in order, and the last one stands.
  askAthletes(find) {
    this.link.say({ type: "ask_athletes", id: (this.questions += 1), heat: this.link.picture.titles.heat, find });
  }

  given(id) {
    if (id === null) this.answers.tell("too-many-waiting");
    return id;
  }
}

load("head").then((words) => new Page(speaking(words)).start());

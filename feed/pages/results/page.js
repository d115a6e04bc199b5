// Results for everybody, on their own phones and without an access key: the heat on the floor as it goes, provisional until
// it is signed, and the standings of its workout. Names are those that the public may see; it only reads.

import { deviceName } from "../common/device.js";
import { write } from "../common/dom.js";
import { Link } from "../common/link.js";
import { load } from "../common/words.js";
import { groups, hasResults, showList, standingGroups } from "./lists.js";

// Standings change for all phones of the hall at once: they ask for them apart from each other, and not all the time.
const ASK_WITHIN_MS = 3000;

const byId = (id) => document.getElementById(id);

class Page {
  constructor(words) {
    this.words = words;
    this.asked = 0;
    this.later = null;
    const device = deviceName("results");
    this.link = new Link({ join: () => ({ role: "spectator", device }), hear: (message) => this.hear(message) });
  }

  hear(message) {
    const { picture } = this.link;
    if (message.type === "up" || message.type === "down") this.showLink(message);
    if (message.type === "refusal" && message.of === "join") this.showLink(message);
    if (message.type === "standings" && message.id === this.asked) this.showStandings(message);
    if (!picture || (message.type !== "snapshot" && message.type !== "delta")) return;
    this.show(picture);
    if (message.type === "snapshot") this.ask(0);
    else if (hasResults(picture) && (message.heat || message.lanes || message.order)) this.askSoon();
  }

  showLink({ type, code, says }) {
    const off = code === "spectators_off" ? this.words.say("spectators-off") : says;
    write(byId("link"), type === "up" ? "" : type === "down" ? this.words.say("link-lost") : off);
  }

  show(picture) {
    const { titles, heat } = picture;
    write(byId("event"), titles.event);
    write(byId("heat"), titles.heat_name);
    write(byId("workout"), titles.workout);
    const state = this.words.say(`state-${heat.state.replace(/_/g, "-")}`);
    write(byId("state"), hasResults(picture) && heat.state !== "signed" ? this.words.say("provisional", { state }) : state);
    document.body.dataset.state = heat.state;
    document.title = `${titles.heat_name} · ${titles.event}`;
    showList(byId("floor"), groups(picture, this.words));
  }

  askSoon() {
    if (this.later === null) this.ask(Math.random() * ASK_WITHIN_MS);
  }

  ask(withinMs) {
    clearTimeout(this.later);
    this.later = setTimeout(() => {
      this.later = null;
      this.asked += 1;
      this.link.say({ type: "ask_standings", id: this.asked });
    }, withinMs);
  }

  showStandings(message) {
    showList(byId("standings"), standingGroups(message, this.words));
  }
}

load("results").then((words) => new Page(words).link.start());

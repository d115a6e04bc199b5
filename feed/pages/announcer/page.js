// The announcer's page: joins, keeps the lists, the clock and the states current, and says facts. It only reads. What is
// shown is in `view` and `lists`, what is said in `facts`, how in `words`.

import { Awake } from "../common/awake.js";
import { deviceName } from "../common/device.js";
import { make, write } from "../common/dom.js";
import { Entry } from "../common/entry.js";
import { Link } from "../common/link.js";
import { reading, seconds, tenths } from "../common/time.js";
import { load } from "../common/words.js";
import { Facts } from "./facts.js";
import { Lists } from "./lists.js";
import { phase, rows, running } from "./view.js";
import { Phrases } from "./words.js";

// Facts that stay to be read.
const KEPT_FACTS = 3;
// Facts become ripe as time passes, without a message from the feed.
const LOOK_EVERY_MS = 250;
// A page this narrow is a phone's, as in the style sheet.
const PHONE_WIDTH = 640;
// How columns are made to fit: in these steps, down to six tenths; smaller could not be read at arm's length.
const FIT_STEP = 0.05;
const SMALLEST_FIT = 0.6;
const FIT_STEPS = 16;

const at = (id) => document.getElementById(id);

class Page {
  constructor(words) {
    this.words = words;
    this.phrases = new Phrases(words);
    this.lists = new Lists(at("left"), at("right"), this.phrases);
    this.facts = new Facts();
    this.stale = false;
    this.entry = new Entry({ role: "announcer", form: at("entry"), words, came: () => this.link.start() });
    const join = () => this.entry.key && { role: "announcer", access_key: this.entry.key, device: deviceName("announcer") };
    this.link = new Link({ join, hear: (message) => this.hear(message) });
    at("next").addEventListener("click", () => this.toggleNext());
    addEventListener("resize", () => (this.stale = true));
    this.link.start();
    new Awake().want();
    setInterval(() => this.look(), LOOK_EVERY_MS);
    const frame = () => {
      this.draw();
      requestAnimationFrame(frame);
    };
    frame();
  }

  hear(message) {
    if (this.entry.hear(message)) this.link.stop();
    if (["snapshot", "delta", "up", "down"].includes(message.type)) this.stale = true;
    if (message.type === "snapshot" || message.type === "delta") this.look();
  }

  // Feed time in milliseconds; before the first exchange of clocks, that of the picture.
  nowMs() {
    const us = this.link.clock.feedUs();
    return us === null ? this.link.picture.at_ms : us / 1000;
  }

  // Says what has become worth saying, and how old what was said is.
  look() {
    const { picture } = this.link;
    if (!picture || this.link.state !== "up") return;
    for (const fact of this.facts.look(picture, this.nowMs())) this.tell(fact, picture);
    for (const line of at("said").children) write(line.lastChild, this.age(this.nowMs() - Number(line.dataset.at)));
  }

  tell(fact, picture) {
    const age = make("span", "age quiet");
    age.setAttribute("aria-hidden", "true");
    const line = make("p", `fact ${fact.what} ${fact.change}`, make("span", "text", this.phrases.fact(fact, picture)), age);
    line.dataset.at = String(this.nowMs());
    at("said").append(line);
    while (at("said").children.length > KEPT_FACTS) at("said").firstChild.remove();
  }

  age(ms) {
    const s = Math.max(0, Math.floor(ms / 1000));
    return s < 60 ? this.phrases.say("age-seconds", { seconds: s }) : this.phrases.say("age-minutes", { minutes: Math.floor(s / 60) });
  }

  draw() {
    const { picture } = this.link;
    this.drawLink();
    if (!picture) return;
    this.drawClock(picture);
    if (!this.stale) return;
    this.stale = false;
    at("lists").hidden = at("foot").hidden = false;
    this.drawHead(picture);
    this.drawLists(picture);
  }

  // That the link is gone is said once; how long ago stands beside it.
  drawLink() {
    const gone = this.link.picture !== null && this.link.state !== "up";
    const line = at("link");
    if (gone && line.children.length === 0) line.append(make("span", "", this.words.say("link-lost")), make("span", "age"));
    if (!gone && line.children.length > 0) line.replaceChildren();
    if (!gone) return;
    const age = line.lastChild;
    age.setAttribute("aria-hidden", "true");
    write(age, this.age(this.link.silentMs()));
  }

  drawClock(picture) {
    const now = reading(picture, this.nowMs() * 1000);
    const resumes = picture.heat.clock.counting_down && picture.heat.clock.counting_down.elapsed_ms > 0;
    const starts = now.countdownS !== null && !resumes;
    write(at("time"), starts ? seconds(now.countdownS * 10) : tenths(now.elapsedTenths, this.words.mark));
    write(at("cap"), this.phrases.cap(picture, now));
  }

  drawHead(picture) {
    const { titles, heat } = picture;
    write(at("heat"), titles.heat_name);
    write(at("workout"), [titles.workout, ...titles.divisions].join(" · "));
    write(at("state"), this.phrases.state(picture));
    document.body.dataset.state = heat.state;
    document.body.dataset.phase = phase(picture);
    const lines = [
      heat.state === "held" && this.words.say("held-means"),
      heat.state === "cancelled" && this.words.say("cancelled-means"),
      heat.alone != null && this.words.say("runs-again", { lane: heat.alone }),
      !picture.journal_ok && this.words.say("not-recording"),
      heat.clock_in_doubt && this.words.say("clock-in-doubt"),
    ].filter(Boolean);
    at("banner").hidden = lines.length === 0;
    write(at("banner"), lines.join(" "));
  }

  drawLists(picture) {
    const now = phase(picture);
    const { next } = picture;
    const button = at("next");
    button.hidden = now === "after" || !next;
    const open = button.getAttribute("aria-expanded") === "true" && !button.hidden;
    write(button, next ? this.words.say(open ? "close-next" : "next-line", { heat: next.heat_name, workout: next.workout }) : "");
    if (now === "running") this.lists.running(picture, open);
    else if (now === "before") this.lists.before(picture, open);
    else this.lists.after(picture);
    at("left").classList.toggle("alone", at("right").children.length === 0);
    this.size(picture, now);
  }

  // How many rows stand below each other, so that all of them fit: in each of two columns, and in one.
  size(picture, now) {
    const lanes = rows(picture).length + 1;
    const next = this.lists.showsNext() && picture.next ? picture.next.lanes.length + 1 : 0;
    let [left, right, under] = [lanes, next, next];
    if (now === "running") {
      const { leaders, lastFive, behind, done } = running(picture);
      const heading = (list) => 1 + Math.max(1, list.length);
      left = leaders.reduce((sum, group) => sum + 2 * heading(group.rows) - 1, 0) + (behind.length > 0 ? 1 + Math.ceil(behind.length / 2) : 0);
      if (!next) [right, under] = [heading(lastFive) + heading(done), Math.max(heading(lastFive), heading(done))];
    }
    const columns = { left, right: right || 1 };
    for (const [column, rows] of Object.entries(columns)) {
      at(column).style.setProperty("--rows-wide", String(rows));
      at(column).style.setProperty("--rows-tall", String(left + under));
    }
    this.fit(JSON.stringify([now, left, right, innerWidth, innerHeight]));
  }

  // Long names take more room than their rows. Whatever column is the longest is written smaller, a little at a time,
  // until all is seen; with other rows it begins anew. A phone scrolls instead.
  fit(rows) {
    const columns = [at("left"), at("right")];
    if (rows !== this.fitted) columns.forEach((column) => column.style.setProperty("--fit", "1"));
    this.fitted = rows;
    if (innerWidth <= PHONE_WIDTH) return;
    const root = document.documentElement;
    for (let step = 0; step < FIT_STEPS && root.scrollHeight > root.clientHeight; step += 1) {
      columns.sort((one, other) => other.getBoundingClientRect().bottom - one.getBoundingClientRect().bottom);
      const smaller = Number(columns[0].style.getPropertyValue("--fit")) - FIT_STEP;
      if (smaller < SMALLEST_FIT) return;
      columns[0].style.setProperty("--fit", smaller.toFixed(2));
    }
  }

  toggleNext() {
    const open = at("next").getAttribute("aria-expanded") === "true";
    at("next").setAttribute("aria-expanded", String(!open));
    this.stale = true;
  }
}

load("announcer").then((words) => new Page(words));

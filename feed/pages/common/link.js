// A page's link to the feed: joins, keeps the picture of the heat current, exchanges clocks, notices silence, and comes
// back by itself. Leaves what a page says and shows to the page.

import { FeedClock } from "./clock.js";
import { apply } from "./picture.js";

const SUBPROTOCOL = "fivemark.v1";
// The first exchanges come fast, so that the clock is known soon.
const FIRST_EXCHANGES = 8;
const FIRST_EXCHANGES_EVERY_MS = 200;
const EXCHANGE_EVERY_MS = 3000;
// Every exchange is answered, so this long without a word means that the link is dead.
const SILENCE_MS = 9000;
// Attempts to connect: from a quarter of a second, doubled up to four; after a refusal the feed is left in peace.
const FIRST_WAIT_MS = 250;
const LONGEST_WAIT_MS = 4000;
const REFUSED_WAIT_MS = 15000;
const CONNECT_WITHIN_MS = 8000;
// The feed's word for "this device came back on another connection": another tab, which must not be fought for the place.
const CLOSE_REPLACED = 4001;

// `join` gives the fields of the join beside `type`, `resume` and `clock`; null while there is nothing to join with.
// `hear` is told everything in order: `{ type: "up" | "down" }` as the link comes and goes, `{ type: "replaced" }` when
// another page of this device has taken its place and the link has stopped, and the feed's messages; with a snapshot or
// delta the picture is brought up first. `open` makes the socket; tests bring their own.
export class Link {
  constructor({ join, hear, clock = new FeedClock(), open = socketOfThisPage }) {
    Object.assign(this, { join, hear, clock, open });
    this.picture = null;
    this.welcome = null;
    // How the link stands: "down", "joining" or "up".
    this.state = "down";
    this.refused = null;
    this.waitMs = FIRST_WAIT_MS;
    this.socket = null;
  }

  // Connects, now and whenever the link is lost, until `stop`.
  start() {
    this.stopped = false;
    if (!this.ticking) this.ticking = setInterval(() => this.tick(), FIRST_EXCHANGES_EVERY_MS);
    this.connect();
  }

  stop() {
    this.stopped = true;
    clearInterval(this.ticking);
    clearTimeout(this.retry);
    this.ticking = null;
    this.hangUp();
  }

  // Sends a message now. False if there is no link: it is not kept.
  say(message) {
    if (this.state !== "up") return false;
    this.socket.send(JSON.stringify(message));
    return true;
  }

  // How long ago the feed was heard, milliseconds.
  silentMs() {
    return this.clock.now() - this.heardAt;
  }

  connect() {
    clearTimeout(this.retry);
    this.hangUp();
    const join = this.join();
    if (!join) return;
    this.refused = null;
    this.connectingSince = this.heardAt = this.clock.now();
    const socket = this.open(SUBPROTOCOL);
    socket.onopen = () => {
      this.state = "joining";
      socket.send(JSON.stringify({ type: "join", ...join, ...this.place() }));
    };
    socket.onmessage = (event) => this.heard(event.data);
    socket.onclose = ({ code }) => (code === CLOSE_REPLACED ? this.replaced() : this.lost());
    this.socket = socket;
  }

  // Where the page stands, so that only what it missed is sent; and what it takes feed time to be.
  place() {
    const best = this.clock.best();
    return {
      ...(this.picture && this.welcome && { resume: { stream: this.welcome.stream, last: this.picture.number } }),
      ...(best && { clock: { now_us: this.clock.pageUs(), ...best } }),
    };
  }

  hangUp() {
    const was = this.state;
    this.state = "down";
    if (this.socket) {
      this.socket.onopen = this.socket.onmessage = this.socket.onclose = null;
      this.socket.close();
      this.socket = null;
    }
    if (was === "up") this.hear({ type: "down" });
  }

  lost() {
    this.hangUp();
    if (this.stopped) return;
    const wait = this.refused ? REFUSED_WAIT_MS : this.waitMs * (0.75 + Math.random() / 2);
    this.waitMs = Math.min(this.waitMs * 2, LONGEST_WAIT_MS);
    this.retry = setTimeout(() => this.connect(), wait);
  }

  replaced() {
    this.stop();
    this.hear({ type: "replaced" });
  }

  // The page's clock stood still for a while: its offset has to be learnt anew.
  forgetClock() {
    this.clock.forget();
    this.exchanges = 0;
    if (this.state === "up") this.exchange();
  }

  heard(text) {
    const t4_us = this.clock.pageUs();
    this.heardAt = this.clock.now();
    const message = JSON.parse(text);
    switch (message.type) {
      case "welcome":
        this.welcomed(message);
        return;
      case "snapshot":
        this.picture = message;
        break;
      case "delta": {
        // One that comes before the first snapshot is in that one.
        if (!this.picture) return;
        const next = apply(this.picture, message);
        if (!next) {
          this.askAgain();
          return;
        }
        this.picture = next;
        break;
      }
      case "clock":
        this.clock.hear(message, t4_us);
        break;
      case "refusal":
        if (message.of === "join") this.refused = message;
        break;
    }
    this.hear(message);
  }

  welcomed(message) {
    // Numbers of another stream mean nothing in this one; a snapshot follows.
    if (this.welcome && this.welcome.stream !== message.stream) this.picture = null;
    this.welcome = message;
    this.clock.setSpeed(message.speed_milli);
    this.waitMs = FIRST_WAIT_MS;
    this.state = "up";
    this.exchanges = 0;
    this.askedAt = -Infinity;
    this.exchange();
    this.hear({ type: "up" });
    this.hear(message);
  }

  askAgain() {
    // The question is on its way already.
    if (this.clock.now() - this.askedAt < 1000) return;
    this.askedAt = this.clock.now();
    this.say({ type: "resume", stream: this.welcome.stream, last: this.picture.number });
  }

  exchange() {
    this.exchanges += 1;
    this.exchangedAt = this.clock.now();
    this.say({ type: "clock", t1_us: this.clock.pageUs() });
  }

  tick() {
    if (!this.socket) return;
    const now = this.clock.now();
    if (this.state === "up") {
      const every = this.exchanges < FIRST_EXCHANGES ? FIRST_EXCHANGES_EVERY_MS : EXCHANGE_EVERY_MS;
      if (now - this.heardAt > SILENCE_MS) this.lost();
      else if (now - this.exchangedAt >= every) this.exchange();
    } else if (now - this.connectingSince > CONNECT_WITHIN_MS) {
      this.lost();
    }
  }
}

function socketOfThisPage(subprotocol) {
  const scheme = location.protocol === "https:" ? "wss:" : "ws:";
  return new WebSocket(`${scheme}//${location.host}/feed`, subprotocol);
}

// The lane judge's page: opens the store, joins, and shows the face that fits the moment. Ties the parts together and
// holds the page's own clockwork; each part's work is in its own file.

import { Awake } from "../common/awake.js";
import { FeedClock } from "../common/clock.js";
import { write } from "../common/dom.js";
import { Link } from "../common/link.js";
import { load } from "../common/words.js";
import { bestText } from "./attempt-lines.js";
import { Bar } from "./bar.js";
import { askToPersist, Battery } from "./care.js";
import { UNDO_MS } from "./counted.js";
import { Ended } from "./ended.js";
import { byPin, DEVICE, forget, givenPin, identity, joining, remember } from "./join.js";
import { Menu } from "./menu.js";
import { Pad } from "./pad.js";
import { Ready } from "./ready.js";
import { Session } from "./session.js";
import { openStore } from "./store.js";
import { meaning } from "./taps.js";
import { why } from "./wording.js";

const byId = (id) => document.getElementById(id);
const FACES = ["aside", "join", "ready", "count", "ended"];
// The clock shows tenths.
const CLOCK_EVERY_MS = 100;
// Calls, clocks and the phone's state are looked after so often.
const TICK_EVERY_MS = 250;
// The feed takes a phone's state once a second.
const PHONE_EVERY_MS = 1000;
// A delay is told in steps of so much, microseconds: a link that trembles is no news.
const DELAY_STEP_US = 20_000;
// Refusals that mean another way in, and not another try.
const NOT_LET_IN = ["wrong_access_key", "unknown_lane", "wrong_role", "not_your_heat"];

class Page {
  constructor(words, store, saved) {
    Object.assign(this, { words, store, saved });
    this.session = null;
    this.link = null;
    this.left = [];
    this.replaced = false;
    this.awake = new Awake(() => this.draw());
    this.battery = new Battery();
    this.bar = new Bar({ words });
    this.ready = new Ready({ words });
    const call = (what, more) => this.call(what, more);
    this.pad = new Pad({ words, call, held: () => this.held(), wants: (what) => this.told({ kind: `wants-${what}` }) });
    this.ended = new Ended({ words, call, confirm: (said) => this.session.confirm(said) });
    this.menu = new Menu({ words, leave: () => leave(), handOver: (to) => this.session.handOver(to), changed: () => this.draw() });
    store.onFault = () => this.draw();
    this.listen();
  }

  listen() {
    const fit = () => document.documentElement.style.setProperty("--h", `${innerHeight}px`);
    addEventListener("resize", fit);
    fit();
    addEventListener("keydown", (event) => this.key(event));
    document.addEventListener("visibilitychange", () => this.session && this.session.tick());
    // Calls that only the page's memory has.
    addEventListener("beforeunload", (event) => {
      if (this.store.fault && this.session && this.session.queue.waiting.length > 0) event.preventDefault();
    });
    byId("pin-form").addEventListener("submit", (event) => this.joinByPin(event));
    byId("key-form").addEventListener("submit", (event) => this.joinByKey(event));
    setInterval(() => this.clockwork(), CLOCK_EVERY_MS);
    setInterval(() => this.tick(), TICK_EVERY_MS);
    setInterval(() => this.tellPhone(), PHONE_EVERY_MS);
  }

  // Takes up the work on a lane.
  start(said) {
    this.session = new Session({
      identity: said, store: this.store, saved: this.saved, changed: () => this.draw(), told: (what) => this.told(what),
    });
    this.link = new Link({ join: () => joining(said), hear: (message) => this.hear(message), clock: new FeedClock() });
    this.session.use(this.link);
    this.link.start();
    askToPersist();
    this.draw();
  }

  hear(message) {
    if (message.type === "replaced") this.replaced = true;
    if (message.type === "refusal" && message.of === "join" && NOT_LET_IN.includes(message.code)) {
      this.link.stop();
      forget();
      this.left = this.session.queue.kept();
      this.session = null;
      this.fault(message);
      return;
    }
    this.session.hear(message);
  }

  told(what) {
    this.bar.told(what);
    this.draw();
  }

  // A call is shown before anything else happens: nobody waits for the next picture of the screen.
  call(what, more) {
    const taken = this.session.call(what, more);
    this.drawNow();
    return taken;
  }

  held() {
    this.bar.heldBack();
    this.drawNow();
  }

  key(event) {
    const typing = /^(INPUT|TEXTAREA|SELECT)$/.test(event.target.tagName);
    const face = document.body.dataset.face;
    if (typing || this.menu.isOpen) return;
    if (face === "ready" && event.key.length > 0 && !["Tab", "Shift"].includes(event.key)) {
      const onButton = event.target.tagName === "BUTTON" && (event.key === " " || event.key === "Enter");
      this.ready.key({ key: event.key, call: meaning(event) });
      if (!onButton && meaning(event)) event.preventDefault();
      this.draw();
    }
    // Keys call whatever has the focus, or a clicker would press the menu; Escape opens it.
    if (face === "count" && this.pad.key(event)) event.preventDefault();
    else if (face === "count" && event.key === "Escape") this.menu.open(byId("good"));
  }

  joinByPin(event) {
    event.preventDefault();
    this.exchangePin();
  }

  // A card's code was scanned: as if its PIN had been typed.
  scanned({ pin, role: as }) {
    byId("pin").value = pin;
    byId("shadow").checked = as === "shadow_judge";
    this.exchangePin();
  }

  async exchangePin() {
    byId("join-fault").textContent = "";
    try {
      const said = await byPin({ role: role(), pin: byId("pin").value });
      byId("pin").value = "";
      this.enter(said);
    } catch (refusal) {
      this.fault(refusal);
    }
  }

  joinByKey(event) {
    event.preventDefault();
    byId("join-fault").textContent = "";
    const [lane, key] = ["lane", "key"].map((id) => byId(id).value.trim());
    this.enter({ role: role(), lane: Number(lane), access_key: key });
    byId("key").value = "";
  }

  async enter(said) {
    remember(said);
    this.saved = await this.store.load();
    // What only the page's memory has comes along.
    if (this.store.fault) this.saved.calls = this.left;
    this.start(said);
  }

  fault(refusal) {
    byId("join-fault").textContent = why(this.words, refusal);
    this.draw();
  }

  // Draws once for all that comes within one picture of the screen. A page that is not seen draws nothing.
  draw() {
    if (this.drawing) return;
    this.drawing = requestAnimationFrame(() => this.drawNow());
  }

  drawNow() {
    cancelAnimationFrame(this.drawing);
    this.drawing = null;
    const now = this.session && this.session.now();
    const face = this.face(now);
    for (const one of FACES) byId(one).hidden = one !== face || this.menu.isOpen;
    if (document.body.dataset.face !== face) document.body.dataset.face = face;
    if (face !== "count") document.body.dataset.mark = "";
    if (face === "ready" || face === "count") this.awake.want();
    this.bar.show(this.state(now));
    if (this.menu.isOpen) this.showMenu(now);
    else this.showFace(face, now);
  }

  showFace(face, now) {
    const undo = now ? this.undoLeft() : null;
    if (face === "join") write(byId("join-device"), this.words.say("this-device", { device: DEVICE }));
    if (face === "aside") this.showAside(now);
    if (face === "ready") this.ready.show(now, this.checks());
    if (face === "count") this.pad.show(now, undo);
    if (face === "ended") this.ended.show(now, { undo, confirming: this.session.confirming, wanted: this.isCounting && now.picture.initials !== false });
  }

  get isCounting() {
    return this.session.identity.role === "lane_judge";
  }

  face(now) {
    if (!this.session) return "join";
    if (!now || this.replaced || !this.session.holds || now.view === "empty" || now.view === "cancelled") return "aside";
    return now.view;
  }

  // Milliseconds left in which the last call may be taken back; null if none may.
  undoLeft() {
    const call = this.session.undoable();
    if (!call) return null;
    const left = UNDO_MS - (this.session.stampMs() - call.stamp_ms);
    return Math.max(0, (left * 1000) / this.link.clock.speedMilli);
  }

  showAside(now) {
    const { words } = this;
    const id = this.replaced ? "replaced" : !now ? "opening" : now.view === "empty" ? "empty" : now.view === "cancelled" ? "cancelled" : "standing-by";
    const { lane } = this.session.identity;
    write(byId("aside-title"), words.say(id, { lane }));
    write(byId("aside-text"), this.link.refused ? why(words, this.link.refused) : words.say(`${id}-says`, { lane, device: DEVICE }));
    const counted = id === "standing-by" && now.count;
    byId("aside-count").hidden = !counted;
    if (counted) write(byId("aside-count"), now.tries ? bestText(now, words) : String(now.count.score));
  }

  state(now) {
    const { session, link, store } = this;
    return {
      linkUp: Boolean(link) && link.state === "up", waiting: session ? session.queue.waiting.length : 0, fault: store.fault,
      journalOk: !now || now.picture.journal_ok !== false, elsewhere: session ? session.elsewhere.length : 0,
      inHeat: Boolean(now) && now.view === "count",
    };
  }

  // How fit this phone is, for the face before the start and for the menu.
  checks() {
    const { words, session, link, store, awake } = this;
    const best = link.clock.best();
    const checks = [
      link.state === "up" && best
        ? { fit: true, says: words.say("check-link", { ms: Math.round(best.delay_us / 1000) }) }
        : { fit: false, says: words.say("check-no-link") },
      { fit: awake.state === "on", says: words.say(`check-awake-${awake.state}`) },
      { fit: !store.fault, says: words.say(store.fault ? `storage-${store.fault}` : "check-storage") },
      { fit: session.queue.waiting.length === 0, says: words.say("check-waiting", { waiting: session.queue.waiting.length }) },
    ];
    if (!isSecureContext) checks.push({ fit: false, says: words.say("check-insecure") });
    if (session.refused.length > 0) checks.push({ fit: false, says: words.say("check-refused", { refused: session.refused.length }) });
    return [...checks, { fit: null, says: words.say("this-device", { device: DEVICE }) }];
  }

  showMenu(now) {
    const checks = this.session ? this.checks() : [];
    const log = this.session ? this.session.log : [];
    const loadUnit = (now && now.course && now.course.load_unit) || null;
    this.menu.show({ log, checks, loadUnit, mayHandOver: Boolean(now) && this.session.holds && this.isCounting && this.link.state === "up" });
  }

  // Ten times a second: the clock, and whatever counts down to a start. The rest of the page has time until the next tick,
  // which spares an old phone most of its work.
  clockwork() {
    if (!this.session || document.hidden) return;
    const now = this.session.now();
    this.pad.showClock(now, this.link.clock.feedUs());
    const countsDown = Boolean(now) && (now.countdownS !== null || now.untilMs !== null);
    // Once more when it is over, so that the start is not late.
    if (countsDown || this.countedDown) this.drawNow();
    this.countedDown = countsDown;
  }

  tick() {
    if (!this.session) return;
    this.session.tick();
    if (!document.hidden) this.drawNow();
  }

  // Tells the head judge how this phone is doing, when something has changed.
  tellPhone() {
    if (!this.session || this.link.state !== "up") {
      this.toldPhone = null;
      return;
    }
    const best = this.link.clock.best();
    const link = best ? { delay_us: Math.ceil(best.delay_us / DELAY_STEP_US) * DELAY_STEP_US } : {};
    const phone = { ...this.battery.reading, ...link, waiting: this.session.queue.waiting.length, stays_awake: this.awake.state === "on" };
    const text = JSON.stringify(phone);
    if (text === this.toldPhone) return;
    this.toldPhone = text;
    this.link.say({ type: "phone", ...phone });
  }
}

function role() {
  return byId("shadow").checked ? "shadow_judge" : "lane_judge";
}

// Leaves the lane: calls that wait are kept on the phone, and are sent when it judges that lane again.
function leave() {
  forget();
  location.reload();
}

// Keeps the page and its files for a reload without a link, where the browser allows it.
function keepPage() {
  if (!navigator.serviceWorker || !isSecureContext) return;
  const files = () => performance.getEntriesByType("resource").map(({ name }) => name).filter((name) => new URL(name).pathname.startsWith("/pages/"));
  navigator.serviceWorker
    .register("/pages/judge/worker.js", { scope: "/judge" })
    .then(() => navigator.serviceWorker.ready)
    .then(({ active }) => active.postMessage({ keep: [location.pathname, ...files()] }))
    .catch(() => {});
}

async function begin() {
  const pinned = givenPin();
  const said = pinned ? null : identity();
  const [words, store] = await Promise.all([load("judge"), openStore()]);
  const page = new Page(words, store, await store.load());
  if (said) page.start(said);
  if (pinned) page.scanned(pinned);
  page.draw();
  keepPage();
}

begin();

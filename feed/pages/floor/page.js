// The floor operator's page: says what screens show, and moves the heat on as far as the role may. Shows what the feed
// tells, never what was only asked for; commands wait in `commands` until they are answered.

import { Commands, FLOOR_FRESH_MS, storeNamed } from "../common/commands.js";
import { deviceName } from "../common/device.js";
import { follow, make, write } from "../common/dom.js";
import { Entry } from "../common/entry.js";
import { Link } from "../common/link.js";
import { reading, seconds, tenths } from "../common/time.js";
import { load } from "../common/words.js";
import { Editor } from "./editor.js";
import { after, isAskedTwice, mayOpen, offers } from "./offers.js";
import { showOwn } from "./order.js";
import { Sent } from "./sent.js";
import { turn } from "./turn.js";

const PARTS = ["ribbon", "rail", "corner", "card"];
// What the heat is waiting for; the others interrupt it.
const GOES_ON = ["on_deck", "start_countdown", "resume"];
const DRAW_EVERY_MS = 100;

const at = (id) => document.getElementById(id);

class Page {
  constructor(words) {
    this.words = words;
    this.opened = null;
    this.entry = new Entry({ role: "floor_operator", form: at("entry"), words, came: () => this.link.start() });
    const join = () => this.entry.key && { role: "floor_operator", access_key: this.entry.key, device: deviceName("floor") };
    this.link = new Link({ join, hear: (message) => this.hear(message) });
    this.commands = new Commands({ send: (message) => this.link.say(message), store: storeNamed("fivemark.floor.commands"), changed: () => this.sent.draw() });
    this.sent = new Sent({ root: at("answers"), words, commands: this.commands });
    this.editor = new Editor({ words, show: (steps, again) => this.show(showOwn(steps, again)) });
    this.listen();
    this.link.start();
    this.sent.draw();
    setInterval(() => this.drawTime(), DRAW_EVERY_MS);
  }

  listen() {
    at("follow").addEventListener("click", () => this.show({ board: "follow" }));
    at("board").addEventListener("click", () => this.show({ board: "heat" }));
    at("duel").addEventListener("click", () => this.show({ duel: { left: Number(at("left").value), right: Number(at("right").value) } }));
    at("duel-off").addEventListener("click", () => this.show("duel_off"));
    at("open-go").addEventListener("click", () => this.floor("open_heat", Number(at("open-heat").value)));
    at("sure-no").addEventListener("click", () => this.askOff());
    at("sure").addEventListener("keydown", ({ key }) => key === "Escape" && this.askOff());
  }

  hear(message) {
    if (this.entry.hear(message)) this.link.stop();
    this.commands.hear(message);
    if (message.type === "up" || message.type === "down") this.sent.draw();
    if (message.type === "snapshot" || message.type === "delta") this.draw();
  }

  show(command) {
    this.give({ type: "show", command });
  }

  // A change of the heat's state; asked for twice where a slip would matter.
  floor(command, heat = this.link.picture.titles.heat) {
    const give = () => this.give({ type: "floor", heat, command }, { freshMs: FLOOR_FRESH_MS });
    if (isAskedTwice(command)) this.ask(command, heat, give);
    else give();
  }

  give(message, how) {
    if (this.commands.give(message, how) === null) this.sent.full();
  }

  // The question stands only as long as the heat is what it was asked about.
  ask(command, heat, give) {
    const id = command.replace("_", "-");
    this.asked = { state: this.link.picture.heat.state, from: document.activeElement };
    at("sure-says").textContent = this.words.say(`sure-${id}`, { heat });
    const yes = at("sure-yes");
    yes.textContent = this.words.say(`command-${id}`);
    yes.onclick = () => {
      this.askOff();
      give();
    };
    at("sure").hidden = false;
    at("sure-no").focus();
  }

  askOff() {
    at("sure").hidden = true;
    if (this.asked && this.asked.from && this.asked.from.isConnected) this.asked.from.focus();
    this.asked = null;
  }

  draw() {
    const { picture } = this.link;
    at("desk").hidden = false;
    if (this.asked && this.asked.state !== picture.heat.state) this.askOff();
    write(at("heat"), `${picture.titles.heat_name} · ${picture.titles.workout}`);
    write(at("state"), this.words.say(`state-${picture.heat.state.replace("_", "-")}`));
    document.body.dataset.state = picture.heat.state;
    this.drawCommands(picture);
    this.drawOverlay(picture);
    this.drawTime();
  }

  drawCommands(picture) {
    const list = offers(picture);
    follow(at("commands"), list, {
      keyOf: (command) => command,
      begin: (command) => {
        const button = make("button", `${command} ${GOES_ON.includes(command) ? "main" : ""}`.trim(), this.words.say(`command-${command.replace("_", "-")}`));
        button.type = "button";
        button.addEventListener("click", () => this.floor(command));
        return button;
      },
      fill() {},
    });
    at("heads").hidden = list.length > 0;
    at("open").hidden = !mayOpen(picture);
    const { heats, heat } = picture.titles;
    const others = heats.filter((number) => number !== heat);
    options(at("open-heat"), others.map((number) => [number, this.words.say("heat-number", { heat: String(number) })]));
    // Another heat came on the floor: the one after it is chosen.
    if (this.opened !== heat) at("open-heat").value = String(after(picture) || "");
    this.opened = heat;
    at("open-go").disabled = others.length === 0;
  }

  drawOverlay(picture) {
    const { overlay } = picture.shows;
    follow(at("parts"), PARTS, {
      keyOf: (part) => part,
      begin: (part) => {
        const button = make("button", "part", this.words.say(`part-${part}`));
        button.type = "button";
        button.addEventListener("click", () => this.show({ overlay: { part, on: !this.link.picture.shows.overlay[part] } }));
        return button;
      },
      fill: (button, part) => button.setAttribute("aria-pressed", String(Boolean(overlay[part]))),
    });
    const lanes = picture.entries.filter(({ bib, name }) => bib || name).map(({ lane, name, bib }) => [lane, `${lane} · ${name || bib}`]);
    options(at("left"), lanes);
    options(at("right"), lanes, 1);
    const { duel } = overlay;
    write(at("duel-now"), duel ? this.words.say("duel-now", { left: duel.left, right: duel.right }) : this.words.say("duel-none"));
    at("duel-off").disabled = !duel;
    at("duel").disabled = lanes.length < 2;
  }

  // What moves by itself: the clock, and where the boards' order stands.
  drawTime() {
    const { picture, state, clock } = this.link;
    const gone = picture !== null && state !== "up";
    write(at("link"), gone ? this.words.say("link-lost") : "");
    if (!picture) return;
    const us = clock.feedUs();
    const nowMs = us === null ? picture.at_ms : us / 1000;
    const { elapsedTenths, countdownS } = reading(picture, nowMs * 1000);
    write(at("time"), countdownS === null ? tenths(elapsedTenths, this.words.mark) : `−${seconds(countdownS * 10)}`);
    const program = picture.shows.board;
    const order = picture.shows.order || "follow";
    write(at("whose"), this.words.say(`order-${order}`));
    const pressed = { follow: "follow", board: "heat" };
    for (const [id, asked] of Object.entries(pressed)) at(id).setAttribute("aria-pressed", String(order === asked));
    const now = turn(program, nowMs);
    follow(at("steps"), program.steps.map((step, index) => ({ ...step, index })), {
      keyOf: ({ index }) => index,
      begin: () => make("li", "", make("span", "what"), make("span", "quiet when")),
      fill: (row, { card, for_ms, index }) => {
        const is = index === now.index;
        if (is) row.setAttribute("aria-current", "step");
        else row.removeAttribute("aria-current");
        write(row.firstChild, this.cardLine(card, nowMs));
        write(row.lastChild, is && now.leftMs !== null ? this.words.say("on-for", { time: seconds(Math.ceil(now.leftMs / 100)) }) : this.length(for_ms));
      },
    });
  }

  length(ms) {
    return ms > 0 ? seconds(ms / 100) : this.words.say("stays");
  }

  cardLine(card, nowMs) {
    const say = (id, values) => this.words.say(id, values);
    if (card === "heat") return say("card-heat");
    const [kind, value] = Object.entries(card)[0];
    switch (kind) {
      case "next_heat":
        return `${say("card-next-heat")} · ${value.heat_name}`;
      case "results":
        return `${say("card-last-results")} · ${value.heat_name}${value.official ? "" : ` · ${say("state-provisional")}`}`;
      case "standings":
        return `${say("card-standings")} · ${value.division}`;
      case "event":
        return `${say("card-event")} · ${value.name}`;
      case "words":
        return `${say("card-words")} · ${value.title || value.text}`;
      case "countdown":
        return `${say("card-countdown")} · ${value.title} ${seconds(Math.max(0, Math.ceil((value.to_ms - nowMs) / 100)))}`;
      default:
        return kind;
    }
  }
}

// Choices of a select, built anew only if they are others; what is chosen stays if it is still there.
function options(select, choices, first = 0) {
  const text = JSON.stringify(choices);
  if (select.dataset.choices === text) return;
  const before = select.value;
  select.dataset.choices = text;
  select.replaceChildren(...choices.map(([value, label]) => Object.assign(make("option", "", label), { value: String(value) })));
  if (choices.some(([value]) => String(value) === before)) select.value = before;
  else select.selectedIndex = Math.min(first, choices.length - 1);
}

load("floor").then((words) => new Page(words));

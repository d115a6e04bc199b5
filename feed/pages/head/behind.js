// What stands behind an opened lane: its phones, with the hand-over to one that stands by; the initials under its result,
// which the head judge enters from paper; and its record, asked of the feed whenever the lane is opened.

import { follow, write } from "../common/dom.js";
import { lane as laneOf } from "../common/picture.js";
import { button, element, setHidden } from "./dom.js";
import { phonesOf, phoneText } from "./phones.js";
import { recordLine } from "./record.js";
import { bytes, MAX_REASON } from "./typed.js";

// A second touch counts from here on.
const SECOND_TOUCH_MS = 400;
// Most letters of initials.
const MAX_INITIALS = 8;

export class Behind {
  // `give` is told a command for the lane; `ask` asks the feed for the lane's record.
  constructor({ words, lane, give, ask }) {
    Object.assign(this, { words, lane, give, ask, picture: null });
    this.phones = element("ul", { class: "phones" });
    this.initials = this.form();
    this.confirmed = element("p");
    this.entries = element("ol", { class: "record" });
    this.more = element("p", { class: "quiet" });
    const part = (title, ...within) => element("div", { class: "part" }, element("h3", { textContent: this.say(title) }), ...within);
    this.phonesPart = part("phones", this.phones);
    this.initialsPart = part("initials", this.confirmed, this.initials);
    const again = button(this.say("record-again"), () => this.ask(lane));
    this.element = element("div", {}, this.phonesPart, this.initialsPart, part("record", again, this.more, this.entries));
    this.ask(lane);
  }

  say(id, values) {
    return this.words.say(id, values);
  }

  form() {
    const field = (name, properties) => {
      this[name] = element("input", { id: `initials-${name}`, autocomplete: "off", required: true, ...properties });
      return element("p", { class: "field" }, element("label", { htmlFor: `initials-${name}`, textContent: this.say(`initials-${name}`) }), this[name]);
    };
    const send = element("button", { textContent: this.say("confirm") });
    const fields = [field("athlete", { maxLength: MAX_INITIALS }), field("judge", { maxLength: MAX_INITIALS }), field("why", { maxLength: MAX_REASON })];
    const form = element("form", { class: "initials", "aria-label": this.say("initials") }, ...fields, send);
    this.why.value = this.say("why-card");
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.confirm();
    });
    return form;
  }

  // The initials stand for the result that is on the page now.
  confirm() {
    const { count } = laneOf(this.picture, this.lane);
    const reason = this.why.value.trim();
    if (!reason || bytes(reason) > MAX_REASON || !count.result) return;
    const initials = { athlete: this.athlete.value.trim(), judge: this.judge.value.trim() };
    this.give({ type: "confirm", lane: this.lane, run: count.run, result: count.result.text, ...initials, reason });
    this.athlete.value = this.judge.value = "";
  }

  show(picture, phones) {
    this.picture = picture;
    const { count, course } = laneOf(picture, this.lane);
    this.loadUnit = (course && course.load_unit) || null;
    const signed = picture.heat.state === "signed";
    setHidden(this.initialsPart, !count.result || (picture.initials === false && !count.confirmed));
    write(this.confirmed, count.confirmed ? this.say("initials-stand") : this.say("initials-missing"));
    setHidden(this.initials, Boolean(count.confirmed) || signed);
    const own = phonesOf(phones, this.lane);
    setHidden(this.phonesPart, own.length === 0);
    // A phone's line stays while it is told of anew each second: somebody may be about to touch it.
    follow(this.phones, own, {
      keyOf: ({ device, shadow }) => `${device} ${shadow}`,
      begin: ({ device }) => element("li", {}, element("span"), this.handOver(device)),
      fill: (line, phone) => {
        write(line.firstChild, phoneText(phone, this.words));
        setHidden(line.lastChild, phone.shadow || phone.holds || !phone.on_line);
      },
    });
  }

  // Asked a second time, as a lane that is taken from its judge is noticed.
  handOver(device) {
    let since = null;
    const press = button(this.say("hand-over"), () => {
      if (since === null) {
        since = performance.now();
        write(press, this.say("hand-over-sure"));
      } else if (performance.now() - since >= SECOND_TOUCH_MS) {
        this.give({ type: "hand_over", lane: this.lane, to: device });
      }
    });
    press.addEventListener("blur", () => {
      since = null;
      write(press, this.say("hand-over"));
    });
    return press;
  }

  // The record has come: the latest first.
  hear({ lane, left_out: leftOut, entries }) {
    if (lane !== this.lane) return;
    write(this.more, entries.length === 0 ? this.say("record-empty") : leftOut > 0 ? this.say("record-left-out", { count: leftOut }) : "");
    this.entries.replaceChildren(...[...entries].reverse().map((entry) => this.entry(entry)));
  }

  entry(entry) {
    const { kind, time, text, rest, english } = recordLine(entry, this.words, this.loadUnit);
    const lines = [
      element("span", { class: "time", textContent: time }),
      element("b", { textContent: text }),
      element("span", { lang: "en", textContent: english }),
      element("small", { class: "quiet", textContent: rest }),
    ];
    return element("li", { "data-kind": kind }, ...lines.filter(({ textContent }) => textContent));
  }
}

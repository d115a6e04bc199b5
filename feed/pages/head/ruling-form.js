// The form for a ruling on one lane. What is ruled stands beside what it replaces before it is sent, and nothing is sent
// without a reason.

import { write } from "../common/dom.js";
import { lane as laneOf } from "../common/picture.js";
import { isOpenEnded } from "./course.js";
import { button, element, refill, setHidden } from "./dom.js";
import { mayConfirm } from "./paper-card.js";
import { asksFinish, draft, emptyLanes, FIELDS, kinds, placeTyped, STATUSES } from "./rulings.js";
import { bytes, MAX_REASON } from "./typed.js";
import { changeText } from "./wording.js";

// Most letters of initials.
const MAX_INITIALS = 8;

// Reasons that are given most, to be touched instead of typed.
const REASONS = ["why-video", "why-miscount", "why-standard", "why-equipment", "why-card"];

export class RulingForm {
  constructor({ words, lane, picture, card, give }) {
    Object.assign(this, { words, lane, picture, card, give, fields: {}, typed: {} });
    this.none = element("p", { class: "quiet" });
    this.form = element("form", { class: "ruling", "aria-label": this.say("ruling"), noValidate: true });
    this.kind = element("select", { id: "ruling-kind" });
    this.preview = element("output", { id: "ruling-preview", "aria-live": "off" });
    this.fault = element("p", { class: "fault", role: "alert" });
    this.build(laneOf(picture, lane).course);
    this.element = element("div", {}, this.none, this.form);
    // A choice tells "change" in every browser, and "input" only in some.
    for (const event of ["input", "change"]) this.form.addEventListener(event, () => this.look());
    this.form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.rule();
    });
  }

  say(id, values) {
    return this.words.say(id, values);
  }

  build(course) {
    const number = { inputMode: "numeric" };
    const option = (value, label) => element("option", { value: String(value), textContent: label });
    const parts = course.parts.map((part, index) => option(index, this.partOption(part, course)));
    const statuses = STATUSES.map((status) => option(status, this.say(`status-${status}`)));
    const rule = element("button", { class: "main", textContent: this.say("rule"), "aria-describedby": "ruling-preview" });
    rule.addEventListener("keydown", (event) => event.repeat && event.preventDefault());
    this.form.append(
      element("p", { class: "field" }, element("label", { htmlFor: "ruling-kind", textContent: this.say("field-kind") }), this.kind),
      this.way(),
      this.text("units", { ...number, value: "1" }),
      this.text("round", number),
      this.choice("part", parts),
      this.text("done", number),
      this.text("finish", { placeholder: "7:08.4" }),
      this.text("time", { placeholder: "0:10.0" }),
      this.text("load", { inputMode: "decimal" }),
      this.text("minutes", { ...number, value: "10" }),
      this.choice("status", statuses),
      this.choice("to", []),
      this.text("card-athlete", { maxLength: MAX_INITIALS }),
      this.text("card-judge", { maxLength: MAX_INITIALS }),
      this.text("reason", { maxLength: MAX_REASON, required: true }),
      this.reasons(),
      this.preview,
      this.fault,
      rule,
    );
  }

  text(name, properties) {
    return this.field(name, element("input", { autocomplete: "off", ...properties }));
  }

  choice(name, options) {
    return this.field(name, element("select", {}, ...options));
  }

  field(name, control) {
    control.id = `ruling-${name}`;
    this.typed[name] = control;
    this.fields[name] = element("p", { class: "field", "data-field": name }, element("label", { htmlFor: control.id, textContent: this.say(`field-${name}`) }), control);
    return this.fields[name];
  }

  partOption(part, course) {
    const text = this.say("part-whole", { movement: part.short_name, all: part.amount });
    return part.round > 0 && !isOpenEnded(course) ? this.say("place-round", { round: part.round, part: text }) : text;
  }

  // Adding or taking away, said in the words of each kind.
  way() {
    const side = (value, checked) => element("input", { type: "radio", name: "way", value, id: `way-${value}`, checked });
    this.less = side("less", false);
    this.moreLabel = element("label", { htmlFor: "way-more" });
    this.lessLabel = element("label", { htmlFor: "way-less" });
    const legend = element("legend", { class: "unseen", textContent: this.say("field-way") });
    this.fields.way = element("fieldset", { class: "way" }, legend, side("more", true), this.moreLabel, this.less, this.lessLabel);
    return this.fields.way;
  }

  reasons() {
    const put = (id) => {
      this.typed.reason.value = this.say(id);
      write(this.fault, "");
    };
    const label = this.say("reasons");
    return element("div", { class: "reasons", role: "group", "aria-label": label }, ...REASONS.map((id) => button(this.say(id), () => put(id))));
  }

  // Offers what fits the lane as a new picture has it.
  show(picture) {
    this.picture = picture;
    const open = kinds(picture, this.lane);
    this.offer(this.kind, open, (kind) => this.say(`kind-${kind}`));
    this.offer(this.typed.to, emptyLanes(picture), String);
    setHidden(this.form, open.length === 0);
    const why = { signed: "none-signed", cancelled: "none-cancelled" }[picture.heat.state] || "none-empty";
    write(this.none, open.length === 0 ? this.say(why) : "");
    if (open.length > 0) this.look();
  }

  // Fills a choice anew and keeps what was chosen, if it is still there.
  offer(select, values, label) {
    const chosen = select.value;
    refill(select, values.join(), () => values.map((value) => element("option", { value: String(value), textContent: label(value) })));
    if (values.map(String).includes(chosen)) select.value = chosen;
  }

  // Another kind was chosen: its fields begin at what stands.
  begin(now) {
    this.begun = this.kind.value;
    if (FIELDS[this.begun].includes("place")) {
      for (const [name, value] of Object.entries(placeTyped(now))) this.typed[name].value = value;
    }
    if (FIELDS[this.begun].includes("initials")) {
      const { athlete, judge } = this.card.typedFor(this.lane);
      [this.typed["card-athlete"].value, this.typed["card-judge"].value] = [athlete, judge];
    }
    if (FIELDS[this.begun].includes("way")) {
      write(this.moreLabel, this.say(`way-more-${this.begun}`));
      write(this.lessLabel, this.say(`way-less-${this.begun}`));
    }
    write(this.fault, "");
  }

  values() {
    const typed = Object.fromEntries(Object.entries(this.typed).map(([name, { value }]) => [name, value]));
    return { ...typed, less: this.less.checked };
  }

  // Shows the fields of the kind, and what is ruled beside what stands.
  look() {
    const now = laneOf(this.picture, this.lane);
    if (this.kind.value !== this.begun) this.begin(now);
    const typed = this.values();
    const shown = this.wanted(now, typed);
    for (const [name, field] of Object.entries(this.fields)) setHidden(field, !shown.includes(name));
    this.ruling = draft(this.picture, this.lane, this.begun, typed);
    const { problem, change } = this.ruling;
    const initials = this.initials(shown);
    const then = initials ? ` · ${this.say("card-initials", initials)}` : "";
    write(this.preview, problem ? this.say(`problem-${problem}`) : this.say("preview", { lane: this.lane, change: changeText(change, now, this.words) }) + then);
    this.preview.classList.toggle("problem", Boolean(problem));
  }

  wanted(now, typed) {
    const of = FIELDS[this.begun];
    const rounds = isOpenEnded(now.course) && now.course.parts[typed.part] && now.course.parts[typed.part].round > 0;
    const place = of.includes("place") ? ["part", "done", ...(rounds ? ["round"] : []), ...(asksFinish(now, typed) ? ["finish"] : [])] : [];
    const initials = of.includes("initials") && mayConfirm(this.picture, asksFinish(now, typed)) ? ["card-athlete", "card-judge"] : [];
    return [...of.filter((name) => !["place", "finish", "initials"].includes(name)), ...place, ...initials, "reason"];
  }

  // Initials that are to follow the count of a card; null if none were typed.
  initials(shown) {
    const [athlete, judge] = ["card-athlete", "card-judge"].map((name) => (shown.includes(name) ? this.typed[name].value.trim() : ""));
    return athlete || judge ? { athlete, judge } : null;
  }

  // The card is in the record whole.
  clearCard() {
    this.typed["card-athlete"].value = this.typed["card-judge"].value = "";
    this.look();
  }

  rule() {
    const reason = this.typed.reason.value.trim();
    const initials = this.initials(this.wanted(laneOf(this.picture, this.lane), this.values()));
    const half = initials && !(initials.athlete && initials.judge) ? "half-initials" : null;
    const unsaid = half || (reason === "" ? "no-reason" : bytes(reason) > MAX_REASON ? "reason-long" : null);
    const wrong = this.ruling.problem || unsaid;
    write(this.fault, wrong ? this.say(`problem-${wrong}`) : "");
    if (wrong) {
      this.fieldOf(this.ruling.problem || half).focus();
      return;
    }
    const id = this.give({ type: "ruling", lane: this.lane, reason, kind: this.ruling.wire });
    if (id === null) return;
    if (initials) this.card.begin({ id, lane: this.lane, initials, reason });
    this.typed.reason.value = "";
  }

  // The field that a problem is about.
  fieldOf(problem) {
    const names = { "no-finish": "finish", "no-count": "done", "no-time": "time", "no-minutes": "minutes", "credit-below-nothing": "time", "no-lane": "to", "same-status": "status", "no-load": "load", "half-initials": this.typed["card-athlete"].value.trim() ? "card-judge" : "card-athlete" };
    if (!problem) return this.typed.reason;
    return this.typed[names[problem] || "units"];
  }
}

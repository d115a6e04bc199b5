// The bar at the top: the heat's state and clock, what can be done to it now, and the hold. What cannot be taken back is
// asked for a second time, at another place, so that no double touch does it.

import { write } from "../common/dom.js";
import { reading, seconds, tenths } from "../common/time.js";
import { button, element, refill, setData, setHidden } from "./dom.js";
import { isBeforeStart, missing, readinessText, starters } from "./readiness.js";
import { command, mayHold, nextHeat, steps } from "./steps.js";
import { bytes, MAX_REASON } from "./typed.js";

// A second touch counts from here on: a double touch comes faster.
const SECOND_TOUCH_MS = 400;

export class FloorBar {
  // `give` is told a floor command's heat and what the feed is to do.
  constructor({ words, give }) {
    Object.assign(this, { words, give, asking: null });
    for (const id of ["state", "clock", "left", "heat", "workout", "steps", "hold", "ask", "readiness"]) this[id] = document.getElementById(id);
    this.hold.append(element("span", { textContent: words.say("hold") }), element("small", { textContent: words.say("hold-key") }));
    this.hold.addEventListener("click", () => this.pressHold());
    document.addEventListener("keydown", (event) => {
      if (event.key === "F8" && !event.repeat) this.pressHold();
      if (event.key === "Escape" && this.asking && this.ask.contains(document.activeElement)) this.stopAsking();
    });
    this.ask.addEventListener("submit", (event) => {
      event.preventDefault();
      this.answered();
    });
  }

  say(id, values) {
    return this.words.say(id, values);
  }

  // Writes what a new picture says.
  show(picture, phones) {
    Object.assign(this, { picture, phones });
    const { heat, titles } = picture;
    setData(document.body, "state", heat.state);
    write(this.state, heat.alone == null ? this.say(`state-${heat.state}`) : this.say("state-alone", { state: this.say(`state-${heat.state}`), lane: heat.alone }));
    write(this.heat, titles.heat_name);
    write(this.workout, [titles.workout, titles.divisions.join(", "), heat.run > 1 ? this.say("run", { run: heat.run }) : ""].filter(Boolean).join(" · "));
    const open = steps(picture);
    refill(this.steps, open.map(({ name, guard }) => `${name}/${guard}`).join(), () =>
      open.map((step) => button(this.stepText(step.name), () => this.press(step), { class: step.next ? "main" : "", "data-step": step.name })),
    );
    this.hold.setAttribute("aria-disabled", String(!mayHold(picture)));
    this.showReadiness(picture);
    if (this.asking && !open.some(({ name }) => name === this.asking.name)) this.stopAsking();
  }

  // Before the countdown: which lanes lack what they need for a start.
  showReadiness(picture) {
    setHidden(this.readiness, !isBeforeStart(picture));
    const found = missing(picture, this.phones);
    setData(this.readiness, "fit", String(found.length === 0));
    write(this.readiness, this.say("readiness", { says: readinessText(found, starters(picture).length, this.words) }));
  }

  stepText(name) {
    if (name === "open_heat") {
      const next = nextHeat(this.picture.titles);
      return next === null ? this.say("step-open_heat-other") : this.say("step-open_heat", { heat: next });
    }
    return this.say(name === "cancel" && this.picture.heat.alone != null ? "step-cancel-alone" : `step-${name}`);
  }

  // Draws the clock at a moment of feed time.
  tick(feedUs) {
    if (!this.picture || feedUs === null) return;
    const { elapsedTenths, leftTenths, countdownS } = reading(this.picture, feedUs);
    write(this.clock, countdownS === null ? tenths(elapsedTenths, this.words.mark) : String(countdownS));
    write(this.left, this.say("cap-left", { cap: seconds(this.picture.heat.cap_ms / 100), left: tenths(leftTenths, this.words.mark) }));
  }

  pressHold() {
    if (this.picture && mayHold(this.picture)) this.give(this.picture.titles.heat, "hold");
  }

  press({ name, guard }) {
    if (guard === "none") this.give(this.picture.titles.heat, command(name));
    else this.askFor(name, guard);
  }

  // Asks a second time, with whatever the step wants to know.
  askFor(name, guard) {
    const id = (part) => `ask-${part}`;
    const labelled = (part, field, kind = "field") =>
      element("p", { class: kind }, element("label", { htmlFor: id(part), textContent: this.say(id(part)) }), Object.assign(field, { id: id(part) }));
    const { titles } = this.picture;
    this.asking = { name, heat: titles.heat, since: performance.now(), reason: null, lane: null, heats: null };
    const fields = [];
    if (name === "rerun_lane") {
      const lanes = this.picture.lanes.filter(({ status }) => status !== "empty").map(({ lane }) => element("option", { value: String(lane), textContent: String(lane) }));
      this.asking.lane = element("select", { required: true }, ...lanes);
      fields.push(labelled("lane", this.asking.lane));
    }
    if (name === "open_heat") {
      const others = titles.heats.filter((heat) => heat !== titles.heat);
      this.asking.heats = element("select", { required: true }, ...others.map((heat) => element("option", { value: String(heat), textContent: String(heat) })));
      this.asking.heats.value = String(nextHeat(titles) || others[0] || "");
      fields.push(labelled("heat", this.asking.heats));
    }
    if (guard === "reason") {
      this.asking.reason = element("input", { maxLength: MAX_REASON, autocomplete: "off", required: true });
      fields.push(labelled("reason", this.asking.reason, "field wide"));
    }
    const yes = element("button", { class: "main", textContent: this.say("ask-yes", { step: this.stepText(name) }) });
    yes.addEventListener("keydown", (event) => event.repeat && event.preventDefault());
    const no = button(this.say("ask-no"), () => this.stopAsking());
    const what = element("p", { id: "ask-what", textContent: this.askText(name) });
    this.ask.replaceChildren(what, ...fields, element("p", { class: "answers" }, yes, no));
    setHidden(this.ask, false);
    (this.asking.lane || this.asking.heats || this.asking.reason || yes).focus();
  }

  askText(name) {
    const { heat, titles } = this.picture;
    const id = name === "open_heat" && !["signed", "cancelled"].includes(heat.state) ? "ask-what-open_heat-unsigned" : `ask-what-${name}`;
    return this.say(name === "cancel" && heat.alone != null ? "ask-what-cancel-alone" : id, { heat: titles.heat_name, lane: heat.alone });
  }

  answered() {
    const { name, heat, since, reason, lane, heats } = this.asking;
    if (performance.now() - since < SECOND_TOUCH_MS) return;
    if (this.asksAgain()) return;
    const why = reason ? reason.value.trim() : "";
    if (reason && (!why || bytes(why) > MAX_REASON)) {
      reason.setCustomValidity(this.say(why ? "reason-long" : "reason-wanted"));
      reason.reportValidity();
      reason.addEventListener("input", () => reason.setCustomValidity(""), { once: true });
      return;
    }
    this.give(heats ? Number(heats.value) : heat, command(name, { reason: why, lane: lane && Number(lane.value) }));
    this.stopAsking();
  }

  // Where a lane is not fit for the start, its question is asked once more and names what is missing.
  asksAgain() {
    const found = this.asking.name === "start_countdown" && !this.asking.warned ? missing(this.picture, this.phones) : [];
    if (found.length === 0) return false;
    Object.assign(this.asking, { warned: true, since: performance.now() });
    write(document.getElementById("ask-what"), this.say("ask-start-unfit", { says: readinessText(found, 0, this.words) }));
    write(this.ask.querySelector("button.main"), this.say("ask-yes-unfit"));
    setData(this.ask, "unfit", "true");
    return true;
  }

  // Closes the question; the focus goes back to the step that asked it, or to what came in its place.
  stopAsking() {
    const inside = this.ask.contains(document.activeElement);
    const { name } = this.asking;
    this.asking = null;
    setHidden(this.ask, true);
    this.ask.replaceChildren();
    setData(this.ask, "unfit", null);
    if (inside) (this.steps.querySelector(`[data-step="${name}"]`) || this.steps.querySelector("button") || this.hold).focus();
  }
}

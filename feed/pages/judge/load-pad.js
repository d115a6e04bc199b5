// Where the load of the next attempt is declared: the last load again, steps on it, or typed. Says it to the feed at once,
// so that the board shows it before the attempt; the attempt itself carries it, too.

import { make } from "../common/dom.js";
import { STEPS, stepped, typedLoad } from "../common/loads.js";
import { onTouch } from "./touch.js";

const byId = (id) => document.getElementById(id);

export class LoadPad {
  // `declare` is given grams and the moment.
  constructor({ words, declare }) {
    Object.assign(this, { words, declare, unit: null, base: null, declared: null });
    this.typing = false;
    byId("load-form").addEventListener("submit", (event) => {
      event.preventDefault();
      this.type();
    });
    byId("load-cancel").addEventListener("click", () => this.close());
    byId("load-form").addEventListener("keydown", (event) => event.key === "Escape" && this.close());
  }

  // `now.tries` says what was declared and tried.
  show({ course, tries }) {
    const unit = course.load_unit;
    const last = tries.attempts.length > 0 ? tries.attempts[tries.attempts.length - 1].load_g : null;
    this.declared = tries.declaredG;
    this.base = this.declared === null ? last : this.declared;
    if (unit !== this.unit) this.build(unit);
    for (const { button, by } of this.buttons) button.disabled = this.after(by) === null || (by === 0 && this.declared !== null);
  }

  build(unit) {
    this.unit = unit;
    const { words } = this;
    const [small, ...large] = STEPS[unit];
    this.buttons = [0, small, ...large, -small].map((by) => {
      const amount = String(Math.abs(by)).replace(".", words.mark);
      const text = by === 0 ? words.say("load-same") : `${by < 0 ? "\u2212" : "+"}${amount}`;
      const button = make("button", "", text);
      button.type = "button";
      onTouch(button, (atMs) => this.step(by, atMs));
      return { button, by };
    });
    const type = make("button", "", words.say("load-type"));
    type.type = "button";
    type.addEventListener("click", () => this.open());
    byId("load").replaceChildren(...this.buttons.map(({ button }) => button), type);
    byId("load-label").textContent = words.say("load-label", { unit });
  }

  // The load that a step leads to; null if there is none to step from, or it is no load.
  after(by) {
    return this.base === null ? null : stepped(this.base, by, this.unit);
  }

  step(by, atMs) {
    const loadG = this.after(by);
    if (loadG !== null && !(by === 0 && this.declared !== null)) this.declare(loadG, atMs);
  }

  open() {
    this.typing = true;
    byId("load-fault").textContent = "";
    byId("load-typed").value = "";
    this.reveal();
    byId("load-typed").focus();
  }

  close() {
    this.typing = false;
    this.reveal();
  }

  reveal() {
    byId("count").classList.toggle("typing", this.typing);
    byId("load-form").hidden = !this.typing;
  }

  type() {
    const loadG = typedLoad(byId("load-typed").value, this.unit);
    byId("load-fault").textContent = loadG === null ? this.words.say("load-bad", { unit: this.unit }) : "";
    if (loadG === null) return;
    this.close();
    this.declare(loadG, performance.now());
  }
}

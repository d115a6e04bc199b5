// The form in which the floor operator writes an order of cards: one row a step, kept across reloads. Leaves what a step
// may be to `order`, and showing it to `page`.

import { keep, kept } from "../common/device.js";
import { make } from "../common/dom.js";
import { CARDS, fault, MAX_STEPS, newStep, readDraft } from "./order.js";

const KEPT = "fivemark.floor.order";

export class Editor {
  // `show` is called with steps without a fault and whether they begin again.
  constructor({ words, show, root = document }) {
    this.words = words;
    this.root = root;
    this.list = root.getElementById("draft");
    this.again = root.getElementById("again");
    const draft = readDraft(kept(KEPT) || "");
    this.steps = draft.steps.length > 0 ? draft.steps : [newStep("words")];
    this.again.checked = draft.again;
    this.again.addEventListener("change", () => this.keep());
    root.getElementById("add").addEventListener("click", () => this.add());
    root.getElementById("show").addEventListener("click", () => this.isRight() && show(this.steps, this.again.checked));
    this.build();
  }

  keep() {
    keep(KEPT, JSON.stringify({ again: this.again.checked, steps: this.steps }));
  }

  add() {
    if (this.steps.length >= MAX_STEPS) return;
    this.steps.push(newStep("words"));
    this.build();
    this.list.lastChild.querySelector("select").focus();
  }

  // Whether all steps can be shown; the first that can't is named, and its field has the focus.
  isRight() {
    const faults = this.steps.map(fault);
    const index = faults.findIndex(Boolean);
    this.list.querySelectorAll("[aria-invalid]").forEach((field) => field.removeAttribute("aria-invalid"));
    const says = index < 0 ? "" : this.words.say(faults[index].says, { step: index + 1 });
    this.root.getElementById("draft-fault").textContent = says;
    if (index < 0) return true;
    const field = this.list.children[index].querySelector(`[data-field="${faults[index].field}"]`);
    field.setAttribute("aria-invalid", "true");
    field.focus();
    return false;
  }

  build() {
    this.list.replaceChildren(...this.steps.map((step, index) => this.row(step, index)));
    this.root.getElementById("add").disabled = this.steps.length >= MAX_STEPS;
    this.keep();
  }

  row(step, index) {
    const card = this.field(step, "card", "card", make("select", "", ...CARDS.map((name) => this.option(name))));
    card.querySelector("select").addEventListener("change", () => this.build());
    const fields = [card, this.field(step, "time", "for-time", make("input"))];
    if (step.card === "words" || step.card === "countdown") fields.push(this.field(step, "title", "card-title", make("input")));
    if (step.card === "words") fields.push(this.field(step, "text", "card-text", Object.assign(make("textarea"), { rows: 2 })));
    if (step.card === "countdown") fields.push(this.field(step, "until", "card-until", make("input")));
    const moves = [
      this.button("step-up", index, "↑", index > 0, () => this.swap(index, index - 1)),
      this.button("step-down", index, "↓", index < this.steps.length - 1, () => this.swap(index, index + 1)),
      this.button("step-away", index, "×", this.steps.length > 1, () => this.remove(index)),
    ];
    return make("li", `step ${step.card}`, ...fields, make("span", "moves", ...moves));
  }

  option(card) {
    return Object.assign(make("option", "", this.words.say(`card-${card.replace("_", "-")}`)), { value: card });
  }

  field(step, field, label, input) {
    input.dataset.field = field;
    input.value = step[field];
    const take = () => {
      step[field] = input.value;
      this.keep();
    };
    input.addEventListener("input", take);
    // Some browsers tell a choice by this one alone.
    input.addEventListener("change", take);
    return make("label", `field ${field}`, make("span", "", this.words.say(label)), input);
  }

  button(label, index, sign, enabled, press) {
    const button = Object.assign(make("button", "", sign), { type: "button", disabled: !enabled });
    button.setAttribute("aria-label", this.words.say(label, { step: index + 1 }));
    button.addEventListener("click", press);
    return button;
  }

  swap(one, other) {
    [this.steps[one], this.steps[other]] = [this.steps[other], this.steps[one]];
    this.build();
    this.list.children[other].querySelector("select").focus();
  }

  remove(index) {
    this.steps.splice(index, 1);
    this.build();
    this.list.children[Math.min(index, this.steps.length - 1)].querySelector("select").focus();
  }
}

// What was asked of the feed and what became of it, newest first: one that waits says so, one that may have arrived or not
// is asked about, a refusal stands with its reason.

import { follow, make, write } from "../common/dom.js";

// Answers that are shown; older ones have had their time.
const SHOWN = 6;

export class Sent {
  constructor({ root, words, commands }) {
    Object.assign(this, { root, words, commands });
  }

  draw() {
    const entries = [...[...this.commands.waiting].reverse(), ...this.commands.answered].slice(0, SHOWN + this.commands.waiting.length);
    follow(this.root, entries, {
      keyOf: ({ message }) => message.id,
      begin: () => make("li", "", make("span", "what"), make("span", "how"), make("span", "buttons")),
      fill: (row, entry) => this.fill(row, entry),
    });
  }

  fill(row, { message, state, answer }) {
    row.dataset.state = state;
    write(row.firstChild, this.what(message));
    const how = row.children[1];
    write(how, state === "refused" ? answer.says : this.words.say(`sent-${state}`));
    // The feed gives its reasons in English.
    if (state === "refused") how.lang = "en";
    const buttons = row.lastChild;
    if (state !== "unsure") buttons.replaceChildren();
    else if (buttons.children.length === 0) buttons.append(this.button("again-send", () => this.commands.again(message.id)), this.button("give-up", () => this.commands.drop(message.id)));
  }

  button(word, press) {
    const button = Object.assign(make("button", "", this.words.say(word)), { type: "button" });
    button.addEventListener("click", () => {
      press();
      this.draw();
    });
    return button;
  }

  full() {
    this.root.prepend(make("li", "full", this.words.say("sent-full")));
  }

  // A command in words.
  what({ type, heat, command }) {
    const say = (id, values) => this.words.say(id, values);
    if (type === "floor") return `${say("heat-number", { heat: String(heat) })}: ${say(`command-${command.replace("_", "-")}`)}`;
    if (command === "duel_off") return say("duel-off");
    const [kind, value] = Object.entries(command)[0];
    if (kind === "overlay") return say(value.on ? "sent-part-on" : "sent-part-off", { part: say(`part-${value.part}`) });
    if (kind === "duel") return say("duel-now", value);
    if (value === "follow") return say("follow");
    return value === "heat" ? say("board-alone") : say("sent-own", { steps: value.own.steps.length });
  }
}

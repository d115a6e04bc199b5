// How the judges call: who stands out of the field, everybody's no-rep rates with their intervals, and how lane judges and
// shadow judges agree. Asked of the feed when it is opened; to be read aside and printed, not watched.

import { name, write } from "../common/dom.js";
import { button, element, setHidden } from "./dom.js";
import { agreementLines, briefing, byChance, faultText, figuresText, movements, nameOf, rateText } from "./judging.js";

export class Judges {
  // `ask` asks the feed.
  constructor({ words, ask }) {
    Object.assign(this, { words, ask });
    this.section = document.getElementById("judges");
    this.about = element("p", { class: "quiet" });
    this.tables = element("div", {});
    const title = element("h2", { id: "judges-title", textContent: this.say("judges") });
    const again = button(this.say("record-again"), () => this.ask());
    this.print = button(this.say("print"), () => print());
    const close = button(this.say("close"), () => this.close(), { class: "close" });
    this.section.append(element("div", { class: "head" }, title, again, this.print, close), this.about, this.tables);
    this.section.addEventListener("keydown", (event) => event.key === "Escape" && this.close());
    this.opener = document.getElementById("show-judges");
    this.opener.addEventListener("click", () => this.open());
  }

  say(id, values) {
    return this.words.say(id, values);
  }

  open() {
    write(this.about, this.say("judges-wait"));
    setHidden(this.print, true);
    setHidden(this.section, false);
    // What is open is printed by itself.
    document.body.classList.add("judges-open");
    this.section.focus();
    this.ask();
  }

  close() {
    setHidden(this.section, true);
    document.body.classList.remove("judges-open");
    this.tables.replaceChildren();
    this.opener.focus();
  }

  hear(told) {
    const none = told.rates.length === 0;
    write(this.about, none ? this.say("judges-none") : this.say("judges-of", { count: told.heats }));
    setHidden(this.print, none);
    this.tables.replaceChildren(...(none ? [] : [this.briefing(told), this.rates(told)]), this.agreement(told));
  }

  part(title, ...within) {
    return element("div", { class: "part" }, element("h3", { textContent: this.say(title) }), ...within);
  }

  briefing(told) {
    const lines = briefing(told, this.words).map((line) => element("li", { textContent: line }));
    const found = lines.length > 0 ? element("ul", { class: "briefing" }, ...lines) : element("p", { textContent: this.say("briefing-none") });
    const chance = told.comparisons > 0 ? this.say("briefing-chance", { count: byChance(told), all: told.comparisons }) : this.say("briefing-alone");
    return this.part("briefing", found, element("p", { class: "quiet", textContent: chance }));
  }

  rates(told) {
    const more = told.left_out > 0 ? [element("p", { class: "quiet", textContent: this.say("judges-left-out", { count: told.left_out }) })] : [];
    return this.part("rates", element("p", { class: "quiet", textContent: this.say("rates-hint") }), ...movements(told).map((of) => this.movement(of)), ...more);
  }

  movement(of) {
    const field = this.say("rate-field", { figures: figuresText(of.no_reps, of.attempts, this.words), count: of.judges });
    const rows = of.rows.map((row) => this.row(row, of));
    return element("div", { class: "movement" }, element("h4", { textContent: of.movement }), element("p", { class: "quiet", textContent: field }), element("ul", { class: "rates" }, ...rows));
  }

  row(row, of) {
    const who = name("who");
    write(who, nameOf(row.judge, this.words));
    const side = row.outside ? element("strong", { textContent: this.say(`outside-${row.outside}`) }) : null;
    const faults = (row.faults || []).filter((fault) => fault.no_reps > 0 || fault.outside);
    const lines = faults.map((fault) => element("small", { class: "quiet", textContent: faultText(fault, row, of, this.words) }));
    const item = element("li", {}, who, element("span", { textContent: rateText(row, this.words) }), side, scale(row.marks), ...lines);
    if (row.outside) item.dataset.outside = row.outside;
    return item;
  }

  agreement(told) {
    const each = told.agreement.map((of) =>
      element("li", {}, element("b", { textContent: of.movement || this.say("agreement-all") }), ...agreementLines(of, this.words).map((line) => element("span", { textContent: line }))),
    );
    const seconds = new Intl.NumberFormat(this.words.language).format(told.window_ms / 1000);
    const within = each.length > 0
      ? [element("ul", { class: "agreement" }, ...each), element("p", { class: "quiet", textContent: this.say("agreement-hint", { seconds }) })]
      : [element("p", { textContent: this.say("agreement-none") })];
    return this.part("agreement", ...within);
  }
}

// The interval as a bar, the judge's share as a mark on it, the field's as a line across. Everything in it is said in
// figures beside it.
function scale({ from, to, own, field }) {
  const piece = (of, left, width) => {
    const made = element("i", { class: of });
    made.style.left = `${left}%`;
    if (width !== undefined) made.style.width = `${width}%`;
    return made;
  };
  return element("span", { class: "scale", "aria-hidden": "true" }, piece("interval", from, to - from), piece("field", field), piece("own", own));
}

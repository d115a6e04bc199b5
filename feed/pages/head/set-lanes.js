// The panel "Lanes": who stands where, before the start. Two touches exchange two lanes; an athlete is taken out, or
// another one put on an empty lane. What is to be stands beside what it replaces before it is sent, with a reason.

import { write } from "../common/dom.js";
import { button, element, refill, setHidden } from "./dom.js";
import { LaneDraft, maySetLanes } from "./lane-draft.js";
import { bytes, MAX_REASON } from "./typed.js";

// Reasons that are given most, to be touched instead of typed.
const REASONS = ["why-swapped", "why-injured", "why-absent", "why-substitute"];
// How long typing has to rest before athletes are asked for, milliseconds.
const FIND_AFTER_MS = 250;

export class SetLanes {
  // `give` is told a floor command, `ask` what is to be found among the athletes.
  constructor({ words, give, ask }) {
    Object.assign(this, { words, give, ask, picture: null, chosen: null, draft: new LaneDraft(), found: null });
    this.section = document.getElementById("set-lanes");
    this.opener = document.getElementById("show-lanes");
    this.opener.addEventListener("click", () => this.open());
    this.section.addEventListener("keydown", (event) => event.key === "Escape" && this.close());
    this.build();
  }

  say(id, values) {
    return this.words.say(id, values);
  }

  build() {
    const close = button(this.say("close"), () => this.close(), { class: "close" });
    this.hint = element("p", { class: "quiet" });
    this.list = element("ol", { class: "places" });
    this.hint.id = "set-lanes-hint";
    this.scratch = button(this.say("scratch"), () => this.scratchChosen());
    this.search = element("input", { id: "set-lanes-find", type: "search", autocomplete: "off" });
    this.search.addEventListener("input", () => this.find());
    this.results = element("ul", { class: "found" });
    this.more = element("p", { class: "quiet" });
    const label = element("label", { htmlFor: "set-lanes-find", textContent: this.say("find-athlete") });
    this.finding = element("div", { class: "finding", role: "group", "aria-label": this.say("put-in") }, element("p", { class: "field" }, label, this.search), this.results, this.more);
    this.reason = element("input", { id: "set-lanes-reason", maxLength: MAX_REASON, autocomplete: "off" });
    const head = element("div", { class: "head" }, element("h2", { id: "set-lanes-title", textContent: this.say("set-lanes") }), close);
    this.section.replaceChildren(head, this.hint, this.list, this.scratch, this.finding, this.form());
  }

  form() {
    const put = (id) => {
      this.reason.value = this.say(id);
      write(this.fault, "");
    };
    this.preview = element("ul", { class: "preview", "aria-label": this.say("set-lanes-changes") });
    this.fault = element("p", { class: "fault", role: "alert" });
    const send = element("button", { class: "main", textContent: this.say("set-lanes-send") });
    send.addEventListener("keydown", (event) => event.repeat && event.preventDefault());
    const label = element("label", { htmlFor: "set-lanes-reason", textContent: this.say("field-reason") });
    const reasons = element("div", { class: "reasons", role: "group", "aria-label": this.say("reasons") }, ...REASONS.map((id) => button(this.say(id), () => put(id))));
    const back = button(this.say("set-lanes-back"), () => this.begin());
    this.send = element("form", { class: "sending", noValidate: true }, this.preview, element("p", { class: "field" }, label, this.reason), reasons, this.fault, element("p", { class: "answers" }, send, back));
    this.send.addEventListener("submit", (event) => {
      event.preventDefault();
      this.sendAll();
    });
    return this.send;
  }

  open() {
    setHidden(this.section, false);
    this.begin();
    this.section.focus();
  }

  close() {
    this.begin();
    setHidden(this.section, true);
    this.opener.focus();
  }

  // Lets everything go that was put together.
  begin() {
    this.draft.clear();
    this.choose(null);
    this.reason.value = "";
    write(this.fault, "");
    this.draw();
  }

  // Writes what a new picture says.
  show(picture) {
    this.picture = picture;
    const lost = this.draft.follow(picture);
    setHidden(this.opener, !maySetLanes(picture));
    if (!maySetLanes(picture)) {
      if (!this.section.hidden) this.close();
      return;
    }
    if (lost) {
      this.begin();
      write(this.fault, this.say("set-lanes-lost"));
    }
    this.draw();
  }

  draw() {
    if (!this.picture || this.section.hidden) return;
    const { entries } = this.picture;
    const lanes = entries.map(({ lane }) => ({ lane, athlete: this.draft.athlete(this.picture, lane), changed: this.draft.changes.has(lane) }));
    const key = JSON.stringify([lanes, this.chosen]);
    const focused = this.list.contains(document.activeElement) ? document.activeElement.dataset.lane : null;
    refill(this.list, key, () => lanes.map((lane) => this.place(lane)));
    if (focused !== null && !this.list.contains(document.activeElement)) this.list.querySelector(`[data-lane="${focused}"]`).focus();
    const chosen = this.chosen === null ? null : this.draft.athlete(this.picture, this.chosen);
    write(this.hint, this.chosen === null ? this.say("set-lanes-hint") : this.say("set-lanes-second", { lane: this.chosen }));
    setHidden(this.scratch, !chosen);
    setHidden(this.finding, this.chosen === null || Boolean(chosen));
    this.drawFound();
    this.drawChanges();
  }

  place({ lane, athlete, changed }) {
    const name = athlete ? this.say("athlete-bib", athlete) : this.say("lane-empty");
    const press = button("", () => this.touch(lane), { class: "place-at", "aria-pressed": String(this.chosen === lane) });
    press.dataset.lane = lane;
    press.append(element("b", { textContent: String(lane) }), element("span", { dir: "auto", textContent: name }));
    if (changed) press.append(element("small", { textContent: this.say("lane-changes") }));
    return element("li", { "data-changed": String(changed) }, press);
  }

  // A first touch chooses a lane, a second one exchanges it with another.
  touch(lane) {
    if (this.chosen === null) this.choose(lane);
    else {
      if (this.chosen !== lane) this.draft.swap(this.picture, this.chosen, lane);
      this.choose(null);
    }
    write(this.fault, "");
    this.draw();
  }

  choose(lane) {
    this.chosen = lane;
    this.found = null;
    this.search.value = "";
    if (lane !== null && !this.draft.athlete(this.picture, lane)) this.ask("");
  }

  scratchChosen() {
    const lane = this.chosen;
    this.draft.put(this.picture, lane, null);
    this.choose(null);
    this.draw();
    this.list.querySelector(`[data-lane="${lane}"]`).focus();
  }

  find() {
    clearTimeout(this.typing);
    this.typing = setTimeout(() => this.ask(this.search.value.trim()), FIND_AFTER_MS);
  }

  // Athletes have come who could be put in.
  hear({ heat, athletes, more }) {
    if (!this.picture || heat !== this.picture.titles.heat) return;
    this.found = { athletes, more };
    this.draw();
  }

  // Whoever this draft takes out can be put in elsewhere by it, and whoever it puts in can't once more.
  drawFound() {
    const { athletes = [], more = false } = this.found || {};
    const taken = this.draft.lines(this.picture).filter(({ to }) => to).map(({ to }) => to.bib);
    const out = this.draft.scratched(this.picture);
    const find = this.search.value.trim().toLowerCase();
    const fits = ({ bib, name }) => out.includes(bib) && `${bib} ${name}`.toLowerCase().includes(find);
    const leaving = this.picture.entries.filter(fits).map(({ bib, name }) => ({ bib, name, division: "", scratched: true }));
    const offered = [...leaving, ...athletes.filter(({ bib }) => !taken.includes(bib))];
    refill(this.results, JSON.stringify(offered), () => offered.map((athlete) => element("li", {}, this.offer(athlete))));
    const none = this.found && offered.length === 0 ? this.say("find-none") : "";
    write(this.more, more ? this.say("find-more") : none);
  }

  offer({ bib, name, division, scratched }) {
    const put = () => {
      const lane = this.chosen;
      this.draft.put(this.picture, lane, { bib, name });
      this.choose(null);
      this.draw();
      this.list.querySelector(`[data-lane="${lane}"]`).focus();
    };
    const press = button("", put);
    press.append(element("b", { dir: "auto", textContent: this.say("athlete-bib", { bib, name }) }));
    const rest = [division, scratched ? this.say("was-scratched") : ""].filter(Boolean).join(" · ");
    if (rest) press.append(element("small", { textContent: rest }));
    return press;
  }

  drawChanges() {
    const lines = this.draft.lines(this.picture);
    const name = (athlete) => (athlete ? athlete.name : this.say("lane-empty"));
    const texts = lines.map(({ lane, from, to }) => this.say("set-lanes-line", { lane, from: name(from), to: name(to) }));
    const names = new Map(this.picture.entries.map((entry) => [entry.bib, entry.name]));
    const out = this.draft.scratched(this.picture).map((bib) => this.say("set-lanes-out", { name: names.get(bib) }));
    refill(this.preview, JSON.stringify([texts, out]), () => [...texts, ...out].map((textContent) => element("li", { textContent })));
    setHidden(this.send, lines.length === 0 && this.fault.textContent === "");
  }

  sendAll() {
    const reason = this.reason.value.trim();
    const changed = this.draft.lines(this.picture).length > 0;
    const wrong = !changed ? "set-lanes-nothing" : reason === "" ? "reason-wanted" : bytes(reason) > MAX_REASON ? "reason-long" : null;
    write(this.fault, wrong ? this.say(wrong) : "");
    if (wrong) this.reason.focus();
    else if (this.give(this.picture.titles.heat, this.draft.command(this.picture, reason))) this.choose(null);
  }
}

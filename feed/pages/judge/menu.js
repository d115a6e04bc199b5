// What a judge needs seldom: sunlight, language, full screen, the last calls with what became of them, how this phone
// is doing, giving the lane to another phone, and leaving a wrong lane.

import { keep, kept } from "../common/device.js";
import { make } from "../common/dom.js";
import { loadText } from "../common/loads.js";
import { LANGUAGES } from "../common/words.js";
import { showChecks } from "./ready.js";
import { why } from "./wording.js";

const byId = (id) => document.getElementById(id);
const LIGHT = "fivemark.light";
const NAMES = { en: "English", es: "Español", de: "Deutsch" };

export class Menu {
  // `leave` leaves the lane, `handOver` gives it to a phone by its name, `changed` draws the page anew.
  constructor({ words, leave, handOver, changed }) {
    Object.assign(this, { words, changed });
    this.opener = null;
    for (const button of document.querySelectorAll("[data-opens=menu]")) button.addEventListener("click", () => this.open(button));
    for (const button of document.querySelectorAll("[data-does=light]")) button.addEventListener("click", () => setLight(!isSunlit()));
    byId("menu-close").addEventListener("click", () => this.close());
    byId("menu").addEventListener("keydown", (event) => {
      if (event.key === "Escape") this.close();
      event.stopPropagation();
    });
    byId("leave").addEventListener("click", leave);
    byId("hand-over").addEventListener("submit", (event) => {
      event.preventDefault();
      handOver(byId("to").value.trim());
      byId("to").value = "";
      this.close();
    });
    this.languages();
    byId("full").hidden = !document.fullscreenEnabled;
    byId("full").addEventListener("click", () => toggleFull());
    setLight(kept(LIGHT) === "sun");
  }

  get isOpen() {
    return !byId("menu").hidden;
  }

  open(opener) {
    this.opener = opener;
    byId("menu").hidden = false;
    this.changed();
    byId("menu-close").focus();
  }

  close() {
    byId("menu").hidden = true;
    this.changed();
    if (this.opener) this.opener.focus();
  }

  languages() {
    const links = LANGUAGES.map((language) => {
      const link = make("a", "", NAMES[language]);
      link.href = `?lang=${language}`;
      link.lang = link.hreflang = language;
      if (language === this.words.language) link.setAttribute("aria-current", "true");
      return link;
    });
    byId("languages").replaceChildren(...links);
  }

  // The load of an attempt, in the unit of the heat on the floor.
  load({ load_g: loadG }) {
    return loadG && this.loadUnit ? loadText(loadG, this.loadUnit, this.words.mark) : "";
  }

  show({ log, checks, mayHandOver, loadUnit = null }) {
    this.loadUnit = loadUnit;
    showChecks(byId("menu-checks"), checks);
    byId("hand-over").hidden = !mayHandOver;
    const list = byId("log");
    const key = JSON.stringify(log);
    if (list.dataset.key === key) return;
    list.dataset.key = key;
    const { words } = this;
    const items = log.map(({ tally, answer }) => {
      const said = [words.say(`call-${tally.call}`), tally.amount ? `+${tally.amount}` : "", this.load(tally), tally.fault || ""].filter(Boolean).join(" ");
      const became = answer === null ? words.say("waits") : answer === "counted" ? words.say(tally.call === "manual-stop" ? "noted" : "counted") : why(words, answer);
      const item = make("li", answer && answer !== "counted" ? "amiss" : "", make("b", "", said), ` – ${became}`);
      return item;
    });
    list.replaceChildren(...(items.length > 0 ? items : [make("li", "quiet", words.say("no-calls"))]));
  }
}

function isSunlit() {
  return document.documentElement.dataset.light === "sun";
}

function setLight(sun) {
  document.documentElement.dataset.light = sun ? "sun" : "";
  for (const button of document.querySelectorAll("[data-does=light]")) button.setAttribute("aria-pressed", String(sun));
  keep(LIGHT, sun ? "sun" : "");
}

function toggleFull() {
  const turned = document.fullscreenElement ? document.exitFullscreen() : document.documentElement.requestFullscreen();
  // Refused by the device: the page stays as it is.
  turned.catch(() => {});
}

// The face of a lane that has ended: its official result, the last moments in which the judge may take the last call
// back, and the initials of athlete and judge under the result.

import { write } from "../common/dom.js";
import { stopText } from "./wording.js";

const byId = (id) => document.getElementById(id);

export class Ended {
  // `confirm` is given `{ athlete, judge, result }`, `call` calls.
  constructor({ words, call, confirm }) {
    this.words = words;
    byId("ended-undo").addEventListener("click", () => call("undo"));
    byId("ended-last").addEventListener("click", () => call("last-was-no-rep"));
    byId("ended-stop").addEventListener("click", () => call("manual-stop"));
    byId("initials").addEventListener("submit", (event) => {
      event.preventDefault();
      const [athlete, judge] = ["athlete", "judge"].map((id) => byId(id).value.trim());
      if (athlete && judge) confirm({ athlete, judge, result: this.result });
    });
  }

  // `undo` is what is left of an undo's time in milliseconds, null without one; `confirming` whether initials are on
  // their way.
  show(now, { undo, confirming, wanted }) {
    const { words } = this;
    const { entry, count, picture } = now;
    const text = count.result ? count.result.text : null;
    // The initials were for another result.
    if (this.result && text !== this.result) for (const id of ["athlete", "judge"]) byId(id).value = "";
    this.result = text;
    write(byId("ended-who"), `${words.say("lane", { lane: entry.lane })} · ${entry.name}`);
    write(byId("ended-title"), words.say(title(now)));
    write(byId("ended-result"), text || "…");
    byId("ended-undo").hidden = undo === null;
    byId("ended-last").hidden = undo === null || Boolean(now.tries);
    byId("ended-stop").hidden = undo === null || !now.finished || Boolean(now.tries);
    write(byId("ended-stop"), stopText(count, words));
    write(byId("ended-undo-left"), undo === null ? "" : words.say("seconds-left", { seconds: Math.ceil(undo / 1000) }));
    const over = picture.heat.state === "provisional" || picture.heat.state === "signed" || count.status === "finished";
    byId("initials").hidden = !wanted || !text || !over || Boolean(count.confirmed) || picture.heat.state === "signed" || undo !== null;
    byId("initials-go").disabled = confirming;
    write(byId("initials-go"), words.say(confirming ? "initials-sent" : "initials-go"));
    byId("confirmed").hidden = !count.confirmed;
  }
}

function title({ count, picture, finished }) {
  const { state } = picture.heat;
  if (state === "signed") return "official";
  if (!count.result || (finished && count.status === "racing")) return "result-awaited";
  if (count.status === "finished") return "finished";
  return state === "provisional" ? "provisional" : "time-called";
}

// The face with the targets: one for a good rep, one for a no-rep with its faults, and the small ones. Shows the count
// with what comes next, and turns touches and keys into calls. Every touch is taken where the finger comes down.

import { make, write } from "../common/dom.js";
import { reading, seconds, tenths } from "../common/time.js";
import { attemptLines, failedCall, goodCall } from "./attempt-lines.js";
import { buzz } from "./care.js";
import { ahead, blocks, mayStop, offers, toGo } from "./course.js";
import { LoadPad } from "./load-pad.js";
import { choice, Floor, meaning } from "./taps.js";
import { onTouch, stampOf } from "./touch.js";
import { isLift, judgesAttempts } from "./tries.js";
import { amount, partName, stopText } from "./wording.js";

const byId = (id) => document.getElementById(id);
// A no-rep whose fault nobody names is sent after this, milliseconds; others wait to hear of it.
const NAME_WITHIN_MS = 5000;

export class Pad {
  // `call` makes a call and says whether it was taken in; `held` is told that a double tap was held back, `wants` what
  // has to be done before a call.
  constructor({ words, call, held, wants }) {
    Object.assign(this, { words, call, held, wants });
    this.loads = new LoadPad({ words, declare: (loadG, atMs) => this.call("declare-load", { atMs, loadG }) });
    this.floor = new Floor();
    this.now = null;
    // Heat time as it was last drawn, to the tenth.
    this.elapsedMs = null;
    // The no-rep that was called and whose fault may still be named: `{ atMs, part }`.
    this.open = null;
    onTouch(byId("good"), (atMs) => this.good(atMs));
    onTouch(byId("no-rep"), (atMs) => this.noRep(atMs));
    onTouch(byId("last"), (atMs) => this.say("last-was-no-rep", { atMs }));
    onTouch(byId("stop"), (atMs) => this.stop(atMs));
    byId("undo").addEventListener("click", (event) => this.undo(stampOf(event)));
    // A page that is left takes an unnamed no-rep along.
    addEventListener("pagehide", () => this.settle());
  }

  // Whether a key means a call here.
  key(event) {
    const index = this.open ? choice(event) : null;
    const fault = index === null ? null : this.open.faults[index];
    const call = meaning(event);
    const atMs = stampOf(event);
    if (fault) this.settle(fault.code);
    else if (call === "good") this.good(atMs);
    else if (call === "no-rep") this.noRep(atMs);
    else if (call === "undo") this.undo(atMs);
    else if (call && !this.attempts) this.say(call, { atMs });
    else return false;
    return true;
  }

  good(atMs) {
    this.settle();
    if (this.attempts) {
      this.attempt(goodCall(this.now), atMs);
      return;
    }
    const call = this.now && offers(this.now.course, this.now.done).finish ? "finish" : "good";
    this.say(call, { atMs });
  }

  // Whether attempts or holds are judged here.
  get attempts() {
    return Boolean(this.now && this.now.tries);
  }

  // An attempt, or a hold's start or stop; none before its load is declared.
  attempt(asked, atMs) {
    if (asked) this.say(asked.call, { atMs, loadG: asked.loadG });
    else if (isLift(this.now.course)) this.wants("load");
  }

  // What the round target calls, as `{ call, loadG }`; null if it calls nothing now.
  get failing() {
    if (!this.attempts) return { call: "no-rep", loadG: null };
    return failedCall(this.now);
  }

  // A first touch opens the faults; a second one is a no-rep without a name.
  noRep(atMs) {
    if (this.open) {
      if (this.floor.lets(atMs)) this.settle();
      else this.held();
      return;
    }
    const { failing } = this;
    if (!failing) {
      this.attempt(null, atMs);
      return;
    }
    const faults = this.now ? offers(this.now.course, this.now.done).faults : [];
    if (faults.length === 0) {
      this.say(failing.call, { atMs, loadG: failing.loadG });
      return;
    }
    if (!this.floor.lets(atMs)) {
      this.held();
      return;
    }
    buzz("no-rep");
    this.open = { ...failing, atMs, faults, late: setTimeout(() => this.settle(), NAME_WITHIN_MS) };
    this.showFaults();
  }

  // Sends the open no-rep, with a fault or without one. It was called when it was touched.
  settle(fault = null) {
    if (!this.open) return;
    const { atMs, late, call, loadG } = this.open;
    clearTimeout(late);
    this.open = null;
    this.showFaults();
    this.call(call, { atMs, fault, loadG });
  }

  undo(atMs) {
    if (this.open) {
      // It has not been said yet: nothing to take back.
      clearTimeout(this.open.late);
      this.open = null;
      this.showFaults();
      return;
    }
    if (this.call("undo", { atMs })) buzz("undo");
  }

  // Second evidence beside the finishing tap, at the same moment as that may be: no tap holds it back, and it holds back none.
  stop(atMs) {
    if (this.call("manual-stop", { atMs })) buzz("stop");
  }

  say(call, { atMs, amount: units = 0, loadG = null }) {
    if (call !== "good" && call !== "finish") this.settle();
    if (!this.floor.lets(atMs)) {
      this.held();
      return;
    }
    if (this.call(call, { atMs, amount: units, loadG })) buzz(call);
  }

  // Shows what `Session.now` says; `undo` is what is left of the time of an undo in milliseconds, null if there is none.
  show(now, undo) {
    this.now = now;
    const { words } = this;
    write(byId("count-lane"), words.say(now.isShadow ? "lane-shadow" : "lane", { lane: now.entry.lane }));
    write(byId("count-name"), now.entry.name);
    const kind = judgesAttempts(now.course) ? (isLift(now.course) ? "lift" : "hold") : "reps";
    if (byId("count").dataset.kind !== kind) this.turnTo(kind);
    write(byId("no-reps"), kind === "reps" ? String(now.noReps + (this.open ? 1 : 0)) : "");
    byId("undo").disabled = undo === null && !this.open;
    write(byId("undo-left"), undo === null ? "" : words.say("seconds-left", { seconds: Math.ceil(undo / 1000) }));
    this.showTarget(now);
    if (kind === "reps") this.showSeveral(now);
    if (kind === "lift") this.loads.show(now);
    byId("stop").hidden = kind !== "reps" || !now.counts || !mayStop(now.course, now.done);
    write(byId("stop"), stopText(now.count, words));
  }

  // Another kind of work stands on the floor: other buttons beside the target.
  turnTo(kind) {
    byId("count").dataset.kind = kind;
    write(byId("no-rep-name"), this.words.say(kind === "lift" ? "failed" : "no-rep"));
    write(byId("good-name"), this.words.say(kind === "lift" ? "call-attempt-good" : kind === "hold" ? "hold-target" : "call-good"));
    byId("load").hidden = kind !== "lift";
    byId("last").hidden = kind !== "reps";
    byId("several").hidden = kind !== "reps";
    if (kind !== "lift") this.loads.close();
  }

  showTarget(now) {
    const { words } = this;
    const left = toGo(now.course, now.done, now.count);
    const target = byId("good");
    const mark = left !== null && now.view === "count" && now.countdownS === null;
    target.classList.toggle("waits", !now.counts || (now.tries != null && goodCall(now) === null));
    target.classList.toggle("holding", now.tries != null && now.tries.holdingMs !== null);
    document.body.dataset.mark = mark ? "last-five" : "";
    const lines = now.tries ? attemptLines(now, words, this.elapsedMs) : this.lines(now, mark ? left : null);
    const { number, of, then, raise } = lines;
    write(byId("number"), number);
    byId("number").dataset.length = number.length;
    write(byId("of"), of);
    write(byId("then"), then);
    write(byId("raise"), raise);
    byId("blocks").hidden = !mark;
    if (mark) showBlocks(blocks(now.course, left));
  }

  // What stands in the target.
  lines(now, left) {
    const { words } = this;
    const at = ahead(now.course, now.done);
    const next = at.then.length > 0 ? words.say("then", { parts: at.then.map(partName).join(", ") }) : "";
    const first = at.part && [partName(at.part), at.part.load].filter(Boolean).join(" · ");
    if (now.countdownS !== null || now.untilMs !== null || !(now.counts || now.held)) {
      const ownStart = now.untilMs !== null;
      const number = now.countdownS !== null ? String(now.countdownS) : ownStart ? seconds(now.untilMs / 100) : "–";
      return { number, of: words.say(ownStart ? "own-start" : "until-start"), then: words.say("first", { part: first }), raise: "" };
    }
    if (!at.part) return { number: String(now.course.units && at.index ? "✓" : "0"), of: words.say("touch-finish"), then: "", raise: words.say("finish-now") };
    const round = at.round > 0 && at.rounds !== 1 ? words.say("round", { round: at.round }) : "";
    const of = [words.say("of", { part: partName(at.part) }), at.part.load].filter(Boolean).join(" · ");
    const then = [round, next].filter(Boolean).join(" · ");
    const whole = at.part.unit !== "rep" && at.part.step >= at.part.amount;
    const raise = now.held ? words.say("held") : left === null ? (whole ? words.say("when-done") : "") : `${words.say("raise")}\n${words.say("to-go", { left: amount(left, at.part.unit) })}`;
    return { number: String(at.partDone), of, then, raise };
  }

  showSeveral(now) {
    const { several, partDone } = offers(now.course, now.done);
    const { part } = ahead(now.course, now.done);
    const key = part ? `${several.join()}/${partDone}/${part.unit}` : "";
    const box = byId("several");
    if (box.dataset.key === key) return;
    box.dataset.key = key;
    const buttons = several.map((units) => {
      const button = make("button", "", `+${units}`);
      onTouch(button, (atMs) => this.say("good", { atMs, amount: units }));
      return button;
    });
    if (partDone) {
      const button = make("button", "", this.words.say("part-done"));
      onTouch(button, (atMs) => this.say("part-done", { atMs }));
      buttons.push(button);
    }
    for (const button of buttons) button.type = "button";
    box.replaceChildren(...buttons);
  }

  showFaults() {
    const { open, words } = this;
    byId("count").classList.toggle("naming", Boolean(open));
    byId("faults").hidden = !open;
    byId("beside").hidden = Boolean(open);
    byId("no-rep").setAttribute("aria-expanded", String(Boolean(open)));
    if (!open) return;
    const buttons = open.faults.map((fault, index) => {
      const button = make("button", fault.partial ? "partial" : "", fault.name);
      if (fault.partial) button.append(make("small", "", words.say("partial")));
      button.addEventListener("click", () => this.settle(fault.code));
      button.setAttribute("aria-keyshortcuts", String(index + 1));
      return button;
    });
    const none = make("button", "none", words.say("no-fault-named"));
    none.addEventListener("click", () => this.settle());
    for (const button of [...buttons, none]) button.type = "button";
    byId("faults").replaceChildren(...buttons, none);
    byId("faults").scrollTop = 0;
  }

  // The clock alone, ten times a second.
  showClock(now, feedUs) {
    const known = now && (feedUs !== null || now.picture.heat.clock.stopped);
    const read = known ? reading(now.picture, feedUs || 0) : null;
    // What a hold has taken so far is drawn from the same time.
    this.elapsedMs = read ? read.elapsedTenths * 100 : null;
    write(byId("clock"), read ? tenths(read.elapsedTenths, this.words.mark) : "–:––");
  }
}

function showBlocks({ many, done }) {
  const box = byId("blocks");
  while (box.children.length < many) box.append(make("i"));
  while (box.children.length > many) box.lastChild.remove();
  Array.from(box.children).forEach((block, index) => block.classList.toggle("done", index < done));
}

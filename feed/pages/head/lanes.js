// Every lane at a glance: one row each, in lane order. A row is made once and only what changed in it is written.

import { write } from "../common/dom.js";
import { needsJudge } from "./attention.js";
import { judgesAttempts } from "./course.js";
import { button, element, refill, setData, setHidden } from "./dom.js";
import { reviewLeft, reviewText } from "./evidence.js";
import { quietSince, secondsSince } from "./flags.js";
import { countText, gapFigures, partText, rows, triesText } from "./rows.js";
import { timeText } from "./typed.js";

// Seconds after which the age of a last call is told in minutes.
const MINUTE_S = 60;

export class Lanes {
  // `open` is told the lane whose row was touched.
  constructor({ words, calls, open }) {
    Object.assign(this, { words, calls, open, rows: new Map(), flags: [] });
    this.body = document.querySelector("#lanes tbody");
    this.body.addEventListener("click", (event) => {
      const row = event.target.closest("tr");
      // The row's own button tells by itself.
      if (row && !event.target.closest("button")) this.open(Number(row.dataset.lane));
    });
  }

  say(id, values) {
    return this.words.say(id, values);
  }

  show(picture, flags) {
    this.flags = flags;
    const all = rows(picture);
    refill(this.body, all.map(({ lane }) => lane).join(), () => {
      this.rows = new Map(all.map(({ lane }) => [lane, this.make(lane)]));
      return [...this.rows.values()].map(({ row }) => row);
    });
    for (const row of all) this.write(this.rows.get(row.lane), row, picture);
  }

  make(lane) {
    const cell = (name, ...children) => element("td", { role: "cell", class: name }, ...children);
    const parts = {
      open: button(String(lane), () => this.open(lane), { class: "lane" }),
      name: element("b", { dir: "auto" }),
      who: element("small", { class: "quiet" }),
      count: element("b"),
      status: element("small"),
      place: element("b"),
      gap: element("small", { class: "quiet" }),
      part: element("span"),
      bar: element("i", { "aria-hidden": "true" }),
      calls: element("span", { class: "marks", "aria-hidden": "true" }),
      age: element("small", { class: "quiet" }),
      heard: element("span", { class: "unseen" }),
      noReps: element("b"),
      fault: element("small", { class: "quiet" }),
      marks: element("span", { class: "chips" }),
      review: element("span", { class: "chip", "data-kind": "review", hidden: true }),
      quiet: element("span", { class: "chip", "data-kind": "quiet" }),
    };
    const head = element("th", { role: "rowheader", scope: "row", class: "lane" }, parts.open);
    const row = element(
      "tr",
      { role: "row" },
      head,
      cell("athlete", parts.name, element("span", { class: "under" }, parts.who, parts.marks, parts.quiet, parts.review)),
      cell("count", parts.count, parts.status),
      cell("place", parts.place, parts.gap),
      cell("part", parts.part, element("span", { class: "track", "aria-hidden": "true" }, parts.bar)),
      cell("calls", parts.calls, parts.age, parts.heard),
      cell("no-reps", parts.noReps, parts.fault),
    );
    setData(row, "lane", lane);
    return { row, ...parts };
  }

  write(parts, row, picture) {
    const { entry, count } = row;
    const empty = !count || count.status === "empty";
    setData(parts.row, "status", count ? count.status : "empty");
    setData(parts.row, "toGo", !empty && count.status === "racing" && count.to_go != null ? count.to_go : null);
    const name = empty ? this.say("lane-empty") : entry.name;
    write(parts.name, name);
    parts.open.setAttribute("aria-label", this.say("open-lane", { lane: row.lane, name }));
    write(parts.who, empty ? "" : [entry.bib, row.division].filter(Boolean).join(" · "));
    write(parts.count, countText(row, this.words));
    write(parts.status, empty ? "" : this.statusText(count));
    write(parts.place, row.place > 0 ? String(row.place) : "");
    write(parts.gap, this.gapText(row));
    write(parts.part, this.partText(row, picture, empty));
    const share = empty ? "0%" : `${row.share}%`;
    if (parts.bar.style.width !== share) parts.bar.style.width = share;
    this.writeCalls(parts, row.lane);
    write(parts.noReps, empty || count.no_reps === 0 ? "" : String(count.no_reps));
    parts.counted = count;
    const chips = empty ? [] : this.chips(row, picture);
    refill(parts.marks, chips.map(({ kind, text }) => kind + text).join("|"), () => chips.map(({ kind, text }) => element("span", { class: "chip", "data-kind": kind, textContent: text })));
  }

  statusText(count) {
    if (count.status === "racing") return count.to_go != null ? this.say("to-go", { count: count.to_go }) : "";
    return this.say(`status-${count.status}`);
  }

  gapText({ gapUnits, gapMs, place, course }) {
    const units = gapUnits ? `−${gapFigures(course, gapUnits, this.words)}` : "";
    // Elapsed times are cut to the tenth everywhere; a gap is mostly less than a minute.
    const time = gapMs && place !== 1 ? `+${timeText(Math.floor(gapMs / 100) * 100, this.words.mark).replace(/^0:0?/, "")}` : "";
    return [units, time].filter(Boolean).join(" · ");
  }

  partText({ part, count, course }, picture, empty) {
    if (empty || ["lanes_set", "on_deck"].includes(picture.heat.state)) return "";
    if (judgesAttempts(course)) return triesText({ count, course }, this.words);
    if (!part) return count.part >= course.parts.length ? this.say("course-end") : "";
    return partText(part, count.part_done, (id, values) => this.say(id, values));
  }

  writeCalls(parts, lane) {
    const calls = this.calls.last(lane);
    const key = calls.map(({ kind, units, atMs }) => `${kind}${units}@${atMs}`).join();
    // Several at once carry their number, if it is one of reps and not of metres.
    refill(parts.calls, key, () => calls.map(({ kind, units }) => element("i", { "data-kind": kind, textContent: units > 1 && units < 10 ? String(units) : "" })));
    write(parts.heard, calls.slice(-3).map((call) => callText(call, this.words)).join(", "));
    const faults = calls.filter(({ kind, fault }) => kind === "no_rep" && fault);
    write(parts.fault, faults.length > 0 ? faults[faults.length - 1].fault : "");
    setHidden(parts.age, calls.length === 0);
  }

  // Writes how long ago each lane's last call was, and what is left of a review, at a moment of feed time.
  age(feedMs) {
    for (const [lane, { age, quiet, review, counted }] of this.rows) {
      const left = counted ? reviewLeft(counted, feedMs) : null;
      setHidden(review, left === null);
      setData(review, "late", left !== null && left <= 0 ? "true" : null);
      if (left !== null) write(review, reviewText(left, this.words));
      const since = quietSince(this.flags, lane);
      setHidden(quiet, since === null);
      write(quiet, since === null ? "" : this.say("mark-quiet", { count: secondsSince(since, feedMs) }));
      const calls = this.calls.last(lane);
      if (calls.length === 0) continue;
      const seconds = Math.max(0, Math.floor((feedMs - calls[calls.length - 1].atMs) / 1000));
      write(age, seconds < MINUTE_S ? this.say("ago-seconds", { count: seconds }) : this.say("ago-minutes", { count: Math.floor(seconds / MINUTE_S) }));
    }
  }

  chips({ entry, count }, picture) {
    const chip = (kind, text) => ({ kind, text });
    return [
      !count.judge_on && needsJudge(picture, count) && chip("off", this.say("mark-judge-off")),
      count.flagged && chip("flagged", this.say("mark-flagged")),
      count.confirmed && chip("confirmed", this.say("mark-confirmed")),
      this.flags.some(({ lane, what }) => lane === count.lane && what.too_fast) && chip("flagged", this.say("mark-too-fast")),
      count.ruled && chip("ruled", this.say("mark-ruled")),
      count.credit_ms && chip("credit", this.say("mark-credit", { time: timeText(count.credit_ms, this.words.mark) })),
      entry.start_ms > 0 && chip("start", this.say("mark-start", { time: timeText(entry.start_ms, this.words.mark) })),
    ].filter(Boolean);
  }

  // The row's button, for the focus to come back to.
  buttonOf(lane) {
    const parts = this.rows.get(lane);
    return parts && parts.open;
  }

  mark(lane) {
    for (const [number, { row }] of this.rows) {
      if (number === lane) row.setAttribute("aria-current", "true");
      else row.removeAttribute("aria-current");
    }
  }
}

// A call in words: `2:14.3 good`, `2:11.0 no-rep, depth`.
export function callText({ kind, units, fault, clockMs }, words) {
  const what = words.say(`call-${kind}`, { count: units });
  const text = fault ? words.say("call-fault", { call: what, fault }) : what;
  return clockMs === null ? text : `${timeText(Math.floor(clockMs / 100) * 100, words.mark)} ${text}`;
}

// How the announcer's page puts things: names, gaps, counts, results, and facts as they are said. Leaves what is so to
// `view` and `facts`.

import { loadText } from "../common/loads.js";
import { seconds, tenths } from "../common/time.js";
import { isLift, judgesAttempts } from "./view.js";

// A name for a narrow place: given names as initials, if the whole has more letters than fit.
export function shortName({ name, given, family }, fit) {
  if (Array.from(name).length <= fit || !given || !family) return name;
  const initials = given.split(/\s+/).filter(Boolean).map((word) => `${Array.from(word)[0]}.`);
  return `${initials.join(" ")} ${family}`;
}

// Signs of units, the same in every language; repetitions have none. Behind a space that breaks no line.
const UNITS = { metre: "\u00a0m", calorie: "\u00a0cal", second_held: "\u00a0s", kilogram: "\u00a0kg" };

function amount(units, part) {
  return `${units}${(part && UNITS[part.unit]) || ""}`;
}

export class Phrases {
  constructor(words) {
    this.words = words;
  }

  say(id, values) {
    return this.words.say(id, values);
  }

  state({ heat }) {
    return this.say(`state-${heat.state.replace("_", "-")}`);
  }

  // `cap 12:00 · 2:17.3 left`, or what else is to be said of time.
  cap({ heat, courses }, { leftTenths, countdownS }) {
    const every = (is) => courses.length > 0 && courses.every(is);
    const window = every(judgesAttempts) ? "window-attempts" : "window";
    const cap = this.say(every(({ scoring }) => scoring !== "for_time") ? window : "cap", { time: seconds(heat.cap_ms / 100) });
    if (countdownS !== null) return this.say("starts-in", { seconds: countdownS });
    if (heat.state !== "running") return cap;
    return `${cap} · ${this.say("left", { time: tenths(leftTenths, this.words.mark) })}`;
  }

  // What a lane has done: `57`, in rounds `round 5 · 12`, in the last five `4 to go`.
  count({ count, course }) {
    if (count.to_go === 0) return this.say("to-the-line");
    if (count.to_go != null) return this.say("to-go", { left: count.to_go, amount: amount(count.to_go, course.parts[count.part]) });
    if (isLift(course)) return count.score > 0 ? loadText(count.score, course.load_unit, this.words.mark) : "–";
    if (course.scoring === "longest_hold") return count.score > 0 ? this.held(count.score) : "–";
    if (course.scoring === "amrap_rounds") {
      return count.round > 0 ? this.say("round-and", { round: count.round, units: count.round_score }) : String(count.score);
    }
    return String(count.score);
  }

  // A hold as a result reads: `1:23.4`.
  held(ms) {
    return tenths(Math.floor(ms / 100), this.words.mark);
  }

  // What is tried now: the declared load or the hold under way, and which attempt it is.
  tried({ count, course }) {
    const { declared_g: declaredG, holding_ms: holdingMs } = count.tries || {};
    const now = declaredG != null ? this.say("now-load", { load: loadText(declaredG, course.load_unit, this.words.mark) }) : holdingMs != null ? this.say("now-holding") : "";
    const number = Math.min(count.done + (declaredG != null ? 1 : 0), course.units);
    const of = number > 0 ? (course.attempts ? "try-of" : "try") : null;
    const turn = of ? this.say(of, { number, all: course.attempts || 0 }) : "";
    return [now, turn].filter(Boolean).join(" · ");
  }

  // The part under way: `12 of 21 Thruster`.
  part({ count, course }) {
    if (judgesAttempts(course)) return this.tried({ count, course });
    const part = course.parts[count.part];
    if (!part) return "";
    const values = { done: count.part_done, all: amount(part.amount, part), movement: part.movement };
    // What is tapped only when it is done has no count on the way.
    return this.say(part.step === part.amount && part.amount > 1 ? "part-whole" : "part", values);
  }

  // `3 behind`, and the seconds beside it; empty for who leads.
  gap({ order, course }) {
    if (!order || !order.gap_units) return "";
    return this.say("behind-units", { units: this.gapFigures(order.gap_units, course) });
  }

  // Units, a load or a time: what the workout scores.
  gapFigures(gap, course) {
    if (isLift(course)) return loadText(gap, course.load_unit, this.words.mark);
    return course.scoring === "longest_hold" ? this.say("seconds", { time: this.span(gap, 100) }) : String(gap);
  }

  // `−3`, where there is little room.
  gapShort({ order, course }) {
    return order && order.gap_units ? `\u2212${this.gapFigures(order.gap_units, course)}` : "";
  }

  gapTime({ order }, resolutionMs) {
    if (!order || !order.gap_ms) return "";
    return this.say(order.gap_units ? "behind-time" : "behind-time-alone", { time: this.span(order.gap_ms, resolutionMs) });
  }

  // `7.4` or `1:07.4`, in the heat's resolution.
  span(ms, resolutionMs) {
    const whole = ms >= 60000 ? seconds(ms / 100) : String(Math.floor(ms / 1000));
    if (resolutionMs > 100) return whole;
    const rest = Math.floor(ms % 1000);
    const digits = resolutionMs <= 10 ? String(Math.floor(rest / 10)).padStart(2, "0") : String(Math.floor(rest / 100));
    return `${whole}${this.words.mark}${digits}`;
  }

  // An ended lane: its result, or what it is instead.
  result({ count }) {
    const text = count.result ? count.result.text : "";
    if (count.status === "under_review") return this.say("under-review");
    return text || this.say(`status-${count.status.replace(/_/g, "-")}`);
  }

  // A fact as it is said.
  fact(fact, picture) {
    if (fact.what === "state") return this.say(`fact-state-${fact.state.replace("_", "-")}${fact.again ? "-again" : ""}`, { run: fact.run, heat: picture.titles.heat_name });
    if (fact.what === "minute") return this.say("fact-minute");
    const entry = picture.entries.find(({ lane }) => lane === fact.lane);
    const mixed = fact.mixed && fact.change !== "back";
    const course = picture.courses[entry.course];
    const within = fact.what === "last-five" && fact.part < course.parts.length - 1;
    const id = within && fact.change === "new" ? "fact-part-five-new" : `fact-${fact.what}-${fact.change}${mixed ? "-division" : ""}`;
    return this.say(id, {
      name: entry.name,
      lane: fact.lane,
      place: fact.place || 0,
      result: fact.result || "",
      division: picture.titles.divisions[entry.division] || "",
      part: within ? course.parts[fact.part].movement : "",
    });
  }
}

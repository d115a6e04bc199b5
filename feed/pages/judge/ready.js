// The face before the start: whose lane it is, the brief of its work, and whether this phone is fit for it. Also the
// list of checks, which the menu shows too.

import { make, write } from "../common/dom.js";
import { isLift, judgesAttempts } from "./tries.js";
import { amountsOf, brief } from "./wording.js";

const byId = (id) => document.getElementById(id);

export class Ready {
  constructor({ words }) {
    this.words = words;
    // The last key that came from a keyboard or clicker, with what it calls.
    this.pressed = null;
  }

  key(pressed) {
    this.pressed = pressed;
  }

  show(now, checks) {
    const { words } = this;
    const { entry, course, picture } = now;
    const division = picture.titles.divisions[entry.division] || "";
    write(byId("ready-heat"), [picture.titles.heat_name, picture.titles.workout].filter(Boolean).join(" · "));
    write(byId("ready-lane"), words.say("lane", { lane: entry.lane }));
    write(byId("ready-name"), entry.name);
    write(byId("ready-division"), [division, entry.club].filter(Boolean).join(" · "));
    showBrief(byId("ready-brief"), course, words);
    showChecks(byId("ready-checks"), [...checks, this.clicker()]);
  }

  clicker() {
    const { words, pressed } = this;
    if (!pressed) return { fit: null, says: words.say("clicker-try") };
    const { key, call } = pressed;
    const name = key === " " ? words.say("key-space") : key;
    return call
      ? { fit: true, says: words.say("clicker-fits", { key: name, call: words.say(`call-${call}`) }) }
      : { fit: false, says: words.say("clicker-unknown", { key: name }) };
  }
}

// Each movement with its amounts, its load and why a rep of it fails.
function showBrief(list, course, words) {
  const key = JSON.stringify(course.parts);
  if (list.dataset.key === key) return;
  list.dataset.key = key;
  const items = brief(course).map((group) => {
    const title = make("p", "work", make("b", "", judgesAttempts(course) ? group.movement : `${amountsOf(group)} ${group.movement}`));
    if (group.load) title.append(` · ${group.load}`);
    const item = make("li", "", title);
    if (judgesAttempts(course)) item.append(make("p", "", tried(course, words)));
    const { start, finish, faults } = group.part;
    if (start) item.append(make("p", "", words.say("standard-start", { says: start })));
    if (finish) item.append(make("p", "", words.say("standard-finish", { says: finish })));
    if (faults.length > 0) {
      const names = faults.map((fault) => (fault.partial ? words.say("fault-partial", { fault: fault.name }) : fault.name));
      item.append(make("p", "quiet", words.say("faults", { faults: names.join("; ") })));
    }
    return item;
  });
  list.replaceChildren(...items);
}

// How often the movement may be tried.
function tried(course, words) {
  const kind = isLift(course) ? "attempts" : "holds";
  return course.attempts ? words.say(`brief-${kind}`, { count: course.attempts }) : words.say(`brief-${kind}-open`);
}

// `checks` are `{ fit, says }`: true for well, false for something to know, null for neither.
export function showChecks(list, checks) {
  const key = JSON.stringify(checks);
  if (list.dataset.key === key) return;
  list.dataset.key = key;
  const marks = { true: "✓", false: "!", null: "–" };
  list.replaceChildren(
    ...checks.map(({ fit, says }) => {
      const mark = make("span", "mark", marks[fit]);
      mark.setAttribute("aria-hidden", "true");
      return make("li", fit === false ? "amiss" : "", mark, make("span", "", says));
    }),
  );
}

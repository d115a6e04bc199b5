// The lists of the announcer's page: the running heat by its questions, the start list, the results, and who comes next.
// Draws what `view` has sorted; decides nothing.

import { follow, make, name, write } from "../common/dom.js";
import { isMixed, results, running, sameWork } from "./view.js";
import { shortName } from "./words.js";

// A list with its heading, made once in a place of the page.
function section(root, key, title) {
  let section = root.querySelector(`:scope > [data-list="${key}"]`);
  if (!section) {
    section = make("section", key, make("h2"), make("ol"));
    section.dataset.list = key;
    const heading = section.firstChild;
    heading.id = `title-${key}`;
    section.lastChild.setAttribute("aria-labelledby", heading.id);
    root.append(section);
  }
  write(section.firstChild, title);
  return section;
}

// Takes away the lists that are not shown now, and puts the others in order.
function only(root, sections) {
  for (const child of [...root.children]) if (!sections.includes(child)) child.remove();
  sections.forEach((one, index) => root.children[index] !== one && root.insertBefore(one, root.children[index] || null));
}

function empty(section, text) {
  let note = section.querySelector("p.none");
  if (!note) section.append((note = make("p", "none quiet")));
  note.hidden = !text;
  write(note, text || "");
}

// Names longer than these have their given names shortened, and are written smaller if they still are: in a whole column,
// and in half of one.
const LONG = 22;
const LONG_IN_HALF = 13;

// `OW` for Open women.
function initials(division) {
  return division.split(/\s+/).filter(Boolean).map((word) => Array.from(word)[0].toUpperCase()).join("");
}

export class Lists {
  // `left` and `right` stand beside each other where there is room.
  constructor(left, right, phrases) {
    Object.assign(this, { left, right, phrases });
    // Initials of the divisions, where they are mixed.
    this.divisions = [];
  }

  // Whether the next heat's lanes stand on the right.
  showsNext() {
    return this.right.querySelector(":scope > .start-next") !== null;
  }

  // The running heat.
  running(picture, withNext) {
    this.divisions = isMixed(picture) ? picture.titles.divisions.map(initials) : [];
    const { leaders, lastFive, behind, done } = running(picture);
    const say = (id) => this.phrases.say(id);
    const mixed = isMixed(picture);
    const shown = leaders.map(({ division, rows }) => {
      const some = picture.heat.finished > 0 ? "still-working" : "leading";
      const title = division === null ? say(some) : `${picture.titles.divisions[division]} · ${say(some)}`;
      const list = section(this.left, division === null ? "leaders" : `leaders-${division}`, title);
      list.className = "leaders";
      follow(list.querySelector("ol"), rows, { keyOf: ({ lane }) => lane, begin: leaderRow, fill: (element, row) => this.leader(element, row, picture) });
      empty(list, rows.length === 0 && say(mixed || picture.heat.finished === 0 ? "nobody-scored" : "nobody-works"));
      return list;
    });
    if (mixed) shown.push(this.note(say(sameWork(picture) ? "mixed-same-work" : "mixed")));
    if (behind.length > 0) shown.push(this.list(this.left, "behind", say("behind"), behind, behindRow, (element, row) => this.behind(element, row)));
    only(this.left, shown);
    if (withNext) {
      only(this.right, [this.next(picture)]);
      return;
    }
    const five = this.list(this.right, "five", say("last-five"), lastFive, fiveRow, (element, row) => this.five(element, row));
    const open = picture.courses.every(({ scoring }) => scoring !== "for_time");
    empty(five, lastFive.length === 0 && say("none-yet"));
    const ended = this.list(this.right, "done", say("done"), done, doneRow, (element, row) => this.done(element, row));
    empty(ended, done.length === 0 && say("none-yet"));
    // As many rounds as possible have no last five, and all end together.
    if (open) only(this.right, done.length > 0 ? [ended] : []);
    else only(this.right, [five, ended]);
  }

  // Before the heat: who starts, and how they are called.
  before(picture, withNext) {
    const lanes = picture.entries.filter(({ bib, name }) => bib || name);
    const start = this.startList(this.left, "start", this.phrases.say("start-list"), lanes, picture.titles.divisions);
    only(this.left, [start]);
    only(this.right, withNext && picture.next ? [this.next(picture)] : []);
  }

  // After it: the results as they stand, and who comes next.
  after(picture) {
    this.divisions = [];
    const say = (id) => this.phrases.say(id);
    const title = picture.heat.state === "signed" ? "results-official" : "results-provisional";
    const list = this.list(this.left, "results", say(title), results(picture), doneRow, (element, row) => {
      this.done(element, row);
      write(element.querySelector(".division"), isMixed(picture) ? picture.titles.divisions[row.entry.division] : "");
    });
    only(this.left, isMixed(picture) ? [list, this.note(say("mixed"))] : [list]);
    only(this.right, [this.next(picture)]);
  }

  next({ next }) {
    const say = this.phrases;
    if (!next) {
      const none = section(this.right, "start-next", say.say("next"));
      follow(none.querySelector("ol"), [], {});
      empty(none, say.say("no-next"));
      return none;
    }
    const list = this.startList(this.right, "start-next", say.say("next-heat", { heat: next.heat_name, workout: next.workout }), next.lanes, next.divisions);
    empty(list, "");
    return list;
  }

  list(root, key, title, rows, begin, fill) {
    const list = section(root, key, title);
    follow(list.querySelector("ol"), rows, { keyOf: ({ lane }) => lane, begin, fill });
    return list;
  }

  note(text) {
    const note = this.left.querySelector(":scope > p.note") || make("p", "note quiet");
    write(note, text);
    return note;
  }

  startList(root, key, title, lanes, divisions) {
    const list = this.list(root, key, title, lanes, startRow, (element, lane) => {
      write(element.querySelector(".lane"), String(lane.lane));
      write(element.querySelector(".name"), lane.name || lane.bib);
      write(element.querySelector(".say"), lane.say);
      write(element.querySelector(".members"), (lane.members || []).join(", "));
      write(element.querySelector(".club"), [divisions.length > 1 ? divisions[lane.division] : "", lane.club].filter(Boolean).join(" · "));
    });
    list.classList.add("start-list");
    return list;
  }

  leader(element, row, picture) {
    const { phrases } = this;
    const { entry, count } = row;
    write(element.querySelector(".place"), String(row.place));
    write(element.querySelector(".name"), entry.name);
    element.classList.toggle("long", Array.from(entry.name).length > LONG);
    write(element.querySelector(".say"), entry.say);
    write(element.querySelector(".lane"), phrases.say("lane", { lane: row.lane }));
    write(element.querySelector(".part"), count.to_go == null ? phrases.part(row) : "");
    blocks(element.querySelector(".blocks"), row);
    write(element.querySelector(".count"), phrases.count(row));
    const gap = [phrases.gap(row), phrases.gapTime(row, picture.heat.resolution_ms)];
    write(element.querySelector(".gap"), gap.filter(Boolean).join(" · ") || (row.order.gap_units === 0 ? phrases.say("level") : ""));
    element.classList.toggle("in-five", count.to_go != null);
    element.classList.toggle("first", picture.heat.first_on_floor === row.lane && picture.heat.alone == null && !isMixed(picture));
  }

  behind(element, row) {
    write(element.querySelector(".place"), row.place ? String(row.place) : "–");
    this.who(element, row, LONG_IN_HALF);
    write(element.querySelector(".gap"), this.phrases.gapShort(row));
  }

  five(element, row) {
    write(element.querySelector(".count"), this.phrases.count(row));
    this.who(element, row);
  }

  done(element, row) {
    write(element.querySelector(".place"), row.place ? String(row.place) : "–");
    this.who(element, row);
    write(element.querySelector(".result"), this.phrases.result(row));
    element.dataset.status = row.count.status;
  }

  // Lane and name where there is little room.
  who(element, { lane, entry }, long = LONG) {
    // Where divisions are mixed, a place says nothing without its division.
    const chip = [this.phrases.say("lane-short", { lane }), this.divisions[entry.division]];
    write(element.querySelector(".lane"), chip.filter(Boolean).join(" "));
    const shown = shortName(entry, long);
    write(element.querySelector(".name"), shown);
    element.classList.toggle("long", Array.from(shown).length > long);
  }
}

function leaderRow() {
  const who = make("span", "who", name(), make("i", "say"));
  const five = make("span", "blocks", ...Array.from({ length: 5 }, () => make("i")));
  five.setAttribute("aria-hidden", "true");
  const work = make("span", "work quiet", make("span", "lane"), make("span", "part"), five);
  return make("li", "row", make("b", "place"), make("span", "lines", who, work), make("span", "far", make("b", "count"), make("span", "gap")));
}

// The five blocks of a lane that is in the last five, filled as they are on its track.
function blocks(element, { count, course }) {
  element.hidden = count.to_go == null;
  if (element.hidden) return;
  const filled = course.closing_blocks - Math.ceil(count.to_go / (course.closing_step || 1));
  Array.from(element.children, (block, index) => {
    block.hidden = index >= course.closing_blocks;
    block.classList.toggle("filled", index < filled);
  });
}

function behindRow() {
  return make("li", "row", make("b", "place"), make("span", "lane quiet"), name(), make("span", "gap"));
}

function fiveRow() {
  return make("li", "row", make("b", "count"), make("span", "lane quiet"), name());
}

function doneRow() {
  return make("li", "row", make("b", "place"), make("span", "lane quiet"), make("span", "who", name(), make("span", "division quiet")), make("b", "result"));
}

function startRow() {
  const who = make("span", "who", name(), make("i", "say"), make("span", "members quiet"));
  return make("li", "row", make("b", "lane"), who, make("span", "club quiet"));
}

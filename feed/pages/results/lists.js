// The lists of the results page: lanes of the heat on the floor, and standings, each division by itself. Works out no place
// and no result; it puts in order what the feed tells.

import { follow, make, name, write } from "../common/dom.js";
import { loadText } from "../common/loads.js";
import { tenths } from "../common/time.js";
import { judgesAttempts } from "../head/course.js";

const ENDED = ["time_called", "provisional", "signed"];

// Whether lanes are listed by their places: while a heat runs they stay where the floor has them.
export function hasResults({ heat }) {
  return ENDED.includes(heat.state);
}

// The lanes of the heat as `[{ key, title, rows }]`, a group for each division; a row is
// `{ key, place, name, more, result, mark }`.
export function groups(picture, words) {
  const { titles, entries, order } = picture;
  const stands = entries.filter(({ bib }) => bib);
  const placeOf = (lane) => (order.find((row) => row.lane === lane) || {}).division_place || 0;
  const rows = stands.map((entry) => laneRow(entry, placeOf(entry.lane), picture, words));
  if (hasResults(picture)) rows.sort((one, other) => (one.place || Infinity) - (other.place || Infinity) || one.lane - other.lane);
  const of = (division) => rows.filter((row) => row.division === division);
  return titles.divisions.map((title, index) => ({ key: `division ${index}`, title: titles.divisions.length > 1 ? title : "", rows: of(index) })).filter((group) => group.rows.length > 0);
}

function laneRow(entry, place, { lanes, courses }, words) {
  const count = lanes.find(({ lane }) => lane === entry.lane);
  const course = courses[entry.course];
  const { result } = count;
  const more = [words.say("lane", { lane: entry.lane }), entry.bib, entry.club, ...(entry.members || [])].filter(Boolean).join(" · ");
  const unplaced = count.status === "did_not_finish";
  return { key: entry.lane, lane: entry.lane, division: entry.division, place: unplaced ? 0 : place, name: entry.name, more, result: result ? result.text : countText(count, course, words), mark: markOf(count, words) };
}

function countText(count, course, words) {
  if (judgesAttempts(course) && count.score === 0) return "–";
  if (course.scoring === "heaviest_lift") return loadText(count.score, course.load_unit, words.mark);
  if (course.scoring === "longest_hold") return tenths(Math.floor(count.score / 100), words.mark);
  if (course.scoring === "for_time") return words.say("count-of", { count: count.score, all: course.score_units });
  return String(count.score);
}

// What a result rests on.
function markOf({ result, tie_break_ms: tieBreak }, words) {
  if (!result) return "";
  const time = (ms) => tenths(Math.floor(ms / 100), words.mark);
  return [
    result.penalty_ms ? words.say("penalty", { time: time(result.penalty_ms) }) : "",
    result.credit_ms ? words.say("credit", { time: time(result.credit_ms) }) : "",
    tieBreak == null ? "" : words.say("tie-break", { time: time(tieBreak) }),
  ].filter(Boolean).join(" · ");
}

// Standings as groups; a row whose heat is not signed says so.
export function standingGroups({ standings }, words) {
  const row = ({ place, bib, name: shown, result, heat_name: heat, provisional }) => ({ key: bib, place, name: shown, more: [bib, heat].join(" · "), result, mark: provisional ? words.say("row-provisional") : "" });
  return standings.map(({ workout, division, rows, heats_done: done, heats_of: all }) => ({ key: division, title: words.say("standings-of", { workout, division, done, all }), rows: rows.map(row) }));
}

// Shows groups in a section; nothing is touched that has not changed.
export function showList(section, list) {
  follow(section, list, {
    keyOf: ({ key }) => key,
    begin: () => make("div", "group", make("h2"), make("ol")),
    fill: (group, { title, rows }) => {
      const [head, body] = group.children;
      write(head, title);
      head.hidden = !title;
      follow(body, rows, { keyOf: ({ key }) => key, begin: () => make("li", "", make("span", "place"), make("span", "who", name(), make("small", "quiet")), make("span", "result", make("b"), make("small"))), fill: fillRow });
    },
  });
}

function fillRow(line, { place, name: shown, more, result, mark }) {
  const [at, who, what] = line.children;
  write(at, place > 0 ? String(place) : "");
  write(who.firstChild, shown);
  write(who.lastChild, more);
  write(what.firstChild, result);
  write(what.lastChild, mark);
}

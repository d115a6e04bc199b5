// Score cards on paper, one for each lane, for when everything fails: every part as boxes to tick in fives, the last five
// marked, a column for the clock, and room for the result and two sets of initials.

import { isOpenEnded, judgesAttempts } from "../head/course.js";
import { amount, athlete, blank, element, paperHead, paragraph, span, stands } from "./paper.js";

// Boxes are ticked in groups that a glance counts.
const GROUP = 5;
// A part with more steps than this is written as a number: nobody finds the hundred-and-first box in time.
export const MOST_BOXES = 150;
// Rounds of open-ended work on a card: as many as the expected times give in the window and half as many again, as far as
// their rows fit a page.
const FEWEST_ROUNDS = 3;
const MOST_ROWS = 24;
// Attempts on a card.
const MOST_LINES = 12;

export function scoreCards(papers, words) {
  const cards = papers.lanes.filter(stands).map((lane) => card(lane, papers, words));
  return element("div", { class: "score-cards" }, ...cards);
}

function card(lane, papers, words) {
  const { entry } = lane;
  const course = papers.courses[entry.course];
  const who = element("p", { class: "who" }, element("b", { class: "lane", textContent: words.say("card-lane", { lane: entry.lane }) }), ` ${entry.bib} · `, athlete(lane), ` · ${papers.divisions[entry.division] || ""}`);
  const rules = [words.say(isOpenEnded(course) ? "window" : "cap", { time: span(papers.brief.cap_ms, words) }), entry.start_ms > 0 ? words.say("starts-at", { time: words.time(entry.start_ms) }) : "", words.say(judgesAttempts(course) ? "card-hint-tries" : "card-hint"), judgesAttempts(course) ? "" : words.say(isOpenEnded(course) ? "card-more" : "card-five")];
  return element(
    "article",
    { class: "sheet score-card" },
    paperHead(papers, words.say("paper-cards")),
    who,
    paragraph(rules.filter(Boolean).join(" · "), { class: "rules" }),
    judgesAttempts(course) ? tried(course, words) : parts(course, papers, words),
    element("div", { class: "ends" }, ...ends(course, papers, words, entry)),
  );
}

// A line for each attempt or hold.
function tried(course, words) {
  const heads = ["part", "tries", "clock"].map((name) => element("th", { scope: "col", textContent: words.say(`column-${name}`) }));
  const rows = Array.from({ length: linesOf(course) }, (_, index) => {
    const boxes = isLift(course) ? [blank(words.say("card-load")), element("i"), ` ${words.say("card-good")} `, element("i"), ` ${words.say("card-failed")}`] : [blank(words.say("result-held"))];
    const named = `${course.parts[0].movement} ${index + 1}`;
    return element("tr", {}, element("th", { scope: "row", textContent: named }), element("td", { class: "boxes" }, ...boxes), element("td", { class: "clock" }));
  });
  return element("table", { class: "parts" }, element("thead", {}, element("tr", {}, ...heads)), element("tbody", {}, ...rows));
}

// As many as each athlete has, or as a page has room for.
export function linesOf({ attempts }) {
  return Math.min(attempts || MOST_LINES, MOST_LINES);
}

const isLift = ({ scoring }) => scoring === "heaviest_lift";

function parts(course, papers, words) {
  const heads = ["part", "ticks", "clock"].map((name) => element("th", { scope: "col", textContent: words.say(`column-${name}`) }));
  const marked = lastFive(course);
  const rows = written(course, papers.brief.cap_ms).map(({ part, round, index }) => {
    const steps = Math.ceil(part.amount / part.step);
    // What is expected of one more round than the course has can have no last five.
    const five = isOpenEnded(course) ? 0 : marked[index];
    return element("tr", {}, element("th", { scope: "row" }, ...named(part, round, words)), element("td", { class: "boxes" }, ...boxes(steps, five, words)), element("td", { class: "clock" }));
  });
  return element("table", { class: "parts" }, element("thead", {}, element("tr", {}, ...heads)), element("tbody", {}, ...rows));
}

function named(part, round, words) {
  const many = part.step > 1 && part.step < part.amount ? words.say("each-box", { amount: amount(part.unit, part.step, words) }) : "";
  const before = round > 0 ? [element("span", { class: "round", textContent: words.say("round-short", { round }) }), " "] : [];
  const rest = [part.load, many].filter(Boolean).map((text) => ` · ${text}`);
  return [...before, element("b", { textContent: `${amount(part.unit, part.amount, words)} ${part.movement}` }), ...rest];
}

// The parts of a card in order, each with its round: all of a course that ends, and rounds of one that does not.
export function written(course, windowMs) {
  const numbered = course.parts.map((part, index) => ({ part, round: part.round, index }));
  if (!isOpenEnded(course)) return numbered;
  const [before, lap] = [numbered.filter(({ round }) => round === 0), numbered.filter(({ round }) => round > 0)];
  const expected = lap.reduce((sum, { part }) => sum + part.amount * part.expected_ms_per_unit, 0);
  const fit = Math.max(1, Math.floor((MOST_ROWS - before.length) / Math.max(1, lap.length)));
  const rounds = Math.min(fit, Math.max(FEWEST_ROUNDS, Math.ceil((windowMs / Math.max(1, expected)) * 1.5)));
  return [...before, ...Array.from({ length: rounds }, (_, index) => lap.map((of) => ({ ...of, round: index + 1 }))).flat()];
}

// How many closing steps each part has: the last five lie wholly in the last part.
function lastFive({ parts, closing_blocks: blocks, closing_step: step }) {
  const last = parts.length - 1;
  return parts.map((part, index) => (index === last && step > 0 ? Math.ceil((blocks * step) / part.step) : 0));
}

function boxes(steps, five, words) {
  if (steps > MOST_BOXES) return [blank(words.say("count-done"))];
  const box = (index) => element("i", { class: index >= steps - five ? "five" : "" });
  const all = Array.from({ length: steps }, (_, index) => box(index));
  const groups = Array.from({ length: Math.ceil(steps / GROUP) }, (_, index) => all.slice(index * GROUP, (index + 1) * GROUP));
  return groups.map((group) => element("span", { class: "group" }, ...group));
}

function ends(course, papers, words, entry) {
  const all = [...papers.brief.buy_in, ...papers.brief.parts, ...papers.brief.cash_out];
  const tieBreak = all.some((part) => part.tie_break) ? [blank(words.say("column-tie-break"))] : [];
  const initials = [blank(words.say("initials-athlete")), blank(words.say(entry.judge ? "initials-judge-of" : "initials-judge", { judge: entry.judge }))];
  if (judgesAttempts(course)) return [blank(words.say(isLift(course) ? "result-load" : "result-held")), ...initials];
  const result = isOpenEnded(course) ? [blank(words.say("result-rounds"))] : [blank(words.say("result-time")), blank(words.say("result-count", { all: course.score_units }))];
  return [blank(words.say("no-reps"), "wide"), ...tieBreak, ...result, ...initials];
}

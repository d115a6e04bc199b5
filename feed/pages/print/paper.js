// Hands for everything that is printed: elements in one expression, tables, times and amounts in the page's language.

export { element } from "../head/dom.js";
import { element } from "../head/dom.js";
import { timeText } from "../head/typed.js";

// Words that are asked for by the wire's names: those have underscores where messages have dashes.
export function speaking(words) {
  const say = (id, values) => words.say(id.replace(/_/g, "-"), values);
  return { say, mark: words.mark, language: words.language, time: (ms) => timeText(ms, words.mark) };
}

export const paragraph = (text, more = {}) => element("p", { textContent: text, ...more });

// A table with a head that is repeated on each page. `rows` are lists of texts or elements.
export function table(heads, rows, more = {}) {
  const cell = (tag, properties) => (of) => element(tag, { ...properties, ...(typeof of === "string" && { textContent: of }) }, ...(typeof of === "string" ? [] : [of]));
  const head = element("thead", {}, element("tr", {}, ...heads.map(cell("th", { scope: "col" }))));
  const body = element("tbody", {}, ...rows.map((row) => element("tr", {}, ...row.map(cell("td", {})))));
  return element("table", more, head, body);
}

// The head of a paper: what it is, and of which event, workout and heat.
export function paperHead(papers, title, ...more) {
  const of = [papers.brief.workout, papers.heat_name, papers.divisions.join(", ")].filter(Boolean).join(" · ");
  const event = [papers.event, papers.place, papers.date].filter(Boolean).join(" · ");
  return element("header", { class: "head" }, paragraph(event, { class: "event" }), element("h2", { textContent: title }), paragraph(of, { class: "of" }), ...more);
}

// Who stands on a lane: the full name, and a team's members.
export function athlete({ entry, full_name: name }) {
  const members = (entry.members || []).join(", ");
  return element("span", {}, element("bdi", { class: "name", textContent: name || entry.name }), ...(members ? [element("small", { textContent: members })] : []));
}

export const stands = (lane) => lane.count.status !== "empty";

// An amount of a movement: `21`, `400 m`, `15 cal`.
export function amount(unit, count, words) {
  return words.say(`amount-${unit}`, { count });
}

// A whole span as people read it: `10:00`.
export function span(ms, words) {
  return ms % 1000 === 0 ? words.time(ms).slice(0, -2) : words.time(ms);
}

// A line on which something is written by hand.
export function blank(label, more = "") {
  return element("p", { class: `blank ${more}`.trim() }, element("span", { textContent: label }), element("span", { class: "line" }));
}

// A moment of the feed's wall clock, as RFC 3339 has it, in UTC.
export function moment(ms) {
  return new Date(ms).toISOString().replace(/\.\d+Z$/, "Z");
}

// The brief of a workout, on one page for judges and athletes: what is done by whom, what makes a rep good or bad, how it is
// signalled, and how the result comes about.

import { judgesAttempts } from "../head/course.js";
import { amount, element, paragraph, span, table } from "./paper.js";

export function brief(papers, words) {
  const { brief: of } = papers;
  const say = (id, values) => words.say(id, values);
  const event = [papers.event, papers.place, papers.date].filter(Boolean).join(" · ");
  const head = element("header", { class: "head" }, paragraph(event, { class: "event" }), element("h2", { textContent: say("brief-of", { workout: of.workout }) }), paragraph(of.divisions.join(" · "), { class: "of" }));
  const part = (id, ...within) => element("section", {}, element("h3", { textContent: say(id) }), ...within);
  return element(
    "article",
    { class: "sheet brief" },
    head,
    paragraph(scored(of, words), { class: "scored" }),
    part("brief-work", work(of, words)),
    part("brief-movements", element("div", { class: "movements" }, ...of.movements.map((movement) => standard(movement, words)))),
    element("div", { class: "columns" }, part("brief-signals", list(signals(of, words))), part("brief-result", list(resultRules(of, words)))),
    paragraph(say("brief-safety"), { class: "safety" }),
  );
}

const isAmrap = ({ scoring }) => scoring !== "for_time";
// As many attempts as there is time for, as the feed tells it.
const NO_LIMIT = 100;
const list = (texts) => element("ul", {}, ...texts.map((textContent) => element("li", { textContent })));

function scored(of, words) {
  const time = span(of.cap_ms, words);
  const how = words.say(judgesAttempts(of) ? `scored-${of.scoring}` : isAmrap(of) ? "scored-amrap" : "scored-for-time", { time });
  const again = of.scheme.length > 0 ? words.say("scheme", { scheme: of.scheme.join("-") }) : of.rounds > 1 ? words.say("rounds", { count: of.rounds }) : "";
  return [how, again].filter(Boolean).join(" ");
}

// The parts in order; divisions have columns of their own where they differ.
function work(of, words) {
  const all = [...of.buy_in.map((part) => [part, "buy-in"]), ...of.parts.map((part) => [part, ""]), ...of.cash_out.map((part) => [part, "cash-out"])];
  const alike = all.every(([part]) => same(part.amounts) && same(part.loads));
  const columns = alike ? [0] : of.divisions.map((_, index) => index);
  const cell = (part, column) => [amountOf(of, part, column, words), part.loads[column]].filter(Boolean).join(" · ");
  const name = (part, where) => {
    const notes = [where ? words.say(where) : "", part.tie_break ? words.say("tie-break-here") : ""].filter(Boolean);
    return element("span", {}, of.movements[part.movement].name, ...notes.map((textContent) => element("small", { textContent })));
  };
  const heads = ["", ...columns.map((column) => (alike ? words.say("column-all") : of.divisions[column]))];
  return table([words.say("column-part"), ...heads.slice(1)], all.map(([part, where]) => [name(part, where), ...columns.map((column) => cell(part, column))]), { class: "work" });
}

const same = (values) => values.every((value) => value === values[0]);

// A part of a scheme that is counted takes its amounts from it.
function amountOf(of, part, column, words) {
  if (judgesAttempts(of)) return part.amounts[column] === NO_LIMIT ? "" : words.say(`tries-${of.scoring}`, { count: part.amounts[column] });
  const { unit } = of.movements[part.movement];
  const inScheme = of.scheme.length > 0 && of.parts.includes(part) && (unit === "rep" || unit === "calorie");
  return inScheme ? of.scheme.join("-") : amount(unit, part.amounts[column], words);
}

function standard({ name, start, finish, faults, step, unit }, words) {
  const line = (id, text) => (text ? [element("p", {}, element("b", { textContent: words.say(id) }), ` ${text}`)] : []);
  const fault = ({ name: text, partial }) => element("li", {}, text, ...(partial ? [" ", element("em", { textContent: words.say("fault-partial") })] : []));
  const steps = step > 1 ? [paragraph(words.say("counted-in", { amount: amount(unit, step, words) }))] : [];
  const noRep = faults.length > 0 ? [element("p", {}, element("b", { textContent: words.say("no-rep-if") })), element("ul", {}, ...faults.map(fault))] : [];
  return element("div", { class: "movement" }, element("h4", { textContent: name }), ...line("standard-start", start), ...line("standard-finish", finish), ...steps, ...noRep);
}

function signals(of, words) {
  const partial = of.movements.some(({ faults }) => faults.some((fault) => fault.partial));
  const five = isAmrap(of) ? "last-minute" : of.mark_every_part ? "last-five-every-part" : "last-five";
  if (judgesAttempts(of)) return [words.say(`signals-${of.scoring}`), words.say("last-minute")];
  return ["count-aloud", "signal-no-rep", ...(partial ? ["partial-rule"] : []), five, ...(of.finish_call ? ["finish-call"] : [])].map((id) => words.say(id));
}

function resultRules(of, words) {
  const confirmed = of.initials ? "confirm-initials" : "confirm-signed";
  if (judgesAttempts(of)) return [`result-${of.scoring}`, confirmed].map((id) => words.say(id));
  const ids = [isAmrap(of) ? `result-${of.scoring}` : `capped-${of.capped_as}`];
  const parts = [...of.buy_in, ...of.parts, ...of.cash_out];
  ids.push(parts.some((part) => part.tie_break) ? "tie-break-rule" : "tie-break-none");
  if (of.cap_on_heat) ids.push("cap-on-heat");
  if (of.first_to_finish) ids.push("first-to-finish");
  if (!isAmrap(of)) ids.push(of.rounds_up ? "times-up" : "times-down");
  ids.push(isAmrap(of) ? "penalties-units" : "penalties", confirmed);
  const unit = new Intl.NumberFormat(words.language).format(of.resolution_ms / 1000);
  return ids.map((id) => words.say(id, { unit, penalty: span(of.penalty_per_unit_ms, words) }));
}

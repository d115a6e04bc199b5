// The result sheet of a heat: results with what they rest on, initials, rulings with their reasons, who signed and when, and
// the digest by which the sheet can be held against the record.

import { athlete, blank, element, moment, paperHead, paragraph, stands, table } from "./paper.js";

// Digits of a group of the digest: as many as are typed in one breath.
const GROUP = 8;

export function resultSheet(papers, words) {
  const signing = standing(papers);
  const state = signing ? "official" : "provisional";
  const banner = paragraph(words.say(`sheet-${state}`, { state: words.say(`state-${papers.state}`) }), { class: `banner ${state}` });
  const run = papers.run > 1 ? [paragraph(words.say("run", { run: papers.run }))] : [];
  return element(
    "article",
    { class: "sheet result" },
    paperHead(papers, words.say("paper-result"), banner, ...run),
    results(papers, words),
    ...rulings(papers, words),
    ...remarks(papers, words),
    ...signatures(papers, signing, words),
  );
}

// The signing that stands, if one does.
function standing({ state, signings }) {
  const last = signings[signings.length - 1];
  return state === "signed" && last && !last.reopened ? last : null;
}

function results(papers, words) {
  const say = (id, values) => words.say(id, values);
  const mixed = papers.divisions.length > 1;
  const heads = ["lane", "bib", "athlete", ...(mixed ? ["division"] : []), "result", "place", "tie-break", "penalties", "initials"];
  const row = (lane) => {
    const { entry, count, place, initials } = lane;
    return [
      String(entry.lane),
      entry.bib,
      athlete(lane),
      ...(mixed ? [papers.divisions[entry.division] || ""] : []),
      element("b", { textContent: count.result ? count.result.text : say(`status-${count.status}`) }),
      place > 0 ? String(place) : "–",
      count.tie_break_ms == null ? "" : words.time(count.tie_break_ms),
      penalties(count, words),
      initials ? initialsOf(lane, words) : element("span", { class: "sign", textContent: entry.judge }),
    ];
  };
  return table(heads.map((name) => say(`column-${name}`)), papers.lanes.filter(stands).map(row), { class: "results" });
}

function penalties({ result, credit_ms: credit }, words) {
  const penalty = result && result.penalty_ms;
  const texts = [penalty ? words.say("penalty", { time: words.time(penalty) }) : "", credit ? words.say("credit", { time: words.time(credit) }) : ""];
  return texts.filter(Boolean).join(", ");
}

function initialsOf({ entry, initials }, words) {
  const both = words.say("initials-of", { athlete: initials.athlete, judge: initials.judge });
  return element("span", {}, both, ...[entry.judge, initials.reason].filter(Boolean).map((textContent) => element("small", { textContent })));
}

function rulings(papers, words) {
  const rows = papers.lanes.flatMap(({ entry, rulings = [] }) =>
    rulings.map(({ by, says, reason, before, after }) => [String(entry.lane), words.say("from-to", { from: before, to: after }), element("span", { lang: "en", textContent: says }), reason, by]),
  );
  const leftOut = papers.lanes.reduce((sum, lane) => sum + (lane.rulings_left_out || 0), 0);
  if (rows.length === 0) return [];
  const heads = ["lane", "change", "ruling", "reason", "by"].map((name) => words.say(`column-${name}`));
  const more = leftOut > 0 ? [paragraph(words.say("rulings-left-out", { count: leftOut }))] : [];
  return [element("section", {}, element("h3", { textContent: words.say("rulings") }), table(heads, rows, { class: "rulings" }), ...more)];
}

function remarks({ remarks: all }, words) {
  if (all.length === 0) return [];
  const item = ({ says, reason }) => element("li", {}, element("span", { lang: "en", textContent: says }), reason ? `: ${reason}` : "");
  return [element("section", {}, element("h3", { textContent: words.say("remarks") }), element("ul", {}, ...all.map(item)))];
}

function signatures(papers, signing, words) {
  const earlier = papers.signings.filter((one) => one !== signing);
  const parts = earlier.map((one) => paragraph(earlierText(one, words), { class: "earlier" }));
  if (!signing) return [element("section", { class: "signed" }, ...parts, paragraph(words.say("not-signed")))];
  const { heat } = papers;
  // This may come to stand on a page of its own.
  const of = paragraph([papers.event, papers.brief.workout, papers.heat_name].join(" · "), { class: "of" });
  const said = paragraph(words.say("signed-by", { by: signing.by, at: moment(signing.wall_ms), entries: signing.entries }), { class: "by" });
  const groups = element("p", { class: "digest" }, ...grouped(signing.digest).map((textContent) => element("span", { textContent })));
  const how = paragraph(words.say("verify-how"), { class: "how" });
  const command = element("code", { textContent: `fivemark-feed verify --competition FILE --journal FILE --heat ${heat} --digest ${signing.digest.slice(0, GROUP)}…` });
  const code = element("div", { class: "code" });
  code.dataset.code = `fivemark record 1\nheat ${heat}\n${signing.digest}`;
  const lines = element("div", { class: "lines" }, of, said, ...parts, element("h3", { textContent: words.say("digest") }), groups, how, command, blank(words.say("signature")));
  return [element("section", { class: "signed" }, code, lines)];
}

function earlierText({ by, wall_ms: at, digest, reopened }, words) {
  const signed = words.say("signed-earlier", { by, at: moment(at), digest: grouped(digest).slice(0, 2).join(" ") });
  return reopened ? `${signed} ${words.say("reopened", { by: reopened.by, at: moment(reopened.wall_ms), reason: reopened.reason })}` : signed;
}

// A digest in groups, as it is read and typed.
export function grouped(digest) {
  return Array.from({ length: Math.ceil(digest.length / GROUP) }, (_, index) => digest.slice(index * GROUP, (index + 1) * GROUP));
}

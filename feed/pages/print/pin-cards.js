// The cards by which judges' phones come in on the heat on the floor: one for each lane, to be cut, with the PIN in figures
// and a code that opens the judge's page with it. They die when the heat is signed.

import { element, paperHead, paragraph } from "./paper.js";

const JUDGES_PAGE = "/judge";
// Names by which a machine reaches itself alone.
const LOOPBACK = /^(localhost|127\.[\d.]+|\[::1\])$/;

// `pins` is the feed's last answer to the question for them, null before it came.
export function pinCards(papers, pins, words) {
  const say = (id, values) => words.say(id, values);
  const none = !pins ? "pins-wait" : pins.heat !== papers.heat ? "pins-other-heat" : pins.pins.length === 0 ? "pins-none" : null;
  if (none) return element("article", { class: "sheet" }, paperHead(papers, say("paper-pins")), paragraph(say(none)));
  // Shadow judges' cards come after all others, so that a stack is dealt out in one go.
  const hints = [paragraph(say("pins-hint")), ...(LOOPBACK.test(location.hostname) ? [paragraph(say("pins-loopback"), { class: "banner" })] : [])];
  const dealt = [...pins.pins].sort((one, other) => one.shadow - other.shadow || one.lane - other.lane);
  return element("article", { class: "sheet" }, paperHead(papers, say("paper-pins"), ...hints), element("ul", { class: "pin-cards" }, ...dealt.map((pin) => card(pin, papers, words))));
}

function card({ lane, pin, shadow }, papers, words) {
  const stands = papers.lanes.find(({ entry }) => entry.lane === lane);
  const { entry } = stands || { entry: { name: "", judge: "" } };
  const judge = entry.judge && !shadow ? words.say("judge-name", { judge: entry.judge }) : "";
  const code = element("div", { class: "code" });
  code.dataset.code = address({ pin, shadow });
  const lines = element(
    "div",
    { class: "lines" },
    element("b", { class: "lane", textContent: words.say(shadow ? "card-shadow" : "card-lane", { lane }) }),
    paragraph(entry.bib ? `${entry.bib} · ${stands.full_name || entry.name}` : words.say("card-empty"), { class: "who" }),
    paragraph(judge, { class: "who" }),
    paragraph(`${pin.slice(0, 3)} ${pin.slice(3)}`, { class: "pin" }),
    paragraph(location.host + JUDGES_PAGE, { class: "address" }),
    paragraph(`${papers.heat_name} · ${papers.brief.workout}`, { class: "who" }),
  );
  return element("li", {}, code, lines);
}

// The judge's page with the PIN behind the #, which is in no request and no log.
function address({ pin, shadow }) {
  const said = new URLSearchParams({ pin, ...(shadow && { role: "shadow_judge" }) });
  return `${location.origin}${JUDGES_PAGE}#${said}`;
}

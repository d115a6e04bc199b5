// The floor operator's own running order as it is being written: a draft of steps, what is wrong with it, and the command
// that it becomes. Leaves the form to `editor`.

// The feed's own bounds (see the wire's): steps, a step's length, bytes of a title and of a text.
export const MAX_STEPS = 24;
const MAX_STEP_S = 86400;
const MAX_TITLE = 120;
const MAX_WORDS = 400;

// Cards that can be asked for.
export const CARDS = ["heat", "next_heat", "last_results", "standings", "event", "words", "countdown"];

// A step that has just been added. Times are kept as they are typed.
export function newStep(card = "words") {
  return { card, time: "0:12", title: "", text: "", until: "10:00" };
}

// `m:ss` or `h:mm:ss`, or minutes alone, to whole seconds; null if it is none.
export function spanSeconds(typed) {
  const parts = typed.trim().split(":");
  if (parts.length > 3 || !parts.every((part) => /^\d{1,4}$/.test(part))) return null;
  if (parts.length === 1) return Number(parts[0]) * 60;
  if (parts.slice(1).some((part) => part.length !== 2 || Number(part) > 59)) return null;
  return parts.reduce((sum, part) => sum * 60 + Number(part), 0);
}

const bytes = (text) => new TextEncoder().encode(text).length;

// What is wrong with a step: the field and the word that says it; null if nothing is.
export function fault({ card, time, title, text, until }) {
  const fits = (typed) => spanSeconds(typed) !== null && spanSeconds(typed) <= MAX_STEP_S;
  if (!fits(time)) return { field: "time", says: "fault-time" };
  const written = card === "words" || card === "countdown";
  if (written && bytes(title.trim()) > MAX_TITLE) return { field: "title", says: "fault-title" };
  if (card === "words" && bytes(text.trim()) > MAX_WORDS) return { field: "text", says: "fault-text" };
  if (card === "words" && !title.trim() && !text.trim()) return { field: "title", says: "fault-empty" };
  if (card === "countdown" && !fits(until)) return { field: "until", says: "fault-until" };
  return null;
}

// A step as the feed is asked for it. The step has no fault.
export function asked({ card, time, title, text, until }) {
  const cards = {
    heat: "heat",
    event: "event",
    next_heat: { next_heat: {} },
    last_results: { last_results: {} },
    standings: { standings: {} },
    words: { words: { title: title.trim(), text: text.trim() } },
    countdown: { countdown: { title: title.trim(), in_ms: (spanSeconds(until) || 0) * 1000 } },
  };
  return { for_ms: spanSeconds(time) * 1000, card: cards[card] };
}

// The command that shows steps.
export function showOwn(steps, again) {
  return { board: { own: { again, steps: steps.map(asked) } } };
}

// A draft that was kept, whatever has become of it in storage.
export function readDraft(text) {
  try {
    const { again, steps } = JSON.parse(text);
    const known = steps.filter((step) => CARDS.includes(step.card)).slice(0, MAX_STEPS);
    const clean = known.map((step) => {
      const fresh = newStep(step.card);
      for (const field of ["time", "title", "text", "until"]) if (typeof step[field] === "string") fresh[field] = step[field];
      return fresh;
    });
    return { again: Boolean(again), steps: clean };
  } catch {
    return { again: true, steps: [] };
  }
}

// A heat for the tests of the head judge's page: two divisions on three lanes, the last of them empty.

export const part = (short_name, amount, more = {}) => ({ movement: short_name, short_name, amount, unit: "rep", step: 1, round: 0, faults: [], ...more });

// 30 thrusters and 60 pull-ups: 90 units that score one each.
export const sprint = { scoring: "for_time", parts: [part("thruster", 30), part("pull-up", 60)], units: 90, score_units: 90, closing_blocks: 5, closing_step: 1, finish_call: false };

// A buy-in of 10 rows, then rounds of 6 and 9.
export const rounds = {
  scoring: "amrap_rounds",
  parts: [part("row", 10), part("burpee", 6, { round: 1 }), part("squat", 9, { round: 1 })],
  units: 25,
  score_units: 25,
  closing_blocks: 0,
  closing_step: 0,
  finish_call: false,
};

export const count = (lane, more = {}) => ({ lane, run: 1, status: "racing", done: 0, score: 0, part: 0, part_done: 0, no_reps: 0, judge_on: true, ...more });

export const entry = (lane, more = {}) => ({ lane, course: 0, division: 0, bib: `10${lane}`, name: `Athlete ${lane}`, club: "", judge: "", ...more });

export function picture({ heat = {}, lanes, courses = [sprint], ...more } = {}) {
  return {
    number: 1,
    at_ms: 100_000,
    titles: { event: "Trials", workout: "Sprint", heat: 7, heat_name: "Heat 7", divisions: ["Open"], heats: [6, 7, 8] },
    heat: { state: "running", run: 1, clock: { running: { zero_at_ms: 50_000 } }, cap_ms: 600_000, resolution_ms: 100, finished: 0, starters: 2, first_on_floor: 0, ...heat },
    courses,
    entries: [entry(1), entry(2), entry(3, { bib: "", name: "" })],
    lanes: lanes || [count(1), count(2), count(3, { status: "empty" })],
    order: [],
    journal_ok: true,
    ...more,
  };
}

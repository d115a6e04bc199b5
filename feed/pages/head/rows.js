// One row for each lane, ready to be written: everything in it comes from the feed's picture.

import { lane as laneOf } from "../common/picture.js";
import { figures, loadText } from "../common/loads.js";
import { isOpenEnded, judgesAttempts } from "./course.js";
import { timeText } from "./typed.js";

// `{ lane, entry, count, course, place, gapUnits, gapMs, part, share }` in lane order. `part` is null at the end of the
// course; `share` is how much of that part is done, in hundredths.
export function rows(picture) {
  const mixed = picture.titles.divisions.length > 1;
  return picture.entries
    .map(({ lane }) => lane)
    .sort((one, other) => one - other)
    .map((lane) => {
      const { entry, count, order, course } = laneOf(picture, lane);
      const part = (course && count && course.parts[count.part]) || null;
      return {
        lane,
        entry,
        count,
        course,
        division: mixed && entry.bib ? picture.titles.divisions[entry.division] || "" : "",
        place: order ? (mixed ? order.division_place : order.place) : 0,
        gapUnits: order && order.gap_units != null ? order.gap_units : null,
        gapMs: order && order.gap_ms != null ? order.gap_ms : null,
        part,
        share: part && part.amount > 0 ? Math.round((count.part_done / part.amount) * 100) : 100,
      };
    });
}

// What stands large in a lane's row: the result, or the count: `87 of 90`, `4 + 12`, `162` or `142.5 kg`.
export function countText({ count, course }, words) {
  const { say } = words;
  if (!count || count.status === "empty") return "";
  if (count.result) return count.result.text;
  // Nobody is without a mark before the end.
  if (judgesAttempts(course)) return count.score > 0 ? bestText(course, count.score, words) : "–";
  if (!isOpenEnded(course)) return say("count-of", { count: count.score, all: course.score_units });
  if (course.scoring === "amrap_rounds" && count.round > 0) return `${count.round - 1} + ${count.round_score || 0}`;
  return String(count.score);
}

// The best load or the longest hold.
export function bestText(course, score, { say, mark }) {
  if (score === 0) return say("no-mark");
  return course.scoring === "heaviest_lift" ? loadText(score, course.load_unit, mark) : timeText(score, mark);
}

// How far behind, in what the workout scores: units, a load without its unit, or a time.
export function gapFigures(course, gap, { mark }) {
  if (course.scoring === "heaviest_lift") return figures(gap, course.load_unit, mark);
  return course.scoring === "longest_hold" ? timeText(gap, mark) : String(gap);
}

// What was tried: the attempts with their loads, failed ones crossed, then the load that is declared or the hold under way.
export function triesText({ count, course }, { say, mark }) {
  const { attempts = [], declared_g: declaredG, holding_ms: holdingMs } = count.tries || {};
  const load = (loadG) => figures(loadG, course.load_unit, mark);
  const tried = attempts.map(({ load_g: loadG, good }) => `${load(loadG)}${good ? "" : "\u00a0\u2717"}`);
  if (declaredG != null) tried.push(say("declared", { load: loadText(declaredG, course.load_unit, mark) }));
  if (holdingMs != null) tried.push(say("holding"));
  const turn = course.attempts ? say("tried-of", { count: count.done, all: course.attempts }) : say("tried", { count: count.done });
  return [turn, tried.join(", ")].filter(Boolean).join(": ");
}

// A part and how much of it is done: `pull-up 12 of 15`, with its unit where that is not a repetition.
export function partText(part, partDone, say) {
  const figures = { count: partDone, all: part.amount, movement: part.short_name };
  return say(part.unit === "rep" ? "part-reps" : `part-${part.unit}`, figures);
}

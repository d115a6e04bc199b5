// One row for each lane, ready to be written: everything in it comes from the feed's picture.

import { lane as laneOf } from "../common/picture.js";
import { isOpenEnded } from "./course.js";

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

// What stands large in a lane's row: the result, or the count: `87 of 90`, `4 + 12` or `162`.
export function countText({ count, course }, say) {
  if (!count || count.status === "empty") return "";
  if (count.result) return count.result.text;
  if (!isOpenEnded(course)) return say("count-of", { count: count.score, all: course.score_units });
  if (course.scoring === "amrap_rounds" && count.round > 0) return `${count.round - 1} + ${count.round_score || 0}`;
  return String(count.score);
}

// A part and how much of it is done: `pull-up 12 of 15`, with its unit where that is not a repetition.
export function partText(part, partDone, say) {
  const figures = { count: partDone, all: part.amount, movement: part.short_name };
  return say(part.unit === "rep" ? "part-reps" : `part-${part.unit}`, figures);
}

// Where a number of units lies on a lane's course, and back: the head judge thinks of the seventh front squat of a round,
// and the feed of units along the workout. Decides nothing; it only finds the place.

export function isOpenEnded(course) {
  return course.scoring !== "for_time";
}

// Whether attempts or holds are judged, and no units are counted.
export function judgesAttempts(course) {
  return course.scoring === "heaviest_lift" || course.scoring === "longest_hold";
}

const sum = (parts) => parts.reduce((units, part) => units + part.amount, 0);

// Units before the round that is done again and again; the whole course where there is none.
function unitsBefore(course) {
  return isOpenEnded(course) ? sum(course.parts.filter((part) => part.round === 0)) : course.units;
}

// The place of a count: `{ round, part, partDone }`; `part` is an index, and the number of parts at the end of the course.
// `round` counts an open-ended course's rounds from 1; 0 in its buy-in, and on a course that ends.
export function placeOf(course, done) {
  const before = unitsBefore(course);
  const lap = course.units - before;
  const rounds = lap > 0 && done >= before ? Math.floor((done - before) / lap) : 0;
  let left = done - rounds * lap;
  let part = 0;
  while (part < course.parts.length && left >= course.parts[part].amount) {
    left -= course.parts[part].amount;
    part += 1;
  }
  const inRound = lap > 0 && done >= before;
  return { round: inRound ? rounds + 1 : 0, part, partDone: left };
}

// The count at a place: `partDone` units of a part, in a round of an open-ended course.
export function doneAt(course, { round, part, partDone }) {
  const before = unitsBefore(course);
  const lap = course.units - before;
  const rounds = lap > 0 && course.parts[part].round > 0 ? Math.max(0, round - 1) : 0;
  return rounds * lap + sum(course.parts.slice(0, part)) + partDone;
}

// Whether units are score units all along the course, so that a count can be read as the score.
export function scoresByUnit(course) {
  return course.units === course.score_units && course.parts.every((part) => part.unit === "rep");
}

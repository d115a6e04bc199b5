// What the announcer's page shows of a picture: who leads, who is in the last five, who is behind them, who is done, and
// the lists before and after the heat. Sorts by the feed's places and works out none itself. Leaves drawing to `page` and
// what is said aloud to `facts`.

// Leaders that are shown of each division, by how many divisions share the floor.
const LEADERS = [3, 3, 3, 2];
const LEADERS_OF_MANY = 1;

// "before": the start list counts; "running"; "after": results count. While one lane runs again alone, the others'
// results stand, so that it is never before the heat.
export function phase({ heat }) {
  const { state, clock } = heat;
  if (state === "running" || state === "held") return "running";
  const starts = state === "countdown" && clock.counting_down && clock.counting_down.elapsed_ms > 0;
  if (starts) return "running";
  const before = ["lanes_set", "on_deck", "countdown"].includes(state);
  return before && heat.alone == null ? "before" : "after";
}

// Lanes with an athlete, each with everything that the picture has of it; places are those within the division where
// the floor is mixed.
export function rows(picture) {
  const mixed = isMixed(picture);
  const all = picture.entries.map((entry) => {
    const count = picture.lanes.find(({ lane }) => lane === entry.lane);
    const order = picture.order.find(({ lane }) => lane === entry.lane);
    if (!count || count.status === "empty") return null;
    const place = order ? (mixed ? order.division_place : order.place) : 0;
    return { lane: entry.lane, entry, count, order, course: picture.courses[entry.course], place };
  });
  return all.filter(Boolean);
}

// Whether athletes of several divisions stand on the floor.
export function isMixed({ entries, lanes }) {
  const there = entries.filter(({ lane }) => lanes.some((count) => count.lane === lane && count.status !== "empty"));
  return new Set(there.map(({ division }) => division)).size > 1;
}

// Whether all lanes do the same work: gaps are then told to the first of the whole heat, else to the division's.
export function sameWork({ courses }) {
  return new Set(courses.map((course) => JSON.stringify(course))).size <= 1;
}

const byPlace = (one, other) => (one.place || Infinity) - (other.place || Infinity) || one.lane - other.lane;

// A difference of two infinities is no number; equals are parted by lane.
const sorted = (list, compare) => [...list].sort((one, other) => compare(one, other) || one.lane - other.lane);

// Whether attempts with a load are judged.
export function isLift({ scoring }) {
  return scoring === "heaviest_lift";
}

// Whether attempts or holds are judged, and no units are counted.
export function judgesAttempts({ scoring }) {
  return scoring === "heaviest_lift" || scoring === "longest_hold";
}

export function isWorking({ count }) {
  return count.status === "racing";
}

// A running heat by the questions that an announcer asks of it. Whoever works stands among the leaders, in the last five,
// or behind; a leader may be in the last five as well.
export function running(picture) {
  const all = rows(picture);
  const working = sorted(all.filter(isWorking), byPlace);
  const lastFive = sorted(working.filter(({ count }) => count.to_go != null), (one, other) => one.count.to_go - other.count.to_go || byPlace(one, other));
  const divisions = isMixed(picture) ? [...new Set(working.map(({ entry }) => entry.division))].sort((one, other) => one - other) : [null];
  const most = LEADERS[divisions.length] || LEADERS_OF_MANY;
  const leaders = divisions.map((division) => ({
    division,
    rows: working.filter((row) => row.place > 0 && (division === null || row.entry.division === division)).slice(0, most),
  }));
  const told = new Set([...lastFive, ...leaders.flatMap((group) => group.rows)]);
  return { leaders, lastFive, behind: working.filter((row) => !told.has(row)), done: done(all, isMixed(picture)) };
}

// By place, those without one last, and division by division where the floor is mixed.
function ranked(list, mixed) {
  const division = ({ entry }) => (mixed ? entry.division : 0);
  return sorted(list, (one, other) => division(one) - division(other) || byPlace(one, other));
}

// Who has ended.
export function done(all, mixed) {
  return ranked(all.filter((row) => !isWorking(row)), mixed);
}

// All lanes, once the heat has ended.
export function results(picture) {
  return ranked(rows(picture), isMixed(picture));
}

// The lane that is first among those who work, of a division or (null) of the heat; null if nobody has scored.
export function leader(picture, division) {
  if (picture.heat.alone != null) return null;
  const { leaders } = running(picture);
  const group = leaders.find((group) => group.division === division);
  return (group && group.rows[0]) || null;
}

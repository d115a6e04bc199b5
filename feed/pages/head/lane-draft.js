// Lanes as they are to be set: changes over the lanes that stand, put together before they are sent. What can be set is
// the feed's to decide; this knows only who is where.

// Whether lanes can be set now: before the start of all lanes.
export function maySetLanes({ heat }) {
  return ["lanes_set", "on_deck"].includes(heat.state) && heat.alone == null;
}

// Who stands on a lane, `{ bib, name }`; null for nobody.
function standing(picture, lane) {
  const entry = picture.entries.find((one) => one.lane === lane);
  return entry && entry.bib ? { bib: entry.bib, name: entry.name } : null;
}

function same(one, other) {
  return (one && one.bib) === (other && other.bib);
}

export class LaneDraft {
  constructor() {
    this.changes = new Map();
    this.over = null;
  }

  // Who is to stand on a lane.
  athlete(picture, lane) {
    return this.changes.has(lane) ? this.changes.get(lane) : standing(picture, lane);
  }

  // Exchanges two lanes, of which one may be empty.
  swap(picture, one, other) {
    const [first, second] = [this.athlete(picture, one), this.athlete(picture, other)];
    this.put(picture, one, second);
    this.put(picture, other, first);
  }

  // Puts somebody on a lane, or nobody (null).
  put(picture, lane, athlete) {
    if (same(athlete, standing(picture, lane))) this.changes.delete(lane);
    else this.changes.set(lane, athlete);
  }

  // Lanes that change, with who stood there and who is to: `[{ lane, from, to }]`, in lane order.
  lines(picture) {
    const lanes = [...this.changes.keys()].sort((one, other) => one - other);
    return lanes.map((lane) => ({ lane, from: standing(picture, lane), to: this.changes.get(lane) }));
  }

  // Bibs that have no lane any more.
  scratched(picture) {
    const stay = picture.entries.map(({ lane }) => this.athlete(picture, lane)).filter(Boolean).map(({ bib }) => bib);
    return picture.entries.filter(({ bib }) => bib && !stay.includes(bib)).map(({ bib }) => bib);
  }

  // The command as the feed is told it.
  command(picture, reason) {
    return { set_lanes: { lanes: this.lines(picture).map(({ lane, to }) => (to ? { lane, bib: to.bib } : { lane })), reason } };
  }

  clear() {
    this.changes.clear();
  }

  // A new picture has come: what was put together over other lanes is let go. True if it had not come true by then.
  follow(picture) {
    const over = JSON.stringify([picture.titles.heat, picture.entries.map(({ lane, bib }) => [lane, bib])]);
    const first = this.over === null;
    const other = this.over !== over;
    this.over = over;
    if (first || !other) return false;
    const lost = this.lines(picture).some(({ from, to }) => !same(from, to));
    this.clear();
    return lost;
  }
}

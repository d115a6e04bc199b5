// A paper card that is entered as one act: its count as a ruling, and then the initials under the result that the ruling
// made. They are two entries of the record, so the second is sent when the first is done; if it is refused, that is told,
// and what was typed is kept for the lane.

import { lane as laneOf } from "../common/picture.js";

// States in which a count that is set becomes a result at once.
const ENDED = ["time_called", "provisional"];

// Whether initials can follow a count from paper: the lane has a result then. `whole`: the whole course is typed.
export function mayConfirm(picture, whole) {
  return ENDED.includes(picture.heat.state) || whole;
}

export class PaperCard {
  // `give` is told the initials as a command and gives its id back, null if it was not taken; `tell` is told the name of a
  // sentence; `done` is told the lane whose card is in the record.
  constructor({ give, tell, done }) {
    Object.assign(this, { give, tell, done, waiting: null, kept: new Map() });
  }

  // Initials that were typed for a lane and are not in the record yet.
  typedFor(lane) {
    return this.kept.get(lane) || { athlete: "", judge: "" };
  }

  // The count was given under this id; the initials wait for it.
  begin({ id, lane, initials, reason }) {
    this.kept.set(lane, initials);
    this.waiting = { id, lane, initials, reason, ruled: false, seen: false, confirm: null };
  }

  // A command of this page has changed.
  changed({ message, state }, picture) {
    const { waiting } = this;
    if (!waiting) return;
    if (message.id === waiting.id && state === "refused") this.waiting = null;
    if (message.id === waiting.id && state === "done") waiting.ruled = true;
    if (message.id === waiting.confirm && state === "refused") this.fail("card-initials-refused");
    if (message.id === waiting.confirm && state === "done") {
      this.kept.delete(waiting.lane);
      this.waiting = null;
      this.done(waiting.lane);
    }
    this.goOn(picture);
  }

  // What the feed tells: initials stand for the result that the ruling made, so the picture has to have it first.
  hear({ type, rulings = [] }, picture) {
    const { waiting } = this;
    if (!waiting) return;
    const noted = rulings.some(({ lane, reason }) => lane === waiting.lane && reason === waiting.reason);
    if (noted || (type === "snapshot" && waiting.ruled)) waiting.seen = true;
    this.goOn(picture);
  }

  goOn(picture) {
    const { waiting } = this;
    if (!waiting || !picture || !waiting.ruled || !waiting.seen || waiting.confirm !== null) return;
    const { count } = laneOf(picture, waiting.lane);
    if (!count || !count.result) {
      this.fail("card-no-result");
      return;
    }
    const { lane, initials, reason } = waiting;
    waiting.confirm = this.give({ type: "confirm", lane, run: count.run, result: count.result.text, ...initials, reason });
    if (waiting.confirm === null) this.fail("card-initials-refused");
  }

  fail(sentence) {
    this.waiting = null;
    this.tell(sentence);
  }
}

// A tap's way to the screen beside the wall's own delay: the phone's way to the feed, and the feed's journal. Measures
// them; shows nothing.

// The middle of the last taps is told.
const KEPT_TAPS = 9;

export class Road {
  constructor(link) {
    this.link = link;
    this.tapped = null;
    this.trips = [];
    this.journalMs = null;
  }

  // A finger came down at this time of the page's clock: the feed is asked for its time at once, as a call would be sent.
  tap(atMs) {
    if (this.link.state !== "up") return false;
    this.tapped = atMs;
    this.link.exchange();
    return true;
  }

  // The feed's answer to an exchange: if it is the tap's, there and back is known.
  heard({ t1_us }) {
    const { clock } = this.link;
    if (this.tapped === null || t1_us < this.tapped * clock.speedMilli) return;
    this.trips.push(clock.now() - this.tapped);
    if (this.trips.length > KEPT_TAPS) this.trips.shift();
    this.tapped = null;
  }

  // One way, milliseconds: half of a tap's round trip, or of an exchange's before the first tap; null before either.
  wayMs() {
    const trips = this.trips.length ? this.trips : this.link.clock.samples.map((one) => one.delay_us / this.link.clock.speedMilli);
    if (trips.length === 0) return null;
    return [...trips].sort((a, b) => a - b)[trips.length >> 1] / 2;
  }

  // Asks the feed what a commit to its journal takes.
  async askJournal() {
    try {
      this.journalMs = commitMs(await (await fetch("/metrics")).text());
    } catch {
      // Not told then.
    }
  }
}

// The mean time of a commit in the feed's counters, milliseconds; null before the first commit.
export function commitMs(counters) {
  const value = (name) => Number((new RegExp(`^fivemark_journal_commit_seconds_${name} (\\S+)`, "m").exec(counters) || [])[1]);
  const [sum, count] = [value("sum"), value("count")];
  return count > 0 ? (1000 * sum) / count : null;
}

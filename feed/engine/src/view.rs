//! What can be read from a heat: its state and clock, each lane's count, places and gaps. Plain values, worked
//! out already; nothing here decides anything.

use std::fmt;

use crate::ids::LaneNo;
use crate::time::{HeatMs, SpanMs};
use crate::workout::CapOn;

/// State and clock of a heat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HeatView {
    /// The state.
    pub state: State,
    /// Counts the runs of this heat, from 1.
    pub run: u32,
    /// The clock.
    pub clock: Clock,
    /// The time cap, or the window of an AMRAP.
    pub cap: SpanMs,
    /// Which time it limits.
    pub cap_on: CapOn,
    /// Heat time at which the last lane's time is up: the cap, later by starts and credits where the cap is on lane
    /// time. A running clock stops here.
    pub ends: SpanMs,
    /// Unit of official times: 1000, 100 or 10 ms.
    pub resolution_ms: u32,
    /// The feed carried the clock over a reboot and the head judge has not confirmed it yet.
    pub clock_in_doubt: bool,
    /// The lane that runs again alone, until its heat is provisional again.
    pub alone: Option<LaneNo>,
    /// Lanes that finished; in an AMRAP, whose window closed.
    pub finished: u8,
    /// Lanes with an athlete.
    pub starters: u8,
    /// The best lane still working once somebody has finished; before that, the leader.
    pub first_on_floor: Option<LaneNo>,
}

/// States of a heat.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum State {
    /// Lanes are assigned.
    LanesSet,
    /// Athletes stand ready.
    OnDeck,
    /// The countdown to the start, or to the going on after a hold.
    Countdown,
    /// The clock runs.
    Running,
    /// The clock stands still.
    Held,
    /// The cap is reached, every lane has ended, or the head judge called time.
    TimeCalled,
    /// Nothing is missing any more; rulings may come.
    Provisional,
    /// Official.
    Signed,
    /// The run scores nothing.
    Cancelled,
}

impl fmt::Display for State {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::LanesSet => "set up with its lanes",
            Self::OnDeck => "on deck",
            Self::Countdown => "in its countdown",
            Self::Running => "running",
            Self::Held => "held",
            Self::TimeCalled => "at time called",
            Self::Provisional => "provisional",
            Self::Signed => "signed",
            Self::Cancelled => "cancelled",
        })
    }
}

/// How to draw the clock from feed time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clock {
    /// Not started: shows 0:00.
    Idle,
    /// Counts down to `go_at`; elapsed time will go on there from `elapsed`.
    CountingDown {
        /// When the countdown began.
        since: HeatMs,
        /// Zero of the countdown.
        go_at: HeatMs,
        /// Elapsed time at that moment; above 0 when a held heat goes on.
        elapsed: SpanMs,
    },
    /// Runs: elapsed = feed time − `zero_at`, never above `HeatView::ends`.
    Running {
        /// Feed time at which elapsed time was, or would have been, 0.
        zero_at: HeatMs,
    },
    /// Stands still.
    Stopped {
        /// Elapsed time shown.
        elapsed: SpanMs,
    },
}

/// What a lane has done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LaneView {
    /// The lane.
    pub lane: LaneNo,
    /// The run that it is in, from 1; calls for the lane name it.
    pub run: u32,
    /// Its status.
    pub status: Status,
    /// Its own start after the heat's.
    pub start: SpanMs,
    /// Time credited to it.
    pub credit: SpanMs,
    /// Units along the course; in an AMRAP over all rounds. Attempts judged, or holds begun, where these are judged.
    pub done: u32,
    /// Score units, penalties taken: the count that is shown. Where attempts are judged the best load in grams, or the
    /// longest hold in milliseconds; 0 for none.
    pub score: u32,
    /// The round under way, from 1; 0 in the buy-in, in the cash-out, and when all is done.
    pub round: u32,
    /// Score units done in that round, or in the buy-in or cash-out.
    pub round_score: u32,
    /// Index of the part under way; the number of parts when all are done.
    pub part: u32,
    /// Units done of that part.
    pub part_done: u32,
    /// Units left when the lane is in the closing blocks (the last five) of the course, or of the part where the
    /// workout marks every part; none otherwise. 0 between the last unit and a finish call.
    pub to_go: Option<u32>,
    /// The tie-break time, counted and cut like an official time.
    pub tie_break: Option<SpanMs>,
    /// What stands in place of the count when the lane has ended.
    pub result: Option<LaneResult>,
    /// What was tried, where attempts or holds are judged.
    pub tries: Option<TriesView>,
    /// The last stop of the lane's time by hand, counted and cut like an official time, penalties left out. Second
    /// evidence; decides nothing.
    pub stop: Option<SpanMs>,
    /// While under review with a deadline: when it is to be decided.
    pub review_until: Option<HeatMs>,
    /// No-reps so far.
    pub no_reps: u32,
    /// Effective time of the last good call.
    pub last_good: Option<HeatMs>,
    /// Changed by a ruling.
    pub ruled: bool,
    /// Times of this lane's calls are in doubt; the head judge looks.
    pub flagged: bool,
    /// A judge's phone of the lane is on the line.
    pub judge_on: bool,
    /// Athlete and judge have put their initials under the result.
    pub confirmed: bool,
}

/// What a lane has tried, where attempts or holds are judged.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TriesView {
    /// Load declared for the next attempt, grams.
    pub declared_g: Option<u32>,
    /// The latest attempts, up to `bounds::MAX_ATTEMPTS_SHOWN`, in order.
    pub attempts: Vec<AttemptView>,
    /// Heat time at which the hold under way began; it takes until the heat's clock stops or the lane's window closes.
    pub holding: Option<SpanMs>,
}

/// One attempt with a declared load.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AttemptView {
    /// The load in grams.
    pub load_g: u32,
    /// It was good, not failed.
    pub good: bool,
}

/// Status of a lane.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Status {
    /// Nobody stands there.
    Empty,
    /// At work, or waiting for the start.
    Racing,
    /// Did the whole course, or used every attempt; in open-ended work, worked until the window closed.
    Finished,
    /// Stopped by the call of time with work left.
    Capped,
    /// Did not finish; keeps the work done.
    DidNotFinish,
    /// Did not start.
    DidNotStart,
    /// Disqualified.
    Disqualified,
    /// Under review: shown as provisional.
    UnderReview,
}

/// An ended lane's result, ready to be shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LaneResult {
    /// As shown: `7:08.4`, `87 of 90`, `cap + 3`, `5 + 12`, `162`, `142.5 kg`, `no mark`, `DNF`.
    pub text: String,
    /// The official time of a finished lane, penalties and credits in; none in open-ended work.
    pub official: Option<SpanMs>,
    /// Penalty time of the lane, if any.
    pub penalty: Option<SpanMs>,
}

/// Place and gap of a lane.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Standing {
    /// The lane.
    pub lane: LaneNo,
    /// Place in the heat, 1-2-2-4; 0 without one. Where divisions do different work: the division's place.
    pub place: u8,
    /// Place within its own division.
    pub division_place: u8,
    /// Another lane has done equal work, and only the tie-break time parts the two.
    pub tied_apart: bool,
    /// Score units behind place 1, or behind first on floor once somebody has finished.
    pub gap_units: Option<u32>,
    /// How long after place 1 this lane reached its count; for finished lanes, official time behind the winner.
    pub gap: Option<SpanMs>,
}

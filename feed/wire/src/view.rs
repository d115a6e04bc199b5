//! What screens are told: names, courses, the clock, lanes, order. Everything that a screen shows is here
//! already worked out; a screen computes no rank and no result.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::skip::{is_false, is_zero, is_zero_ms};
use crate::tries::{LoadUnit, Tries};

/// Event, workout and heat by name.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Titles {
    /// The event's name.
    pub event: String,
    /// The workout's name.
    pub workout: String,
    /// Number of the heat.
    pub heat: u32,
    /// Its name as announced, such as `Heat 7`.
    pub heat_name: String,
    /// Divisions on the floor, such as `Open women`.
    pub divisions: Vec<String>,
    /// Numbers of all heats of the competition, in running order.
    pub heats: Vec<u32>,
}

/// A course as screens need it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Course {
    /// How the work done on it becomes a result.
    #[serde(default)]
    pub scoring: Scoring,
    /// Attempts or holds that each athlete has, where these are judged; none for as many as there is time for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub attempts: Option<u8>,
    /// Unit of declared loads, in heaviest lift.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load_unit: Option<LoadUnit>,
    /// Its parts, in order. As many rounds as possible: the buy-in, then one round, which is done again and again.
    /// Heaviest lift and longest hold: one.
    pub parts: Vec<Part>,
    /// Units along the whole course: the sum of the parts' amounts. As many rounds as possible: buy-in and one round.
    pub units: u32,
    /// Score units of the same stretch.
    pub score_units: u32,
    /// Number of closing blocks (the last five): 0 to 5.
    pub closing_blocks: u8,
    /// Units that one closing block stands for; 0 if there are none.
    pub closing_step: u32,
    /// The end is a separate finish call, not the last unit.
    pub finish_call: bool,
}

/// How work becomes a result.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Scoring {
    /// The course is finished as fast as possible, under a time cap.
    #[default]
    ForTime,
    /// As many rounds as possible in the window, shown as rounds and the score units of the round under way:
    /// `5 + 12`.
    AmrapRounds,
    /// The same, shown as all score units together: `162`.
    AmrapTotal,
    /// The best good attempt with a declared load, in the window: `142.5 kg`. Scores are grams.
    HeaviestLift,
    /// The longest hold, in the window: `1:23.4`. Scores are milliseconds, cut like an official time.
    LongestHold,
}

impl Scoring {
    /// Whether attempts or holds are judged, and no units are counted.
    #[must_use]
    pub fn judges_attempts(self) -> bool {
        matches!(self, Self::HeaviestLift | Self::LongestHold)
    }
}

/// One part of a course.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Part {
    /// Full name of the movement.
    pub movement: String,
    /// Name for narrow places.
    pub short_name: String,
    /// Amount, in `unit`.
    pub amount: u32,
    /// What is counted.
    pub unit: Unit,
    /// Units per tap; equal to `amount` when the part is only tapped when it is done.
    pub step: u32,
    /// Whether `good` may carry several steps.
    pub several_at_once: bool,
    /// Load or height as shown; empty if none.
    pub load: String,
    /// Round that it belongs to, from 1; 0 for buy-in and cash-out.
    pub round: u32,
    /// Where it starts on the track, in millionths of the track. As many rounds as possible: the buy-in has a whole
    /// track, and the round another.
    pub track_start_ppm: u32,
    /// How long it is on the track, in millionths.
    pub track_len_ppm: u32,
    /// The movement's expected time for one unit, milliseconds.
    pub expected_ms_per_unit: u32,
    /// How a rep begins, in words; empty if not told.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub start: String,
    /// What a rep has to come to, in words; empty if not told.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub finish: String,
    /// Faults that a judge may name.
    pub faults: Vec<Fault>,
}

/// What is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Unit {
    Rep,
    Metre,
    Calorie,
    SecondHeld,
    Kilogram,
}

/// A reason for a no-rep.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Fault {
    /// For programs.
    pub code: String,
    /// As shown.
    pub name: String,
    /// Only the failed stage is repeated.
    pub partial: bool,
}

/// State and clock of the heat.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct HeatState {
    /// The state.
    pub state: State,
    /// Counts the runs of this heat, from 1.
    pub run: u32,
    /// The clock.
    pub clock: Clock,
    /// The time cap, milliseconds of lane time; work without an end of its own: the window.
    pub cap_ms: i64,
    /// The cap ends the heat at that much heat time, however late a lane started.
    #[serde(default, skip_serializing_if = "is_false")]
    pub cap_on_heat: bool,
    /// Heat time at which a running clock stops, milliseconds, where that is not the cap: lanes that start later or
    /// were credited time go on after it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ends_ms: Option<i64>,
    /// Unit of official times, milliseconds: 1000, 100 or 10.
    pub resolution_ms: u32,
    /// Lanes that finished.
    pub finished: u8,
    /// Lanes with an athlete.
    pub starters: u8,
    /// The best lane still working once somebody has finished; before that, the leader. 0 if nobody.
    pub first_on_floor: u8,
    /// The feed's machine was restarted during the heat, and the head judge has not confirmed its clock since.
    #[serde(default, skip_serializing_if = "is_false")]
    pub clock_in_doubt: bool,
    /// The lane that runs again alone; its clock is the heat's, and the other lanes' results stand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub alone: Option<u8>,
}

/// States of a heat.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum State {
    LanesSet,
    OnDeck,
    Countdown,
    Running,
    Held,
    TimeCalled,
    Provisional,
    Signed,
    Cancelled,
}

/// How to draw the clock from feed time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Clock {
    /// Not started: shows 0:00.
    Idle,
    /// Counts down to `go_at_ms`, feed time; elapsed time will start there from `elapsed_ms` (above 0 when a held
    /// heat resumes).
    CountingDown {
        /// When the countdown began, feed milliseconds.
        since_ms: i64,
        /// Zero of the countdown, feed milliseconds.
        go_at_ms: i64,
        /// Elapsed time at that moment.
        elapsed_ms: i64,
    },
    /// Runs: elapsed = feed time − `zero_at_ms`, never above the cap, or above `ends_ms` where that is given.
    Running {
        /// Feed time at which elapsed time was (or would have been) 0.
        zero_at_ms: i64,
    },
    /// Stands still at this elapsed time (held, time called, later states).
    Stopped {
        /// Elapsed milliseconds.
        elapsed_ms: i64,
    },
}

/// Who stands on a lane.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LaneEntry {
    /// Lane, from 1.
    pub lane: u8,
    /// Index of its course in the snapshot.
    pub course: u8,
    /// Index of its division in the titles.
    pub division: u8,
    /// Bib; empty for an empty lane.
    pub bib: String,
    /// Name as shown in public.
    pub name: String,
    /// Given name and family name as shown in public, for shortening; either may be empty.
    pub given: String,
    /// See `given`.
    pub family: String,
    /// How to say it; empty if not told.
    pub say: String,
    /// Club; empty if none.
    pub club: String,
    /// Name of the lane judge; empty if not told. Only officials receive it.
    pub judge: String,
    /// When the lane starts after the heat, milliseconds of heat time: its lane time counts from there.
    #[serde(default, skip_serializing_if = "is_zero_ms")]
    pub start_ms: i64,
    /// Names of a team's members as shown in public; empty for a single athlete.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub members: Vec<String>,
}

/// What a lane has done.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LaneCount {
    /// Lane, from 1.
    pub lane: u8,
    /// Run of the lane, from 1: the heat's, and one more for each time that the lane ran again alone. Tallies name it.
    pub run: u32,
    /// Its status.
    pub status: Status,
    /// Units along the course; counts on over all rounds. Attempts judged, or holds begun, where these are judged.
    pub done: u32,
    /// Score units, penalties taken: the count that is shown. Heaviest lift: the best load, grams. Longest hold: the
    /// longest, milliseconds. 0 for none.
    pub score: u32,
    /// What was tried, where attempts or holds are judged.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tries: Option<Tries>,
    /// The round under way, from 1; 0 in a buy-in or cash-out and where there are no rounds.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub round: u32,
    /// Score units done in the round under way.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub round_score: u32,
    /// Index of the part under way; the number of parts when all are done.
    pub part: u32,
    /// Units done of that part.
    pub part_done: u32,
    /// Units left when the lane is in its closing blocks (the last five); none otherwise. 0 between the last unit
    /// and a finish call.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to_go: Option<u32>,
    /// What stands in place of the count when the lane has ended.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub result: Option<LaneResult>,
    /// The last stop of the lane's time by hand, milliseconds, counted and cut like an official time, penalties left out.
    /// Second evidence; decides nothing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stop_ms: Option<i64>,
    /// While under review with a deadline: when it is to be decided, feed milliseconds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub review_until_ms: Option<i64>,
    /// No-reps so far.
    pub no_reps: u32,
    /// Feed time of the last good call, milliseconds; none before the first.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub last_good_ms: Option<i64>,
    /// Time credited for failed equipment, milliseconds, if any: lane time counts that much less.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub credit_ms: Option<i64>,
    /// Tie-break time, milliseconds, cut like an official time, once the part that gives it is done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tie_break_ms: Option<i64>,
    /// Changed by a ruling.
    #[serde(default, skip_serializing_if = "is_false")]
    pub ruled: bool,
    /// Times or links of this lane are in doubt; the head judge looks.
    #[serde(default, skip_serializing_if = "is_false")]
    pub flagged: bool,
    /// The lane's judge is on the line.
    pub judge_on: bool,
    /// Athlete and judge have put their initials under the result.
    #[serde(default, skip_serializing_if = "is_false")]
    pub confirmed: bool,
}

/// Status of a lane.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Status {
    Empty,
    Racing,
    Finished,
    Capped,
    DidNotFinish,
    DidNotStart,
    Disqualified,
    UnderReview,
}

/// An ended lane's result, ready to be shown.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LaneResult {
    /// As shown: `7:08.4`, `87 of 90`, `cap + 3`, `5 + 12`, `162`, `142.5 kg`, `no mark`, `DNF`.
    pub text: String,
    /// The official time, milliseconds, for a lane that finished its course (penalties in).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub official_ms: Option<i64>,
    /// Penalty time in it, milliseconds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub penalty_ms: Option<i64>,
    /// Credited time in it, milliseconds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub credit_ms: Option<i64>,
}

/// Place and gap of a lane.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct OrderRow {
    /// Lane, from 1.
    pub lane: u8,
    /// Place in the heat, 1-2-2-4; 0 without one (empty, did not start, disqualified, or nobody has scored).
    pub place: u8,
    /// Place within its own division.
    pub division_place: u8,
    /// Score units behind place 1, or behind first on floor once somebody has finished. Heaviest lift: grams. Longest
    /// hold: milliseconds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gap_units: Option<u32>,
    /// How long ago place 1 stood where this lane stands, milliseconds; for finished lanes, behind the winner.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gap_ms: Option<i64>,
    /// Has done as much as a neighbour in the order, and only the tie-break time parts them.
    #[serde(default, skip_serializing_if = "is_false")]
    pub tied_apart: bool,
}

/// A no-rep to show for a moment.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct NoRep {
    /// Lane, from 1.
    pub lane: u8,
    /// Name of the fault as shown; empty if not named.
    pub fault: String,
    /// Only the failed stage is repeated.
    pub partial: bool,
    /// Feed time of the call, milliseconds.
    pub at_ms: i64,
}

/// A ruling, for officials' screens.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RulingNote {
    /// Lane, from 1.
    pub lane: u8,
    /// Who ruled.
    pub by: String,
    /// What was ruled, in words.
    pub says: String,
    /// Why.
    pub reason: String,
    /// The lane's result or count before.
    pub before: String,
    /// And after.
    pub after: String,
}

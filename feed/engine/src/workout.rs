//! A workout as its author writes it: movements, parts, rounds, scoring and clock rules, for one division.
//! `course` turns it into the line of work that lanes move along.

use crate::bounds::MAX_ATTEMPTS;
use crate::ids::MovementIx;
use crate::time::SpanMs;

/// Everything the engine needs to know of a workout, with the amounts of one division already chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Workout {
    /// As shown on boards.
    pub name: String,
    /// How results come about.
    pub scoring: Scoring,
    /// The movements that parts refer to.
    pub movements: Vec<Movement>,
    /// Done once before the rounds.
    pub buy_in: Vec<PartSpec>,
    /// Done `rounds` times, or once per entry of `scheme`.
    pub body: Vec<PartSpec>,
    /// Times the body is done when `scheme` is empty; at least 1.
    pub rounds: u32,
    /// Repetitions of each part of the body per round (`21-15-9`); replaces `rounds` when not empty, and the
    /// amounts of parts counted in repetitions or calories. A run between the sets keeps its metres.
    pub scheme: Vec<u32>,
    /// Done once after the rounds.
    pub cash_out: Vec<PartSpec>,
    /// What ends the course.
    pub finish: FinishRule,
    /// How far the bar moves for a unit.
    pub track: TrackRule,
    /// Every part ends with the closing mark, not the course alone.
    pub mark_every_part: bool,
    /// Clock, cap and official time.
    pub clock: ClockRules,
}

/// How a workout is scored. Every scoring of the trade has its place here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Scoring {
    /// Finish the course as fast as possible under a time cap.
    ForTime,
    /// As many rounds or repetitions as possible in a window, which is the clock's cap. The buy-in is done once; the
    /// body, or all sets of the scheme, is one round and is repeated without end.
    Amrap {
        /// How the result reads.
        shows: AmrapShows,
    },
    /// The best good attempt with a declared load, in a window, which is the clock's cap. One movement.
    HeaviestLift {
        /// In which unit loads are declared and shown.
        unit: LoadUnit,
        /// Attempts that each athlete has; none for as many as there is time for, up to `bounds::MAX_ATTEMPTS`.
        attempts: Option<u8>,
        /// What parts equal loads.
        equal: EqualLoads,
    },
    /// The longest time from the judge's start to the stop, in a window, which is the clock's cap. One movement; a hold
    /// under way at the window's end ends there.
    LongestHold {
        /// Holds that each athlete has, of which the longest counts; at least 1.
        holds: u8,
    },
}

impl Scoring {
    /// Whether attempts or holds are judged, and no units are counted.
    #[must_use]
    pub fn judges_attempts(self) -> bool {
        self.tries().is_some()
    }

    /// Attempts or holds that an athlete has, where these are judged.
    #[must_use]
    pub fn tries(self) -> Option<u8> {
        match self {
            Self::HeaviestLift { attempts, .. } => Some(attempts.unwrap_or(MAX_ATTEMPTS)),
            Self::LongestHold { holds } => Some(holds),
            Self::ForTime | Self::Amrap { .. } => None,
        }
    }
}

/// The unit in which loads are declared. They are kept in grams, and shown as they were declared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum LoadUnit {
    Kilogram,
    /// Avoirdupois, 0.45359237 kg exactly (NIST SP 811, appendix B).
    Pound,
}

/// What parts lanes with equal best loads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EqualLoads {
    /// Who needed fewer attempts for it; then who lifted it earlier.
    FewerAttempts,
    /// Who lifted it earlier.
    Earlier,
    /// Nothing: they share the place.
    Shared,
}

/// How the result of an AMRAP reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AmrapShows {
    /// `5 + 12`: whole rounds, and score units of the one under way.
    RoundsAndReps,
    /// `162`: score units.
    Total,
}

/// A movement and how it is counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Movement {
    /// Full name.
    pub name: String,
    /// Name for narrow places.
    pub short_name: String,
    /// What one unit is.
    pub unit: Unit,
    /// Units that one tap stands for; at least 1.
    pub step: u32,
    /// Expected time for one unit, in milliseconds; weighs the track.
    pub expected_ms_per_unit: u32,
    /// Whether a judge may enter several steps in one call (+5, +10).
    pub several_at_once: bool,
    /// For movements not counted in repetitions: closing steps that carry the last-five blocks; 0 for none.
    pub closing_steps: u8,
    /// How a rep begins, in words; empty if not told.
    pub start: String,
    /// What a rep has to come to, in words; empty if not told.
    pub finish: String,
    /// Why a rep fails.
    pub faults: Vec<Fault>,
}

/// What is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Unit {
    Rep,
    Metre,
    Calorie,
    SecondHeld,
    Kilogram,
}

/// A reason for a no-rep.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Short identifier, unique within the movement.
    pub code: String,
    /// As shown on boards and phones.
    pub name: String,
    /// Only the failed stage is repeated (common practice). Recorded; never takes the count back.
    pub partial: bool,
}

/// One movement's block of work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartSpec {
    /// What is done.
    pub movement: MovementIx,
    /// How much, in the movement's unit; at least 1.
    pub amount: u32,
    /// What it adds to the score.
    pub scores: ScoreRule,
    /// The time at its end is the tie-break time.
    pub tie_break: bool,
    /// Load or height as shown, such as `43 kg`; empty if none.
    pub load: String,
}

/// What a part scores. Metres never count as repetitions by accident.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ScoreRule {
    /// One per unit.
    PerUnit,
    /// One per this many units.
    PerUnits(u32),
    /// This many when the part is done, 0 until then.
    WhenDone(u32),
}

/// What ends the course.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FinishRule {
    /// The last unit's tap.
    LastUnit,
    /// A separate finish call, over a line or onto a mat.
    FinishCall,
}

/// What length on the track means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TrackRule {
    /// Each unit weighs its movement's expected time.
    ExpectedTime,
    /// Every score unit is equally wide.
    Units,
}

/// Clock, cap and official time of a workout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ClockRules {
    /// Length of the countdown; 10 s unless the event says otherwise.
    pub countdown: SpanMs,
    /// The time cap, or the window of work without an end. A call with an effective time exactly at it counts.
    pub cap: SpanMs,
    /// Which time decides the order where lanes start one after another.
    pub order_by: OrderBy,
    /// Which time the cap limits where lanes start one after another.
    pub cap_on: CapOn,
    /// Resolution of official times.
    pub resolution: Resolution,
    /// Which way official times are cut.
    pub rounding: Rounding,
    /// How a capped result is shown and ordered.
    pub capped_as: CappedAs,
    /// Penalty for each missing unit when `capped_as` is `CapPlusPenalty` (common practice: 1 s).
    pub penalty_per_unit: SpanMs,
}

/// Which time decides the order, and stands as the result.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OrderBy {
    /// Counted from the lane's own start.
    LaneTime,
    /// Counted from the heat's start, whenever the lane started: who is first over the line is first.
    FirstToFinish,
}

/// Which time the cap limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CapOn {
    /// Each lane's, counted from its own start.
    LaneTime,
    /// The heat's: everybody stops at the same moment.
    Heat,
}

/// Resolution of official times.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Resolution {
    Second,
    Tenth,
    Hundredth,
}

/// Which way an official time is cut to its resolution.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// To the next longer one, as track and field does.
    Up,
    /// The rest is dropped, as swimming does.
    Down,
}

/// How a capped lane's result reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CappedAs {
    /// `87 of 90`.
    WorkDone,
    /// `cap + 3`.
    WorkLeft,
    /// The cap plus a penalty per missing unit, as a time.
    CapPlusPenalty,
}

//! What a heat is made of before anything happens: lanes and the workouts that they do. Says what is wrong with
//! a heat that cannot be run; leaves files and their line numbers to others.

use thiserror::Error;

use crate::ids::{LaneNo, MAX_LANES};
use crate::time::SpanMs;
use crate::workout::Workout;

/// A heat to be run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeatSetup {
    /// The lanes; any order, each once.
    pub lanes: Vec<LaneSetup>,
    /// One workout per division on the floor, all with the same clock rules.
    pub workouts: Vec<Workout>,
}

/// One lane of a heat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LaneSetup {
    /// The lane.
    pub lane: LaneNo,
    /// Its division; lanes of one division are ranked together.
    pub division: u8,
    /// Index of its workout.
    pub workout: u8,
    /// Whether an athlete stands there.
    pub occupied: bool,
    /// The lane's own start after the heat's; 0 to start with the heat.
    pub start: SpanMs,
}

/// Why a heat cannot be run. Parts are counted from 1 along the whole course, as people count.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum SetupError {
    /// No lanes.
    #[error("the heat has no lanes; give it at least one")]
    NoLanes,
    /// A lane number out of range.
    #[error("lane {0} does not exist; lanes are numbered from 1 to {max}", max = MAX_LANES)]
    LaneOutOfRange(u8),
    /// A lane twice.
    #[error("lane {} is there twice; give each lane once", .0.0)]
    DuplicateLane(LaneNo),
    /// A lane without its workout.
    #[error("lane {} does workout number {workout}, which is not there", .lane.0)]
    UnknownWorkout {
        /// The lane.
        lane: LaneNo,
        /// The index that it names.
        workout: u8,
    },
    /// A start that lies outside the heat.
    #[error("lane {} starts {found_ms} ms after the heat; give 0 to {max_ms}", .lane.0)]
    LaneStart {
        /// The lane.
        lane: LaneNo,
        /// What was given.
        found_ms: i64,
        /// The limit.
        max_ms: i64,
    },
    /// No workout, or too many.
    #[error("a heat has 1 to {max} workouts, this one has {found}")]
    WorkoutCount {
        /// How many there are.
        found: usize,
        /// How many there may be.
        max: usize,
    },
    /// A workout that cannot be done.
    #[error("workout \"{workout}\": {fault}")]
    Workout {
        /// The workout's name.
        workout: String,
        /// What is wrong with it.
        fault: WorkoutError,
    },
    /// Divisions on one floor are scored alike.
    #[error("workout \"{workout}\" is scored in another way than the first; one floor has one scoring")]
    ScoringsDiffer {
        /// The workout that differs.
        workout: String,
    },
    /// Divisions on one floor share one clock.
    #[error("workout \"{workout}\" has other clock rules than the first; one floor has one clock")]
    ClocksDiffer {
        /// The workout that differs.
        workout: String,
    },
}

/// Why a workout cannot be done. Parts are counted from 1 along the whole course, rounds counted out.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum WorkoutError {
    /// Nothing to do.
    #[error("it has no parts; give it at least one")]
    NoParts,
    /// Too many parts.
    #[error("it comes to {found} parts; at most {max} are allowed")]
    TooManyParts {
        /// Parts, rounds counted out.
        found: u64,
        /// The limit.
        max: usize,
    },
    /// Zero rounds.
    #[error("it has 0 rounds; give at least 1")]
    NoRounds,
    /// An AMRAP without a round.
    #[error("it is an AMRAP without parts to repeat; put at least one into its round")]
    AmrapWithoutRound,
    /// An AMRAP never comes to a cash-out.
    #[error("it is an AMRAP with a cash-out, which nobody would come to; leave it out")]
    AmrapCashOut,
    /// An AMRAP ends with its window.
    #[error("it is an AMRAP with a finish call, but it ends with its window; let it end with the last unit")]
    AmrapFinishCall,
    /// An AMRAP has no number of rounds.
    #[error("it is an AMRAP with {found} rounds, but its round is repeated without end; leave rounds out")]
    AmrapRounds {
        /// How many were given.
        found: u32,
    },
    /// A part of nothing.
    #[error("part {part} has amount 0; give at least 1")]
    ZeroAmount {
        /// The part.
        part: usize,
    },
    /// A part without its movement.
    #[error("part {part} refers to movement number {movement}, which is not there")]
    MissingMovement {
        /// The part.
        part: usize,
        /// The index that it names.
        movement: u16,
    },
    /// Too much work.
    #[error("up to part {part} it comes to more than {max} units; check that part's amount")]
    TooManyUnits {
        /// The part at which the limit is passed.
        part: usize,
        /// The limit.
        max: u32,
    },
    /// One score unit per nothing.
    #[error("part {part} scores one per 0 units; give at least 1")]
    ScorePerZero {
        /// The part.
        part: usize,
    },
    /// Too many score units.
    #[error("up to part {part} it comes to more than {max} score units; check what that part scores")]
    TooManyScoreUnits {
        /// The part at which the limit is passed.
        part: usize,
        /// The limit.
        max: u32,
    },
    /// No score at all.
    #[error("no part of it (of its round, in an AMRAP) scores anything; lanes could not be ordered")]
    NothingScored,
    /// Attempts of more than one movement, or beside other work.
    #[error(
        "attempts are of one movement alone; give one part, without buy-in, cash-out, rounds, scheme, tie-break or \
         finish call"
    )]
    AttemptsAlone,
    /// No attempts, or more than anybody has time for.
    #[error("it gives each athlete {found} attempts; give 1 to {max}")]
    Attempts {
        /// What was given.
        found: u8,
        /// The limit.
        max: u8,
    },
    /// A movement counted in steps of nothing.
    #[error("movement \"{movement}\" has step 0; give at least 1")]
    ZeroStep {
        /// The movement's name.
        movement: String,
    },
    /// An expected time that cannot weigh a track.
    #[error("movement \"{movement}\" expects {found} ms per unit; give 1 to {max}")]
    ExpectedTime {
        /// The movement's name.
        movement: String,
        /// What was given.
        found: u32,
        /// The limit.
        max: u32,
    },
    /// More closing blocks than the mark has.
    #[error("movement \"{movement}\" declares {found} closing steps; at most {max} are drawn")]
    ClosingSteps {
        /// The movement's name.
        movement: String,
        /// What was given.
        found: u8,
        /// The limit.
        max: u8,
    },
    /// A fault's code that is empty, too long or there twice.
    #[error("movement \"{movement}\" has a fault code \"{code}\" that is empty, too long or there twice")]
    FaultCode {
        /// The movement's name.
        movement: String,
        /// The code.
        code: String,
    },
    /// A cap that is no cap.
    #[error("its time cap is {found_ms} ms; give 1 to {max_ms}")]
    Cap {
        /// What was given.
        found_ms: i64,
        /// The limit.
        max_ms: i64,
    },
    /// A countdown out of range.
    #[error("its countdown is {found_ms} ms; give 0 to {max_ms}")]
    Countdown {
        /// What was given.
        found_ms: i64,
        /// The limit.
        max_ms: i64,
    },
    /// A penalty per unit out of range.
    #[error("its penalty per missing unit is {found_ms} ms; give 0 to {max_ms}")]
    PenaltyPerUnit {
        /// What was given.
        found_ms: i64,
        /// The limit.
        max_ms: i64,
    },
}

//! What comes out of the heat: the answer to each command, and the events that tell what changed. Each answer
//! reads as a sentence for people, too.

use thiserror::Error;

use crate::bounds::MAX_LOAD_G;
use crate::ids::{Epoch, LaneNo};
use crate::official::{seconds_text, time_text};
use crate::time::{HeatMs, SpanMs};
use crate::view::State;
use crate::workout::Resolution;

/// The answer to a command.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// A tally was recorded and took effect. `done`: the lane's units along the course after it.
    Applied {
        /// Units along the course.
        done: u32,
    },
    /// A tally was recorded and does not count.
    NotCounted {
        /// Why.
        why: NotCounted,
        /// The lane's units along the course.
        done: u32,
    },
    /// Earlier tallies of this page load are missing: nothing was recorded; send again from `from`.
    Gap {
        /// The page load.
        epoch: Epoch,
        /// The number that is expected next.
        from: u32,
    },
    /// Nothing was recorded.
    Refused(Refused),
    /// A floor command, a ruling or a link's change took effect.
    Done,
}

/// Why a recorded call does not count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NotCounted {
    /// It was tapped before the start.
    #[error("This call was made before the start. It is recorded and does not count.")]
    BeforeStart,
    /// It was tapped after time was called.
    #[error("This call was made after time was called. It is recorded and does not count.")]
    AfterCap,
    /// The whole course is done already.
    #[error("All units of the course are done. The call is recorded and does not count.")]
    PastEnd,
    /// It was tapped while the clock stood still.
    #[error("This call was made during a hold. It is recorded for the head judge and does not count.")]
    DuringHold,
    /// The lane has ended.
    #[error("This lane has ended. The call is recorded; ask the head judge if the lane should go on.")]
    LaneEnded,
    /// Nobody stands on the lane.
    #[error("Nobody stands on this lane. The call is recorded; check the lane's number.")]
    EmptyLane,
    /// It belongs to another run of the heat.
    #[error("This call belongs to another run of the heat. It is recorded and does not count.")]
    WrongRun,
    /// The heat is signed.
    #[error("The heat is signed. The call is recorded and does not count; tell the head judge.")]
    HeatSigned,
    /// The run was cancelled.
    #[error("This run of the heat was cancelled. The call is recorded and does not count.")]
    HeatCancelled,
    /// The present movement has no such fault.
    #[error("The present movement has no such fault. The call is recorded; call the no-rep again.")]
    UnknownFault,
    /// There is no call to take back.
    #[error("There is no call of this lane left to take back. Ask the head judge to set the count.")]
    NothingToUndo,
    /// The call is too old to be taken back.
    #[error("The last call is more than 5 s old. Ask the head judge to set the count.")]
    UndoTooLate,
    /// Another phone held the lane by then.
    #[error(
        "This lane had been handed over to another phone by then. The call is recorded and does not count."
    )]
    HandedOver,
    /// An attempt without its load.
    #[error("This attempt has no load. It is recorded and does not count; declare the load and judge again.")]
    NoLoad,
    /// A load that is none.
    #[error(
        "This load is nothing or more than {} kg. It is recorded and does not count; declare the load again.",
        MAX_LOAD_G / 1_000
    )]
    LoadOutOfRange,
    /// Every attempt, or every hold, is used.
    #[error("All attempts of this lane are used. The call is recorded and does not count.")]
    NoAttemptLeft,
    /// A stop without a start.
    #[error("No hold is under way. The call is recorded; ask the head judge to set the time held.")]
    HoldNotStarted,
    /// A start within a hold.
    #[error("A hold is under way already. The call is recorded and does not count; stop it first.")]
    HoldUnderWay,
    /// The call or its amount does not suit the present part.
    #[error("This call or its amount does not fit the present part of the course. It is recorded only.")]
    CallDoesNotFit,
}

/// Why a command was not taken at all.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum Refused {
    /// The heat has no such lane.
    #[error("There is no lane {} in this heat. Check the lane's number.", .0.0)]
    UnknownLane(LaneNo),
    /// Nobody stands on the lane.
    #[error("Nobody stands on lane {}. Check the lane's number.", .0.0)]
    EmptyLane(LaneNo),
    /// Numbers of tallies start at 1.
    #[error("A tally has number 0; numbers run from 1 within a page load. Reload the judge's page.")]
    NumberZero,
    /// A text is longer than its limit.
    #[error("The {0} is longer than the {1} bytes allowed. Shorten it.")]
    TooLong(&'static str, usize),
    /// A ruling, a re-run and a reopening say why.
    #[error("This needs a reason. Say in a few words why.")]
    NoReason,
    /// A ruling says who.
    #[error("A ruling needs the name of who rules.")]
    NoName,
    /// The command does not fit the heat's state.
    #[error("This is not possible while the heat is {0}.")]
    NotInThisState(State),
    /// The heat is signed.
    #[error("The heat is signed; its results stand. Reopen it with a reason first.")]
    HeatSigned,
    /// The run was cancelled.
    #[error("This run of the heat was cancelled and scores nothing.")]
    HeatCancelled,
    /// Setting the count to the whole course finishes the lane.
    #[error("{units} units are the whole course. Give the elapsed time of the finish as well.")]
    NeedsFinishTime {
        /// Units of the course.
        units: u32,
    },
    /// A finish time was given though units are missing.
    #[error(
        "A finish time fits only the whole course of {units} units. Leave it out, or set the whole count."
    )]
    FinishNotReached {
        /// Units of the course.
        units: u32,
    },
    /// The count lies beyond the course.
    #[error("The course of this lane has {units} units. Give a count from 0 to {units}.")]
    CountOutOfRange {
        /// Units of the course.
        units: u32,
    },
    /// The time lies outside the heat so far.
    #[error(
        "A finish lies between {} and {} here. Give a time within that.",
        to_hundredths(*earliest_ms),
        to_hundredths(*latest_ms)
    )]
    TimeOutOfRange {
        /// The earliest time that fits, in milliseconds.
        earliest_ms: i64,
        /// The latest time that fits, in milliseconds.
        latest_ms: i64,
    },
    /// The penalty is nothing, or too large to be meant.
    #[error("This penalty is zero or too large. Give at most a day, or {max_units} units.")]
    PenaltyOutOfRange {
        /// The most units.
        max_units: u32,
    },
    /// No units, or a count that the lane cannot have.
    #[error("Lane {} has {done} units and may have 0 to {units}. Add or remove 1 unit or more within that.", .lane.0)]
    UnitsOutOfRange {
        /// The lane.
        lane: LaneNo,
        /// Units that it has.
        done: u32,
        /// Units that it may have.
        units: u32,
    },
    /// A credit of nothing, too large to be meant, or one taken back that was not given.
    #[error(
        "Lane {} has {} credited. Give at most a day in all, and take back no more.",
        .lane.0,
        seconds_text(SpanMs(*credited_ms))
    )]
    CreditOutOfRange {
        /// The lane.
        lane: LaneNo,
        /// What is credited to it.
        credited_ms: i64,
    },
    /// Somebody stands there.
    #[error("Lane {} is not empty. Move the athlete to an empty lane.", .0.0)]
    LaneTaken(LaneNo),
    /// Another kind of ruling belongs to this scoring.
    #[error(
        "This ruling does not fit how the workout is scored. {}",
        if *attempts {
            "Set the best load or the time held, credit time, or give a status."
        } else {
            "Set the count instead."
        }
    )]
    DoesNotFitScoring {
        /// Attempts are judged here, and no units are counted.
        attempts: bool,
    },
    /// A load that is too large to be meant.
    #[error("A best load is at most {} kg. Give a load within that.", MAX_LOAD_G / 1_000)]
    BestLoadOutOfRange,
    /// A time held that the lane had no time for.
    #[error("A hold took between {} and {} here. Give a time within that.", to_hundredths(0), to_hundredths(*longest_ms))]
    HeldOutOfRange {
        /// The longest that fits, in milliseconds.
        longest_ms: i64,
    },
    /// A deadline out of range.
    #[error("A review is decided within a minute to a day. Give a deadline within that.")]
    DeadlineOutOfRange,
    /// Open-ended work has no finish.
    #[error("This work ends with its window and has no finish. Leave the finish time out.")]
    NoFinish,
    /// Lanes are set before the start.
    #[error(
        "Lanes are set before the start, and the heat is {0}. Rule on the lane instead, or run the heat again."
    )]
    LanesAfterStart(State),
    /// While a lane runs again alone, the others have their results.
    #[error("Lane {} runs again alone, and the other lanes' results stand. Move its athlete by a ruling.", .0.0)]
    RunsAlone(LaneNo),
    /// A setup with other lanes.
    #[error("The heat has other lanes than these. Set the lanes that it has.")]
    OtherLanes,
    /// A setup that no heat can have.
    #[error("The heat cannot be run with its lanes set so.")]
    LanesCannotRun,
    /// Signing waits for the review.
    #[error("Lane {} is under review. Rule on it before signing.", .0.0)]
    UnderReview(LaneNo),
    /// Signing waits for the clock.
    #[error(
        "The feed was restarted with its machine, so times are in doubt. Confirm the clock before signing."
    )]
    ClockInDoubt,
    /// Signing waits for initials.
    #[error("{}. Have athlete and judge confirm the result before signing.", missing_text(*.lane, *.others))]
    NotConfirmed {
        /// A lane without.
        lane: LaneNo,
        /// How many more there are.
        others: usize,
    },
    /// The lane has no result yet.
    #[error("Lane {} has no result yet that could be confirmed.", .0.0)]
    NoResult(LaneNo),
    /// The lane's result is another one.
    #[error("The result of lane {} is another one by now. Look at it and confirm it again.", .0.0)]
    ResultChanged(LaneNo),
    /// The lane is in another run.
    #[error("Lane {} is in another run by now. Look at its result and confirm it again.", .0.0)]
    OtherRun(LaneNo),
    /// Initials are missing.
    #[error("This needs the initials of athlete and judge.")]
    NoInitials,
    /// Too many initials.
    #[error("The results of this lane were confirmed {0} times already. Sign on paper.")]
    TooManyInitials(usize),
    /// The phone has the lane already.
    #[error("This phone holds lane {} already.", .0.0)]
    HeldAlready(LaneNo),
    /// Too many hand-overs.
    #[error("This lane was handed over {0} times already. Let its phone go on, or count on paper.")]
    TooManyHandOvers(usize),
    /// There is nothing to confirm.
    #[error("The clock is not in doubt.")]
    ClockNotInDoubt,
    /// Only a finish can be moved.
    #[error("Lane {} has not finished, so there is no finish to move. Set its count instead.", .0.0)]
    NotFinished(LaneNo),
    /// The lane's record is full.
    #[error("The record of lane {} is full. Stop that lane's phone and tell the head judge.", .0.0)]
    RecordFull(LaneNo),
    /// Too many page loads.
    #[error("Too many page loads have sent calls to this heat. Stop reloading the judges' pages.")]
    TooManyPages,
    /// Too many holds.
    #[error("This run has been held {0} times already. Call time, or recall the run.")]
    TooManyHolds(usize),
    /// Too many moves.
    #[error("Athletes of this heat have changed lanes {0} times. Set it up as a new heat.")]
    TooManyMoves(usize),
    /// Too many remarks.
    #[error("This heat was reopened, re-run and confirmed {0} times. Set it up as a new heat.")]
    TooManyRemarks(usize),
    /// Too many runs.
    #[error("This heat has been run {0} times. Set it up as a new heat.")]
    TooManyRuns(u32),
}

/// What changed. Read the new value from the heat.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Event {
    /// State, clock or the counts of the heat.
    HeatChanged,
    /// What a lane has done.
    LaneChanged(LaneNo),
    /// A lane's place or gap.
    OrderChanged(LaneNo),
    /// A no-rep to show for a moment.
    NoRep {
        /// The lane.
        lane: LaneNo,
        /// Name of the fault, if one was named.
        fault: Option<String>,
        /// Only the failed stage is repeated.
        partial: bool,
        /// Effective time of the call.
        at: HeatMs,
    },
    /// A ruling was made.
    Ruled {
        /// The lane.
        lane: LaneNo,
        /// Who ruled.
        by: String,
        /// What, in words.
        says: String,
        /// Why.
        reason: String,
        /// The lane's result or count before it.
        before: String,
        /// And after it.
        after: String,
    },
    /// A new run began, of the heat or of one lane alone, or was taken back; its lanes are fresh.
    RunChanged,
    /// An athlete stands in another lane: who is where, and the division and workout of both lanes.
    EntriesChanged,
}

fn to_hundredths(ms: i64) -> String {
    time_text(SpanMs(ms), Resolution::Hundredth)
}

fn missing_text(lane: LaneNo, others: usize) -> String {
    match others {
        0 => format!("Lane {} has no initials under its result", lane.0),
        1 => format!("Lane {} and 1 more have no initials under their results", lane.0),
        _ => format!("Lane {} and {others} more have no initials under their results", lane.0),
    }
}

//! The record of a lane: everything that was called and ruled, with its times and what became of it. Entries are
//! added, never edited; what became of one may change when another comes in late.

use std::fmt;

use crate::answer::NotCounted;
use crate::command::{Ruling, Tally};
use crate::ids::LaneNo;
use crate::time::HeatMs;

/// One entry of a lane's record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// When the feed received it.
    pub at: HeatMs,
    /// When it was tapped, as far as can be known; for a ruling, when it was received.
    pub effective: HeatMs,
    /// What was said.
    pub said: Said,
    /// Why its time is in doubt, if it is.
    pub doubts: Doubts,
    /// What became of it.
    pub verdict: Verdict,
    /// For a ruling, how it was told.
    pub told: Option<Box<Told>>,
}

/// A ruling in words, beside what it replaced.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// What was ruled.
    pub says: String,
    /// The lane's result or count before.
    pub before: String,
    /// And after.
    pub after: String,
}

/// What was said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Said {
    /// A judge's call.
    Tally(Tally),
    /// A head judge's correction.
    Ruling(Ruling),
}

/// What became of an entry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It took effect; `units` were added along the course.
    Counted {
        /// Units added; 0 for a no-rep, an undo, a finish call.
        units: u32,
    },
    /// It took effect first and was taken back by a later entry (its index in the record).
    TakenBack {
        /// Index of the entry that took it back.
        by: usize,
    },
    /// It does not count.
    NotCounted(NotCounted),
    /// A shadow judge's call: kept, never counted.
    Shadow,
    /// Kept as evidence; decides nothing.
    Noted,
    /// A ruling in force.
    Ruled,
}

/// Why the time of a call is in doubt.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Doubts {
    /// It waited out a lost link.
    pub outage: bool,
    /// Its page never exchanged clocks with the feed.
    pub no_offset: bool,
    /// Its page slept: wall and monotonic clock have parted.
    pub slept: bool,
    /// Its stamp lay well outside what its receipt and its neighbours allow.
    pub clamped: bool,
    /// It arrived after time was called.
    pub late: bool,
}

impl Doubts {
    /// Whether there is any doubt.
    #[must_use]
    pub fn any(self) -> bool {
        self.outage || self.no_offset || self.slept || self.clamped || self.late
    }
}

/// A run that was recalled, cancelled or run again: kept, scores nothing. So is what was said of athletes who left the heat
/// before its start.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PastRun {
    /// Its number, from 1.
    pub run: u32,
    /// The lanes whose result it no longer is, in lane order: all of them, or those that ran again alone.
    pub lanes: Vec<PastLane>,
}

/// A lane's part of a past run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PastLane {
    /// The lane, as it was then.
    pub lane: LaneNo,
    /// Its record.
    pub record: Vec<Entry>,
}

/// What was said of the heat as a whole, beside the lanes' records.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// When the feed received it.
    pub at: HeatMs,
    /// The latest run at that moment.
    pub run: u32,
    /// What was done.
    pub what: RemarkKind,
    /// More of it, in words; empty where `what` says all.
    pub says: String,
    /// Why; empty where no reason is asked for.
    pub reason: String,
}

/// What a remark is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum RemarkKind {
    /// The whole heat runs again.
    Rerun,
    /// This lane runs again alone.
    RerunLane(LaneNo),
    /// A lane's running again was cancelled; its earlier result stands again.
    RerunCancelled(LaneNo),
    /// Athletes were put to other lanes, in, or out.
    LanesSet,
    /// The signed heat is provisional again.
    Reopened,
    /// The feed carried the clock over a reboot.
    ClockDoubted,
    /// The head judge took the clock's times as good.
    ClockConfirmed,
}

impl fmt::Display for RemarkKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Rerun => f.write_str("the heat runs again"),
            Self::RerunLane(lane) => write!(f, "lane {} runs again alone", lane.0),
            Self::RerunCancelled(lane) => {
                write!(f, "lane {} does not run again; its earlier result stands", lane.0)
            }
            Self::LanesSet => f.write_str("lanes were set"),
            Self::Reopened => f.write_str("the signed heat is provisional again"),
            Self::ClockDoubted => f.write_str("the clock is in doubt"),
            Self::ClockConfirmed => f.write_str("the clock is confirmed"),
        }
    }
}

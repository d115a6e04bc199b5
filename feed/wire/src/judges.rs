//! The judges' own standard: how often each calls no-reps beside the field, how shadow judges agree with lane judges, and
//! what is flagged on a lane while it works. For officials; the tables for the head judge alone.
//!
//! Shares are whole millionths (ppm), so that every reader has the same figure.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::skip::is_zero;

/// Asks for the tables of all heats that were on the floor. From the head judge alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AskJudges {
    /// Chosen by the sender; the answer names it.
    pub id: u64,
}

/// How the judges call, over all heats that were on the floor; runs that score nothing are left out. Every interval is a
/// 95 % one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Judges {
    /// The request's.
    pub id: u64,
    /// Heats in which something was called.
    pub heats: u32,
    /// All judges together, by movement.
    pub field: Vec<FieldRate>,
    /// Each judge on each movement: by movement, then by name.
    pub rates: Vec<JudgeRate>,
    /// Rates that had no room; those that lie outside of the field are kept first, then those with the most attempts.
    pub left_out: u32,
    /// Intervals of judges, faults included, that were held against the field. One in twenty lies outside by chance.
    pub comparisons: u32,
    /// Lane judges and their shadow judges, by movement.
    pub agreement: Vec<MovementAgreement>,
    /// Two calls within this of each other may be about the same attempt, milliseconds.
    pub window_ms: i64,
}

/// The field's no-rep rate on a movement: no-reps among attempts.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct FieldRate {
    /// Name of the movement.
    pub movement: String,
    /// Judges who called it; one alone is compared with nobody.
    pub judges: u32,
    /// Attempts that were judged.
    pub attempts: u32,
    /// No-reps among them.
    pub no_reps: u32,
}

/// A judge's no-rep rate on a movement.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct JudgeRate {
    /// Who, by what the record knows best.
    pub judge: JudgeName,
    /// Name of the movement.
    pub movement: String,
    /// Attempts that were judged.
    pub attempts: u32,
    /// No-reps among them.
    pub no_reps: u32,
    /// Where their share may lie.
    pub interval: Ends,
    /// The field lies outside of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outside: Option<Outside>,
    /// By fault.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub faults: Vec<FaultRate>,
}

/// How often a judge names a fault of a movement.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct FaultRate {
    /// Name of the fault; empty for no-reps without one.
    pub fault: String,
    /// No-reps of it.
    pub no_reps: u32,
    /// Where their share in all attempts may lie.
    pub interval: Ends,
    /// The field's no-reps of it.
    pub field_no_reps: u32,
    /// The field's share lies outside of the interval.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outside: Option<Outside>,
}

/// Who judged.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum JudgeName {
    /// The name in the competition file.
    Name(String),
    /// Initials under results that no judge of the file has, or more than one.
    Initials(String),
    /// No more than the device is known.
    Device(String),
}

/// The ends of an interval of shares, millionths.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Ends {
    /// The lower one.
    pub low_ppm: i32,
    /// The upper one.
    pub high_ppm: i32,
}

/// On which side of the field a judge lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Outside {
    /// Fewer no-reps than the field.
    Below,
    /// More.
    Above,
}

/// How lane judges and shadow judges agree, decision by decision: a decision is an attempt that either of them called.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct MovementAgreement {
    /// Name of the movement; empty for all together.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub movement: String,
    /// Decisions.
    pub decisions: u32,
    /// Both said the same.
    pub same: u32,
    /// Both called, and not the same.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub differ: u32,
    /// The lane judge alone called.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub judge_alone: u32,
    /// The shadow judge alone called.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub shadow_alone: u32,
    /// Where the share of equal decisions may lie.
    pub raw: Ends,
    /// Cohen's kappa; left out where both said one thing throughout, so that it says nothing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kappa: Option<Kappa>,
}

/// Cohen's kappa: 1,000,000 is full agreement, 0 what chance would give.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Kappa {
    /// Its value, millionths; −1,000,000 to 1,000,000.
    pub ppm: i32,
    /// Where it may lie; left out with full agreement, where the formula gives it no width.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub interval: Option<Ends>,
}

/// Something on a lane of the floor to look at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LaneFlag {
    /// Lane, from 1.
    pub lane: u8,
    /// What.
    pub what: Flag,
}

/// What is flagged. A flag changes nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Flag {
    /// Good reps in a row, each faster than a human can do it.
    TooFast {
        /// How often.
        times: u32,
        /// The last one's moment, feed milliseconds.
        at_ms: i64,
        /// Heat time at that moment, milliseconds.
        heat_ms: i64,
        /// What it took, milliseconds.
        took_ms: i64,
        /// What its movement is expected to take, milliseconds.
        expected_ms: i64,
    },
    /// No call for long, beside what is usual on the lane. A rest, mostly.
    Quiet {
        /// The last call's moment, feed milliseconds.
        since_ms: i64,
        /// What the lane usually takes for what comes next, milliseconds.
        usual_ms: i64,
    },
    /// Calls that count came more than 10 s after they were tapped.
    LateCalls {
        /// How many.
        calls: u32,
        /// The longest delay among them, milliseconds.
        longest_ms: i64,
    },
    /// The phone that holds the lane has been off the line for more than 30 s.
    OffLine {
        /// When it was last heard of, feed milliseconds.
        since_ms: i64,
    },
    /// Calls of the phone that holds the lane may be off their true times by more than 250 ms.
    ClockError {
        /// At most by so much, milliseconds.
        error_ms: i64,
    },
}

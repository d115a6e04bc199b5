//! Initials under a lane's result, and the record behind any number of a lane: what was called, ruled, handed over and
//! confirmed, with what became of it. For officials only.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::from_client::Call;
use crate::from_feed::Reason;

/// Confirms a lane's result by initials. From the phone that holds the lane, or from the head judge, who says why.
/// `id` makes it apply once.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Confirm {
    /// Chosen by the sender, unique on its device; the answer names it.
    pub id: u64,
    /// Heat, as in the snapshot.
    pub heat: u32,
    /// Lane, from 1.
    pub lane: u8,
    /// Run of the lane, as in its count.
    pub run: u32,
    /// The lane's result as it was shown: the text of its result. Refused if it is another meanwhile.
    pub result: String,
    /// The athlete's initials: 1 to 8 letters of any script.
    pub athlete: String,
    /// The judge's.
    pub judge: String,
    /// Why the head judge confirms in the judge's place, such as initials on a paper card; 1 to 400 bytes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// Asks for a lane's record. From the head judge and the floor operator.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AskLane {
    /// Chosen by the sender; the answer names it.
    pub id: u64,
    /// A heat that was on the floor.
    pub heat: u32,
    /// Lane, from 1.
    pub lane: u8,
}

/// A lane's record. It belongs to the athlete who stands there now, and goes along with changes of lanes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LaneRecord {
    /// The request's.
    pub id: u64,
    /// The heat.
    pub heat: u32,
    /// Lane, from 1.
    pub lane: u8,
    /// Name of the lane's judge as the competition has it; empty if not told.
    pub judge: String,
    /// Older entries that had no room.
    pub left_out: u32,
    /// In the order in which they take effect.
    pub entries: Vec<RecordEntry>,
}

/// One entry.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RecordEntry {
    /// Run of the lane; one before the lane's present run is over and scores nothing.
    pub run: u32,
    /// When it takes effect, feed milliseconds: a call when it was tapped, all else when it was received.
    pub at_ms: i64,
    /// When the feed received it, feed milliseconds.
    pub received_ms: i64,
    /// Heat time at `at_ms`, milliseconds; none before the start.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heat_ms: Option<i64>,
    /// What it is.
    pub what: Recorded,
}

/// What an entry is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Recorded {
    /// A judge's call.
    Call(RecordedCall),
    /// A ruling.
    Ruling(RecordedRuling),
    /// Initials under the result.
    Initials(RecordedInitials),
    /// The lane went from one phone to another.
    HandOver(RecordedHandOver),
    /// Something that concerns the whole heat, such as a re-run.
    Heat(RecordedRemark),
}

/// A call and what became of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RecordedCall {
    /// The phone.
    pub device: String,
    /// Its page load.
    pub epoch: u64,
    /// Number within it.
    pub number: u32,
    /// What the judge said.
    pub call: Call,
    /// Units said; 0 for one step.
    pub amount: u32,
    /// Code of the fault, if one was named.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fault: Option<String>,
    /// Load of an attempt, or declared, in grams.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load_g: Option<u32>,
    /// What became of it.
    pub verdict: Verdict,
    /// Units along the course after it, in the lane's present run.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub done: Option<u32>,
    /// Why its time is in doubt, if it is.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub doubts: Vec<Doubt>,
}

/// What became of a call.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// It took effect.
    Counted {
        /// Units that it added along the course; 0 for a no-rep, an undo, a finish call.
        units: u32,
    },
    /// It took effect and was taken back by a later call.
    TakenBack {
        /// That call's page load.
        epoch: u64,
        /// And number.
        number: u32,
    },
    /// It does not count.
    NotCounted(Reason),
    /// A shadow judge's: kept, never counted.
    Shadow,
    /// A stop by hand: kept as evidence; decides nothing.
    Noted,
}

/// Why a call's time is in doubt.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Doubt {
    /// It arrived after time was called.
    Late,
    /// It waited out a lost link.
    Outage,
    /// Its page slept.
    Slept,
    /// Its page never exchanged clocks.
    NoClock,
    /// Its stamp lay outside what its receipt and its neighbours allow.
    Clamped,
}

/// A ruling beside what it replaced.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RecordedRuling {
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

/// Initials under a result.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RecordedInitials {
    /// The result that was confirmed.
    pub result: String,
    /// The athlete's.
    pub athlete: String,
    /// The judge's.
    pub judge: String,
    /// Who sent them.
    pub by: String,
    /// Why the head judge did; empty otherwise.
    pub reason: String,
    /// When the result became another, which took them back, feed milliseconds; none while they stand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taken_back_ms: Option<i64>,
}

/// A lane went from one phone to another.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RecordedHandOver {
    /// The phone that held it; empty if none did.
    pub from: String,
    /// The phone that holds it from then on.
    pub to: String,
    /// Who decided.
    pub by: String,
}

/// Something that concerns the whole heat.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RecordedRemark {
    /// What was done, in words.
    pub says: String,
    /// Why; empty where no reason is asked for.
    pub reason: String,
}
